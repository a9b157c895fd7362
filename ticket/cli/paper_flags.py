"""The flags of every command that writes a paper; words are kept here so that no paper is loaded for a help text."""

from argparse import ArgumentParser, ArgumentTypeError

FORMS = ("text", "markdown", "html", "pdf")  # as the papers have them
MAIL_FORMS = (*FORMS, "eml")
READERS = ("customer", "payer", "shop")  # as the stories have them
_WIDEST = 1000


def number(text: str) -> int:
    """The number of a ticket or an entry."""
    if not text.isascii() or not text.isdecimal() or not 0 < int(text[:18]) < 2**53:
        raise ArgumentTypeError(f"{text!r} is no ticket or entry number")
    return int(text)


def width(text: str) -> int:
    """Columns of text."""
    if not text.isascii() or not text.isdecimal() or not 0 < int(text[:9]) <= _WIDEST:
        raise ArgumentTypeError(f"{text!r} is no number of columns, such as 80")
    return int(text)


def output_flags(made: ArgumentParser) -> None:
    """Where it is written."""
    made.add_argument("-o", "--output", metavar="FILE", help="write to a new file, or - for standard output")
    made.add_argument("--force", action="store_true", help="let it take the place of a file that is there")


def paper_flags(made: ArgumentParser, forms: tuple[str, ...] = MAIL_FORMS, default: str | None = "text") -> None:
    """Form, language, width and place of a paper."""
    made.add_argument("--as", dest="form", default=default, choices=forms, help="how it is written")
    made.add_argument("--language", default="", help="such as en or es; left out, the shop's")
    made.add_argument("--width", type=width, metavar="COLUMNS", help="columns of text; left out, those of the terminal")
    output_flags(made)


def names_flag(made: ArgumentParser) -> None:
    """Who customers are, for an auditor."""
    made.add_argument("--names", action="store_true", help="an auditor: show who customers are; it is journaled")
