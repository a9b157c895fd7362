"""The certainty rule: what a typed line means where it has exactly one reading, else why it is kept as typed."""

from dataclasses import replace
from functools import lru_cache

from ticket.language.clauses import clause, named_at, named_things
from ticket.language.groups import Doubt
from ticket.language.letters import head_word, words_of
from ticket.language.phrasebook import NO_BOOK, Phrases, Taught
from ticket.language.records import Absent, Booked, Clause, Meaning, Nominal, Present, Span, Things, Trial, Unsure
from ticket.language.spans import spans
from ticket.language.trials import PROOF, trial
from ticket.language.work import WORK, work_line

_BETWEEN = frozenset({",", ";", "."})


def read(text: str, where: str, book: Phrases = NO_BOOK) -> Meaning | Unsure:
    """What a line means, or why nobody can be certain of it.

    Args:
        text: as typed, without its kind, its limits and its fields.
        where: the kind of entry or the field it stands in: found, cause, did, proof, risk, because, ruled, maybe.
        book: wordings of the shop and of the program.
    """
    return _read(text, where) if book is NO_BOOK else _with_book(text, where, book)


@lru_cache(maxsize=4096)
def _read(text: str, where: str) -> Meaning | Unsure:
    return _with_book(text, where, NO_BOOK)


def _with_book(text: str, where: str, book: Phrases) -> Meaning | Unsure:
    held = spans(text, where)
    if not held:
        return Unsure("nothing is typed", 0, 0)
    booked = book.match(held, where, "en")
    if booked is not None and not _misnamed(booked, held, where):
        return Meaning((booked,))
    taught = taught_words(held, book)
    try:
        pieces, joins = _pieces(held)
        if not pieces:
            raise Doubt("nothing is said", held[0])
        if where in WORK:
            return Meaning(*work_line(pieces, joins, where, taught, book))
        return _clauses(pieces, joins, where, taught, book)
    except Doubt as doubt:
        return Unsure(doubt.reason, doubt.span.start, doubt.span.end)


def read_group(text: str, book: Phrases = NO_BOOK) -> Things | None:
    """The things a text names and nothing else, or ``None``."""
    held = spans(text, "found")
    try:
        named = named_things(held, taught_words(held, book)) if held else None
    except Doubt:
        return None
    return named


def read_name(text: str, book: Phrases = NO_BOOK) -> Nominal | None:
    """What a text names together with its places, as the thing a figure stands behind; ``None`` where it is no name."""
    held = spans(text, "found")
    return named_at(held, taught_words(held, book)) if held else None


def taught_words(held: tuple[Span, ...], book: Phrases) -> dict[str, Taught]:
    """What the book holds for the words of a line that nobody listed."""
    unknown = {span.base for span in held if span.cls == "unknown"}
    return {base: entry for base in unknown if (entry := book.word(base, "en")) is not None}


def _pieces(held: tuple[Span, ...]) -> tuple[list[tuple[Span, ...]], list[str]]:
    """The line cut at commas, semicolons, stops and *but*, and what stood between the pieces."""
    pieces: list[tuple[Span, ...]] = []
    joins: list[str] = []
    now: list[Span] = []
    for i, span in enumerate(held):
        stop = span.base in _BETWEEN and span.cls == "mark"
        but = "but" in span.also
        if not stop and not but:
            now.append(span)
            continue
        if now:
            pieces.append(tuple(now))
            now = []
            if i + 1 < len(held):
                joins.append("but" if but else span.base)
        elif but and joins:
            joins[-1] = "but"
        elif i + 1 < len(held):
            raise Doubt("a stop without words in front of it", span)
    if now:
        pieces.append(tuple(now))
    return pieces, joins


def _clauses(
    pieces: list[tuple[Span, ...]], joins: list[str], where: str, taught: dict[str, Taught], book: Phrases
) -> Meaning:
    out: list[Clause] = []
    between: list[str] = []
    pieces, joins = _one_good_word(pieces, joins, taught)
    for i, piece in enumerate(pieces):
        if i:
            between.append(joins[i - 1])
        if _tells_to(piece):
            raise Doubt(f"{piece[0].text}: what was done to see it, or a thing", piece[0])
        if where in PROOF and not booked_piece(piece, where, book) and (begun := trial(piece, taught)) is not None:
            out.append(begun[0])
            piece = begun[1]  # noqa: PLW2901 - what is left of it
            if not piece:
                continue
            between.append(":")
        known = out if not i or joins[i - 1] != "." else []
        for j, one in enumerate(_halves(piece, where, taught, book, known)):
            if j:
                between.append("and")
            out.append(one)
    return Meaning(tuple(out), tuple(between))


def _one_good_word(
    pieces: list[tuple[Span, ...]], joins: list[str], taught: dict[str, Taught]
) -> tuple[list[tuple[Span, ...]], list[str]]:
    """ "horn, strobe, backup alarm ok": bare things in front of one with a good word are as good as it.

    A bad word may be of the last alone, and so may what stands behind anything but a comma.
    """
    good = len(pieces) > 1 and any(word.cls == "state" and word.sense == "good" for word in words_of(pieces[-1][-1]))
    ends = (*pieces[:-1], pieces[-1][:-1])
    if not good or set(joins) != {","} or not all(end and _bare_parts(end, taught) for end in ends):
        return pieces, joins
    link = replace(pieces[0][-1], cls="join", base="and", also=())
    return [tuple(span for i, piece in enumerate(pieces) for span in ((link,) if i else ()) + piece)], []


def _bare_parts(piece: tuple[Span, ...], taught: dict[str, Taught]) -> bool:
    """Whether a piece names parts and nothing that is wrong with one: "link slight play" is no part."""
    named = named_things(piece, taught)
    return named is not None and all(
        (word := head_word(group.head)) is not None and word.cls == "thing" and word.kind == "part"
        for group in named.groups
    )


def _misnamed(booked: Booked, held: tuple[Span, ...], where: str) -> bool:
    """Whether a wording of the book took what one does for the name of a thing."""
    return where not in WORK and _tells_to(held) and any(text.startswith(held[0].text) for _, text in booked.slots)


def _tells_to(piece: tuple[Span, ...]) -> bool:
    """A piece that begins with what one does to see something: "pull fuse 23 drops to 0.03 A" is about no pull fuse."""
    first = words_of(piece[0])
    acts = any(word.cls == "work" and word.form == "base" for word in first)
    parts = any(word.cls == "thing" for word in first)
    names = len(piece) > 1 and piece[1].cls in ("thing", "unknown") and piece[0].text.lower() == piece[0].base
    return acts and not parts and names and any(word.cls == "matter" for word in first)


def booked_piece(piece: tuple[Span, ...], where: str, book: Phrases) -> bool:
    """Whether the book holds a wording for a whole piece."""
    return book.match(piece, where, "en") is not None


def _halves(
    piece: tuple[Span, ...], where: str, taught: dict[str, Taught], book: Phrases, before: list[Clause]
) -> list[Clause]:
    """A piece as one clause, or as two joined by *and* where only that reads it."""
    booked = book.match(piece, where, "en")
    if booked is not None:
        return [booked]
    try:
        shown = bool(before) and isinstance(before[-1], Trial)
        return [clause(piece, where, taught, follows=_one_thing(before), behind_trial=shown)]
    except Doubt as doubt:
        found: list[list[Clause]] = []
        for i, span in enumerate(piece):
            if span.base == "and" and 0 < i < len(piece) - 1:
                try:
                    first = clause(piece[:i], where, taught, follows=_one_thing(before))
                    second = clause(piece[i + 1 :], where, taught, follows=_one_thing([first]))
                    found.append([first, second])
                except Doubt:
                    continue
        if len(found) != 1:
            raise doubt from None
        return found[0]


def _one_thing(before: list[Clause]) -> bool:
    """Whether a subject may be left out: the clause before has one thing and no place, or its own was left out."""
    if not before:
        return False
    last = before[-1]
    if isinstance(last, (Booked, Absent, Trial, Present, Nominal)):
        return False
    if getattr(last, "places", ()) or getattr(last, "front", ()):
        return False
    things = getattr(last, "things", None)
    return _one_thing(before[:-1]) if things is None else len(things.groups) == 1
