"""Words that may be work or may begin the name of a part: "test system", "drain plug", "machine rotors"."""

from functools import cache

from ticket.language.groups import Doubt
from ticket.language.letters import may_be, words_of
from ticket.language.lexicon import Word, look, words
from ticket.language.records import Span

NAMING = frozenset("bleed flush fill drain check drive tow wash wipe cover prime press lift jack lock bond".split())
"""Work that names a part it is done at: bleed screw, tow bar, wash bottle; common practice, no source."""
_NOUNS = frozenset({"thing", "matter"})
_NO_PART = frozenset({"general", "fault", "quantity", "trouble"})
_LISTS = frozenset({"and", "or", "then"})


def may_be_name(piece: tuple[Span, ...]) -> bool:
    """Work to come and one bare thing, in words that may as well name a part: "bleed screw", "drive belt"."""
    if len(piece) != 2 or piece[0].text.lower() != piece[0].base or piece[1].cls not in ("thing", "matter", "unknown"):
        return False
    first = look(piece[0].base)
    if not any(word.cls == "work" and word.form == "base" for word in first) or piece[1].text.lower().endswith("s"):
        return False
    return piece[0].base in NAMING or any(word.cls in _NOUNS for word in first)


def is_work(span: Span, code: str) -> bool:
    """Work for certain: a word that can be no thing."""
    return may_be(code, "w") and not may_be(code, "T") and not may_be(code, "M") and span.cls != "unknown"


def work_begins(piece: tuple[Span, ...], codes: str, start: int, at: int, *, past: bool) -> bool:
    """Whether the word behind a joining word opens work of its own: "replace hose and test system".

    A word that may as well name a thing is the verb where it names no part and what follows it is no thing that is
    named by its work (a test port, a reset switch). Any other is doubtful, and so is a base form behind a past.

    Args:
        piece: the spans of one piece.
        codes: their letters.
        start: where the act before begins.
        at: where the joining word stands; something follows it.
        past: whether the line has its work in the past.
    """
    span, code = piece[at + 1], codes[at + 1]
    if piece[at].base not in _LISTS or at - start < 2 or _bare_work(piece[start:at], codes[start:at]):
        return False
    certain = is_work(span, code) and piece[at].base != "or"
    held = words_of(span)
    if not _is_base(span, held) or not (span.base in NAMING or _may_be_other(held)):
        return certain
    if at + 2 == len(piece):
        if not any(word.cls == "thing" and word.kind in _NO_PART for word in held):
            return certain
        raise Doubt(f"{span.text}: thing or work", span)
    following = piece[at + 2]
    if following.cls == "det" or "det" in following.also:
        return piece[at].base != "or"
    if not _begins_thing(codes[at + 2]):
        return certain or (_may_be_other(held) and _names_no_part(held) and not past)  # "and test for leaks"
    head = _head(piece, codes, at + 2)
    if not certain and not _names_no_part(held) and (past or (_is_fluid(held) and not _is_many(head))):
        return False  # "replaced pump and seal kit", "oil filter": the name of a part
    if _may_be_other(held) and (past or not _names_no_part(held)):
        raise Doubt(f"{span.text}: thing or work", span)
    if piece[at].base == "or" or _named_by_work(head, plural_too=_may_be_other(held)):
        raise Doubt(f"{span.text}: the beginning of a name, or work", span)
    return True


def _bare_work(held: tuple[Span, ...], codes: str) -> bool:
    """Nothing but work, joined: "machine and balance" has its thing still to come."""
    return len(held) % 2 == 1 and all(
        span.cls == "join" if i % 2 else may_be(code, "w")
        for i, (span, code) in enumerate(zip(held, codes, strict=True))
    )


def _is_base(span: Span, held: tuple[Word, ...]) -> bool:
    named = span.base in NAMING
    return any((word.cls == "work" or (named and word.cls == "doing")) and word.form == "base" for word in held)


def _may_be_other(held: tuple[Word, ...]) -> bool:
    return any(word.cls in _NOUNS or word.cls == "quality" for word in held)


def _names_no_part(held: tuple[Word, ...]) -> bool:
    """A word that names a deed, a fault or a measure, none of which is fitted: test, repair, balance."""
    return all(word.kind in _NO_PART for word in held if word.cls in _NOUNS or word.cls == "quality")


def _is_fluid(held: tuple[Word, ...]) -> bool:
    return any(word.kind == "mass" for word in held)


def _begins_thing(code: str) -> bool:
    return any(may_be(code, letter) for letter in "TMQUL")


def _head(piece: tuple[Span, ...], codes: str, at: int) -> Span:
    """The thing a bare group ends in."""
    last = at
    while last + 1 < len(piece) and _begins_thing(codes[last + 1]) and piece[last + 1].cls not in ("join", "place"):
        last += 1
    return piece[last]


def _named_by_work(head: Span, *, plural_too: bool) -> bool:
    """Whether things of this name are told apart by the work they serve: plug, port, valve, screw, or nobody knows."""
    if head.cls == "unknown" or not head.base:
        return True
    return head.base.rpartition(" ")[2] in _heads() and (plural_too or not _is_many(head))


def _is_many(head: Span) -> bool:
    return any(word.cls in _NOUNS and word.form == "many" for word in words_of(head))


@cache
def _heads() -> frozenset[str]:
    """The last word of every listed name that begins with a word of work: drain *plug*, lift *pump*."""
    out = set()
    for name, held in words().items():
        first, _, rest = name.partition(" ")
        if rest and any(word.cls == "thing" for word in held):
            if any(word.cls == "work" and word.form == "base" for word in look(first)):
                out.add(rest.rpartition(" ")[2])
    return frozenset(out)
