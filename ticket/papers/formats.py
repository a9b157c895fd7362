"""The forms a paper can be written in."""

from ticket.job.errors import InputError
from ticket.papers.sheet import Sheet

FORMS = {"text": "txt", "markdown": "md", "html": "html", "pdf": "pdf"}
"""Each form with the ending of its files."""


def written(sheet: Sheet, form: str, width: int = 80) -> str | bytes:
    """A paper in one form: bytes of a PDF, text of the others.

    Args:
        sheet: the paper.
        form: one of ``FORMS``.
        width: longest line of plain text.

    Raises:
        InputError: for an unknown form, or a PDF where typst is missing.
    """
    match form:
        case "text":
            from ticket.papers.plain_text import sheet_text

            return sheet_text(sheet, width)
        case "markdown":
            from ticket.papers.markdown import sheet_markdown

            return sheet_markdown(sheet)
        case "html":
            from ticket.papers.html import sheet_html

            return sheet_html(sheet)
        case "pdf":
            from ticket.papers.pdf import sheet_pdf

            return sheet_pdf(sheet)
    raise InputError(f"There is no form {form!r}: choose one of {', '.join(FORMS)}.")
