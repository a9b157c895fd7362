"""Holding a paper against the one that was signed: its bytes where a file can hide something, else its words."""

import html
import re
from collections.abc import Iterator
from difflib import SequenceMatcher

from ticket.job.errors import InputError, extra_words
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.papers.formats import written
from ticket.papers.pdf import sheet_pdf
from ticket.papers.sheet import Sheet
from ticket.papers.sheet_record import from_record, without_note, without_sources
from ticket.shop.held_heads import DIGITS, printed_heads
from ticket.store import kept_rows
from ticket.store.issued_papers import invoices_of_row
from ticket.store.kept_heads import RECORD, Journal, Verdict, head_verdict, record_verdict

_WIDTHS = (80, 72, 100, 120, 60)  # a text may have been written in
_SHOWN = 8  # differing words that are named
_PIECES = 4  # differing tags that are named
_CUT = 120  # characters of one of them
_HEAD, _INVOICED = 60, 40  # words at the head of an invoice that hold its number, and of its differences that are named
_BROKEN = Regex(r"(?<![\w-])(\d{1,12}-) (?=[0-9a-f]{16})")
_KEYWORD = rb"ticket-record-1 (\d{1,12}-[0-9a-f]{16,64})"
_TAGS = Regex(r"<(style|script|head)\b.*?</\1>|<[^>]*>", re.S | re.I)
_TAG_OR_TEXT = Regex(r"<[^>]*>|[^<]+|<")
_RULE = Regex(r"[-=_:]{2,}\Z")  # as long as a paper is wide
_FITS = "The paper says what was signed"
_ANOTHER_PDF = (
    "The file is not the one that was signed, byte for byte: what is seen on it may be something else than its words,"
    " such as figures painted over. Lay it beside one that ticket paper writes now (which another version of typst also"
    " writes in other bytes)."
)


def against_text(db: Journal, text: str, kept: str, *, ours: bool) -> list[Verdict]:
    """A paper as text, Markdown or HTML: its record, and whether it says what was signed."""
    plain = _words(text)
    found = _record_on(plain)
    if found is None:
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    verdict = record_verdict(db, int(found[1]), found[2], ours=ours)
    if verdict.row is None:
        return [verdict]
    if len(found[2]) == DIGITS:
        return _head_page(db, verdict, text)
    sheets = list(_sheets(db, verdict.row))
    if not sheets:
        return [verdict, _not_kept(verdict.row)]
    if _is_page(text):
        pages = [str(written(sheet, "html")) for sheet in sheets]
        return [verdict, _invoice(db, verdict.row, plain, list(map(_words, pages))) or _page(text, pages)]
    made = [_words(one) for sheet in sheets for one in _texts(sheet)]
    return [verdict, _invoice(db, verdict.row, plain, made) or _compared(plain, made)]


def against_pdf(db: Journal, content: bytes, kept: str, *, ours: bool) -> list[Verdict]:
    """A PDF: the same bytes, or not the file that was signed, whatever its words are."""
    plain = content.replace("\u200b".encode(), b"")  # stood in the records of older papers, where they might break
    keyword = re.search(_KEYWORD, plain)  # typst writes what a PDF says of itself uncompressed
    words = keyword[1].decode() if keyword else " ".join(_words(_pdf_text(content, kept)))
    found = _record_on([words])
    if found is None:
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    verdict = record_verdict(db, int(found[1]), found[2], ours=ours)
    if verdict.row is None:
        return [verdict]
    if len(found[2]) == DIGITS:
        return _head_pdf(db, verdict, content, kept)
    made = [one for sheet in _sheets(db, verdict.row) if isinstance(one := written(sheet, "pdf"), bytes)]
    if not made:
        return [verdict, _not_kept(verdict.row)]
    if content in made:
        return [verdict, Verdict(True, f"{_FITS}, byte for byte.", verdict.row)]
    return [verdict, _other_pdf(content, made, kept, db=db, row=verdict.row)]


def _head_page(db: Journal, verdict: Verdict, text: str) -> list[Verdict]:
    """A printed head as text, Markdown or HTML."""
    words, made = _words(text), list(printed_heads(db, verdict.row or 0, _words(text)))
    for head, sheet in made:
        if _is_page(text):
            fits = _one_end(text) == _one_end(str(written(sheet, "html")))
        else:
            fits = words in map(_words, _texts(sheet))
        if fits:
            return [head_verdict(db, head), Verdict(True, f"{_FITS}.", head.seq)]
    if _is_page(text):
        return [verdict, _page(text, [str(written(sheet, "html")) for _, sheet in made])]
    return [verdict, _compared(words, [_words(one) for _, sheet in made for one in _texts(sheet)])]


def _head_pdf(db: Journal, verdict: Verdict, content: bytes, kept: str) -> list[Verdict]:
    """A printed head as a PDF; its words are read only where the journal keeps no signature of its row."""
    row, made = verdict.row or 0, list[bytes]()
    for by_words in (False, True):
        for head, sheet in printed_heads(db, row, _pdf_text(content, kept).split() if by_words else []):
            made.append(page := sheet_pdf(sheet))
            if content == page:
                return [head_verdict(db, head), Verdict(True, f"{_FITS}, byte for byte.", row)]
    return [verdict, _other_pdf(content, made, kept)]


def _other_pdf(content: bytes, made: list[bytes], kept: str, *, db: Journal | None = None, row: int = 0) -> Verdict:
    """What is said of a PDF that is not the one that was signed, or is the invoice of a row of the journal."""
    try:
        given = _words(_pdf_text(content, kept))
    except InputError as error:
        issued = " ".join(one.number for one in invoices_of_row(db, row)) if db is not None else ""
        perhaps = f" An invoice ({issued}) was made of this record too, and is no signed file." if issued else ""
        return Verdict(False, f"{_ANOTHER_PDF}{perhaps} Its words were not compared: {error}")
    told = [_words(_pdf_text(one, kept)) for one in made]
    invoice = _invoice(db, row, given, told) if db is not None else None
    if invoice is not None:
        return invoice
    words = _compared(given, told)
    return Verdict(False, f"Its words are those that were signed. {_ANOTHER_PDF}") if words.ok else words


def _pdf_text(content: bytes, kept: str) -> str:
    try:
        import pypdfium2
    except ImportError:
        raise InputError(f"{one_line(kept)}: the words of a PDF are read with {extra_words('proof')}") from None
    try:
        document = pypdfium2.PdfDocument(content)
        text = "\n".join(page.get_textpage().get_text_range() for page in document)
        return text.replace("\ufffe", "-")  # how it tells a hyphen at the end of a line
    except pypdfium2.PdfiumError as error:
        raise InputError(f"{one_line(kept)}: this PDF cannot be read ({error}).") from None


def _record_on(words: list[str]) -> re.Match[str] | None:
    """The record printed on a paper, also where a line ends within it."""
    return RECORD.search(_BROKEN.sub(r"\1", " ".join(words)))


def _not_kept(row: int) -> Verdict:
    """Nobody compared it: that is no yes."""
    return Verdict(
        False, f"No paper was kept with row {row}, so this one was not compared: hold it against the ticket."
    )


def _invoice(db: Journal, row: int, given: list[str], made: list[list[str]]) -> Verdict | None:
    """A paper that bears the number of an invoice of this record: made after signing, so none was kept to be compared.

    That is no yes, and no word against it either: what it has beside the signed copy, and lacks of it, is named.
    """
    issued = next((one for one in invoices_of_row(db, row) if set(one.number.split()) <= set(given[:_HEAD])), None)
    if issued is None or given in made:
        return None
    told = _only(given, _nearest(given, made), ("on the invoice", "in the signed copy"), _INVOICED)
    return Verdict(
        False,
        f"It bears the number of invoice {issued.number}, which this shop gave to that record on {issued.at[:10]}."
        f" An invoice is written after signing and is not kept: hold its lines and sums against the signed copy.{told}",
        row,
    )


def _sheets(db: Journal, row: int) -> Iterator[Sheet]:
    """The papers that were signed with a row, with and without their sources."""
    for one in kept_rows.papers_of_row(db, row):
        if one.data is not None:
            pictures = dict(db.execute("SELECT digest, content FROM picture").fetchall())
            sheet = from_record(one.data, one.record, pictures)
            yield from (without_sources(sheet), sheet)
            if one.later:  # as it was printed before that
                yield from (without_sources(without_note(sheet)), without_note(sheet))


def _texts(sheet: Sheet) -> Iterator[str]:
    yield str(written(sheet, "markdown"))
    for width in _WIDTHS:
        yield str(written(sheet, "text", width))


# -- pages of HTML ------------------------------------------------------------------------------------------------


def _is_page(text: str) -> bool:
    return "<html" in text[:2000].lower()


def _page(given: str, made: list[str]) -> Verdict:
    """A page, by its very characters: what it hides, draws or runs decides what is seen, not its words."""
    given = _one_end(given)
    if given in map(_one_end, made):
        return Verdict(True, f"{_FITS}.")
    words = _compared(_words(given), list(map(_words, made)))
    if not words.ok:
        return words
    pieces = [_TAG_OR_TEXT.findall(one) for one in (given, *map(_one_end, made))]
    told = _only(pieces[0], _nearest(pieces[0], pieces[1:]), ("on the page", "in the record"), _PIECES)
    return Verdict(
        False,
        "Its words are those that were signed, but the page is not the one that was written: what is seen may be"
        f" something else.{told}",
    )


def _one_end(text: str) -> str:
    """A text whose lines end in one way, whatever copied it."""
    return text.replace("\r\n", "\n").rstrip("\n")


# -- word by word -------------------------------------------------------------------------------------------------


def _words(text: str) -> list[str]:
    """The words, figures and signs of a paper in their order, without what only draws it."""
    text = text.replace("\u200b", "").replace("<wbr>", "")  # where a long word may be broken
    if _is_page(text):
        text = html.unescape(_TAGS.sub(" ", text))
    return [word for raw in text.split() if not _RULE.match(raw) and (word := raw.strip("|*`#_\\"))]


def _compared(given: list[str], made: list[list[str]]) -> Verdict:
    """The nearest of the papers that were signed, word by word in their order."""
    if given in made:
        return Verdict(True, f"{_FITS}.")
    told = _only(given, _nearest(given, made), ("on the paper", "in the record"), _SHOWN)
    return Verdict(False, f"The paper is not what was signed.{told}")


def _nearest(given: list[str], made: list[list[str]]) -> list[str]:
    return max(made, key=lambda one: SequenceMatcher(None, given, one, autojunk=False).ratio())


def _only(given: list[str], made: list[str], where: tuple[str, str], most: int) -> str:
    """What stands on one side alone, of each side so many words or pieces."""
    only: tuple[list[str], list[str]] = ([], [])
    for what, i1, i2, j1, j2 in SequenceMatcher(None, given, made, autojunk=False).get_opcodes():
        if what != "equal":
            only[0].extend(given[i1:i2])
            only[1].extend(made[j1:j2])
    sides = zip(where, only, strict=True)
    return "".join(
        f" Only {place}: {' '.join(map(_shown, words[:most]))}{' …' if len(words) > most else ''}."
        for place, words in sides
        if words
    )


def _shown(word: str) -> str:
    return one_line(word if len(word) <= _CUT else f"{word[:_CUT]}…")
