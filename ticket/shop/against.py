"""Holding what was kept elsewhere against a shop's file: records, papers, heads, documents, copies."""

import html
import json
import re
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from pathlib import Path

from ticket.job.errors import DataError, InputError
from ticket.job.read_json import read_json
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.job.ticket_document import FORMAT, PROOF, from_document
from ticket.machine.input_files import read_plain
from ticket.papers.formats import written
from ticket.papers.sheet import Sheet
from ticket.papers.sheet_record import from_record, without_note, without_sources
from ticket.store import kept_rows, signed_heads
from ticket.store.kept_heads import (
    RECORD,
    Journal,
    Verdict,
    all_verdicts,
    copy_verdict,
    foreign_verdict,
    opened_journal,
    record_verdict,
)

_MOST = 64 * 1024 * 1024
_WIDTHS = (80, 72, 100, 120, 60)  # a text may have been written in
_OF_A_HEAD = 64  # digits of the record on a printed head; the papers of a ticket have fewer
_SHOWN = 8  # differing words that are named
_BROKEN = Regex(r"(?<![\w-])(\d{1,12}-) (?=[0-9a-f]{16})")
_KEYWORD = rb"ticket-record-1 (\d{1,12}-[0-9a-f]{16,64})"
_OF_SHOP = rb'ticket-shop(?:-1 |" content=")([0-9a-f]{32})'  # in a PDF; in the head of an HTML page
_TAGS = Regex(r"<(style|script|head)\b.*?</\1>|<[^>]*>", re.S | re.I)


def verdicts(path: Path, kept: Sequence[str]) -> list[Verdict]:
    """What a shop's file says to each of the things that were kept.

    Args:
        path: the shop's file; nothing of it is changed.
        kept: each a record as printed, or the name of a file: a paper, heads, a ticket document, a copy of the shop.

    Raises:
        InputError: one is neither.
        StoreError: the shop's file cannot be read.
    """
    with opened_journal(path) as db:
        return [verdict for one in kept for verdict in _of_one(db, one)]


def _may_be_read(path: Path) -> bool:
    """Whether something stands at a path; what is too long for a name is none."""
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _of_one(db: Journal, kept: str) -> list[Verdict]:
    if (found := RECORD.fullmatch(kept.strip())) is not None:
        return [record_verdict(db, int(found[1]), found[2])]
    path = Path(kept)
    if not _may_be_read(path):
        raise InputError(f"{one_line(kept)} is no record (such as 40-768b561a16e04062) and no file.")
    content = read_plain(path, _MOST)
    if content.startswith(b"SQLite format 3\0"):
        with opened_journal(path) as copy:
            return [copy_verdict(db, copy)]
    named = re.search(_OF_SHOP, content)
    shop = named[1].decode() if named else ""
    if (foreign := foreign_verdict(db, shop, "paper")) is not None:
        return [foreign]
    if content.startswith(b"%PDF"):
        return _pdf(db, content, kept, ours=bool(shop))
    text = content.decode("utf-8-sig", "replace")
    if heads := list(_heads(text)):
        return all_verdicts(db, heads)
    if text.lstrip().startswith("{"):
        return _document(db, text, kept)
    return _paper(db, text, kept, ours=bool(shop))


def _heads(text: str) -> Iterator[signed_heads.Head]:
    """The heads of a file: one, or one a line."""
    for line in text.splitlines():
        if signed_heads.NAME in line:
            try:
                found = signed_heads.from_document(json.loads(line))
            except ValueError:
                continue
            if found is not None:
                yield found


def _document(db: Journal, text: str, kept: str) -> list[Verdict]:
    try:
        document = read_json(text)
        ticket = from_document(document) if isinstance(document, dict) and document.get("format") == FORMAT else None
    except DataError as error:
        raise InputError(f"{one_line(kept)}: {error}.") from None
    if ticket is None or not (found := RECORD.fullmatch(ticket.seal)):
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    proof = document.get(PROOF)
    shop = str(proof.get("shop", "")) if isinstance(proof, dict) else ""
    if (foreign := foreign_verdict(db, shop, "document")) is not None:
        return [foreign]
    verdict = record_verdict(db, int(found[1]), found[2], ours=bool(shop))
    fits = ticket.elsewhere is None or ticket.elsewhere.fits != "no"
    return [verdict] if fits else [verdict, Verdict(False, "The document was changed after it was written out.")]


# -- papers -------------------------------------------------------------------------------------------------------


def _paper(db: Journal, text: str, kept: str, *, ours: bool) -> list[Verdict]:
    """A paper as text, Markdown or HTML: its record, and whether it says what was signed."""
    plain = _words(text)
    found = _record_on(plain)
    if found is None:
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    verdict = record_verdict(db, int(found[1]), found[2], ours=ours)
    if verdict.row is None or len(found[2]) == _OF_A_HEAD:
        return [verdict]
    made = [_words(one) for sheet in _sheets(db, verdict.row) for one in _forms(sheet)]
    return [verdict, _compared(plain, made)] if made else [verdict, _not_kept(verdict.row)]


def _pdf(db: Journal, content: bytes, kept: str, *, ours: bool) -> list[Verdict]:
    """A PDF: the same bytes where it is untouched, else word by word."""
    plain = content.replace("\u200b".encode(), b"")  # stood in the records of older papers, where they might break
    keyword = re.search(_KEYWORD, plain)  # typst writes what a PDF says of itself uncompressed
    words = keyword[1].decode() if keyword else " ".join(_words(_pdf_text(content, kept)))
    found = _record_on([words])
    if found is None:
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    verdict = record_verdict(db, int(found[1]), found[2], ours=ours)
    if verdict.row is None or len(found[2]) == _OF_A_HEAD:
        return [verdict]
    made = [one for sheet in _sheets(db, verdict.row) if isinstance(one := written(sheet, "pdf"), bytes)]
    if not made:
        return [verdict, _not_kept(verdict.row)]
    if content in made:
        return [verdict, Verdict(True, "The paper says what was signed, byte for byte.", verdict.row)]
    text = _pdf_text(content, kept)
    return [verdict, _compared(_words(text), [_words(_pdf_text(one, kept)) for one in made])]


def _pdf_text(content: bytes, kept: str) -> str:
    try:
        import pypdfium2
    except ImportError:
        raise InputError(
            f"{one_line(kept)}: the words of a PDF are read with pypdfium2, which is not here: pip install pypdfium2;"
            " or name the record on it."
        ) from None
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
    return Verdict(True, f"No paper was kept with row {row}: hold the paper against the ticket yourself.", row)


def _sheets(db: Journal, row: int) -> Iterator[Sheet]:
    """The papers that were signed with a row, with and without their sources."""
    for one in kept_rows.papers_of_row(db, row):
        if one.data is not None:
            pictures = dict(db.execute("SELECT digest, content FROM picture").fetchall())
            sheet = from_record(one.data, one.record, pictures)
            yield from (without_sources(sheet), sheet)
            if one.later:  # as it was printed before that
                yield from (without_sources(without_note(sheet)), without_note(sheet))


def _forms(sheet: Sheet) -> Iterator[str]:
    for form in ("html", "markdown"):
        yield str(written(sheet, form))
    for width in _WIDTHS:
        yield str(written(sheet, "text", width))


def _words(text: str) -> list[str]:
    """The words and figures of a paper in their order, without what only draws it."""
    text = text.replace("\u200b", "").replace("<wbr>", "")  # where a long word may be broken
    if "<html" in text[:2000].lower():
        text = html.unescape(_TAGS.sub(" ", text))
    return [word for raw in text.split() if any(map(str.isalnum, word := raw.strip("|*`#_\\")))]


def _compared(given: list[str], made: list[list[str]]) -> Verdict:
    """The nearest of the papers that were signed, word by word in their order."""
    if given in made:
        return Verdict(True, "The paper says what was signed.")
    nearest = max(made, key=lambda one: SequenceMatcher(None, given, one, autojunk=False).ratio())
    only: tuple[list[str], list[str]] = ([], [])
    for what, i1, i2, j1, j2 in SequenceMatcher(None, given, nearest, autojunk=False).get_opcodes():
        if what != "equal":
            only[0].extend(given[i1:i2])
            only[1].extend(nearest[j1:j2])
    sides = [
        f" Only {where}: {' '.join(words[:_SHOWN])}{' …' if len(words) > _SHOWN else ''}."
        for where, words in (("on the paper", only[0]), ("in the record", only[1]))
        if words
    ]
    return Verdict(False, f"The paper is not what was signed.{''.join(sides)}")
