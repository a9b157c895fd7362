"""What may stand in the places of a phrase, and how it is told in the wording."""

import re
from typing import TYPE_CHECKING

from ticket.job.book_entry import BookEntry
from ticket.language.lexicon import TYPED, look
from ticket.language.records import Span
from ticket.language.slots import Piece, kind_of, listed, pieces

if TYPE_CHECKING:
    from ticket.language.phrasebook import Phrases

Filling = tuple[tuple[str, tuple[Span, ...]], ...]
"""The spans in each slot, in the order of the phrase."""

_FRONT = frozenset({"quality", "state", "thing", "matter", "unknown"})
_HEADS = frozenset({"thing", "matter"})
_LAST_WORD = re.compile(r"(?:^|\s)([^\W\d_]+)\s$")


def fits(kind: str, spans: tuple[Span, ...], book: "Phrases") -> bool:
    """Whether these spans may stand in a slot of a kind."""
    first = spans[0]
    if kind == "thing":
        return is_group(spans, book)
    if kind == "n":
        return first.cls == "figure"
    if kind == "state":
        return first.cls in ("state", "quality") or "state" in first.also
    return first.cls == kind


def is_group(spans: tuple[Span, ...], book: "Phrases") -> bool:
    """Whether spans are one certain thing: a side, qualities and things in order, a listed thing last."""
    held = list(spans)
    if held and (held[0].cls == "count" or "det" in held[0].also):
        held.pop(0)
    sides = 0
    if held and held[0].cls == "side":
        held.pop(0)
        sides = 1
    if held and held[-1].cls == "side" and not sides:
        held.pop()
    if len(held) > 1 and held[-1].cls == "label":
        held.pop()
    if not held or not _is_head(held[-1], book):
        return False
    unlisted = sum(span.cls == "unknown" and not _is_head(span, book) for span in held)
    return unlisted <= 1 and all(span.cls in _FRONT for span in held)


def _is_head(span: Span, book: "Phrases") -> bool:
    if span.cls in _HEADS:
        return True
    taught = book.word(span.base, "en") if span.cls == "unknown" else None
    return taught is not None and taught.kind in _HEADS


def told(entry: BookEntry, filled: Filling, book: "Phrases") -> str:
    """A wording with its places filled, without capital and stop; empty where the language has no word for one."""
    held = dict(filled)
    out = ""
    for i, piece in enumerate(pieces(entry.told)):
        if piece.slot:
            form, before = _form(entry.language, out)
            words = _told_slot(piece.slot, held[piece.slot], entry.language, form, book)
            if words is None:
                return ""
            out = before + words
        elif piece.forms:
            chosen = _chosen(piece, i, entry, held, book)
            if chosen is None:
                return ""
            out += chosen
        else:
            out += piece.text
    return out


def _form(language: str, before: str) -> tuple[str, str]:
    """The form a thing takes behind what is told so far, and what is told so far without a word that form brings."""
    last = _LAST_WORD.search(before)
    form = dict(listed(language, "before")).get(last[1].lower(), "the") if last else "the"
    if last and form not in ("the", "bare"):
        return form, before[: last.start(1)]
    return form, before


def _told_slot(slot: str, spans: tuple[Span, ...], language: str, form: str, book: "Phrases") -> str | None:
    kind = kind_of(slot)
    if kind == "thing":
        return _told_thing(spans, language, form, book)
    if kind in ("side", "state"):
        return spans[0].base if language == TYPED else None
    return spans[0].text


def _told_thing(spans: tuple[Span, ...], language: str, form: str, book: "Phrases") -> str | None:
    if language != TYPED:
        return None
    words = " ".join(span.base for span in spans)
    return words if form == "bare" else f"the {words}"


def _chosen(piece: Piece, at: int, entry: BookEntry, held: dict[str, tuple[Span, ...]], book: "Phrases") -> str | None:
    """The form that agrees with the thing in front, else with the one behind."""
    all_pieces = pieces(entry.told)
    in_front = [one.slot for one in all_pieces[:at] if kind_of(one.slot) == "thing"]
    behind = [one.slot for one in all_pieces[at:] if kind_of(one.slot) == "thing"]
    spans = held[in_front[-1] if in_front else behind[0]]
    many = is_many(spans)
    if len(piece.forms) == 2:
        return piece.forms[many]
    return None


def is_many(spans: tuple[Span, ...]) -> bool:
    """Whether a thing is several."""
    head = next((span for span in reversed(spans) if span.cls not in ("label", "side")), spans[-1])
    found = look(head.base) or look(head.base.rpartition(" ")[2])
    noun = next((word for word in found if word.cls in _HEADS), None)
    return (noun is not None and noun.form == "many") or (spans[0].cls == "count" and spans[0].value != "1")


def form_behind(language: str, before: str) -> str:
    """The form that a thing takes behind what is told so far: ``the``, ``bare``, ``of`` ..."""
    return _form(language, before)[0]


def thing_told(spans: tuple[Span, ...], language: str, form: str, book: "Phrases") -> str:
    """A thing in one form; empty where the language has no word for it."""
    return _told_thing(spans, language, form, book) or ""
