"""Under what conditions something was measured or tried: "with the engine running and the headlights on"."""

from dataclasses import dataclass
from functools import cache

from ticket.language.forms import listed
from ticket.readings.units import find
from ticket.story.words import tag
from ticket.story.words.clauses import PAST, Parser, clauses, noun_group
from ticket.story.words.groups import group
from ticket.story.words.lexicon import rows
from ticket.story.words.spell import join, measure, spell
from ticket.story.words.tokens import NUMBER, UNIT, Token

_HELD = frozenset(
    "on off running open closed hot cold warm loaded unloaded unplugged disconnected connected parked raised "
    "held tight".split()
)
_AT_ENDS = frozenset("load speed throttle rpm temperature idle pressure position gear command".split())


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition: ``how`` is ``with`` (joins others behind one "with") or ``at`` (stands by itself)."""

    how: str
    text: str


@cache
def _listed() -> dict[str, Condition]:
    return {typed: Condition(how, told) for typed, how, told in rows("conditions")}


def condition(text: str, *, reading: bool = False) -> Condition | None:
    """What one piece of typed text says about the conditions, or ``None`` for another shape.

    Args:
        text: as typed.
        reading: it stands beside a figure, so that "glass wet" is a condition and no outcome.
    """
    pieces = spell(text)
    if not pieces:
        return None
    words = join(pieces).lower()
    known = _listed().get(words) or _listed().get(text.strip().lower())
    if known is not None:
        return known
    if tag.preposition(pieces[0]) or pieces[0].low in ("when", "while"):
        tied = _tied(pieces)
        return Condition("at", tied) if tied else None
    if len(pieces) > 1 and pieces[0].kind == NUMBER and pieces[1].kind == UNIT:
        return _figured(pieces)
    found = group(pieces, 0)
    if found is not None and found.end == len(pieces) and found.named and found.noun.singular in _AT_ENDS:
        return Condition("at", f"at {found.bare()}")
    if found is not None and found.end == len(pieces) and found.words.rpartition(" ")[2] in _AT_ENDS:
        return Condition("at", f"at {found.bare()}")
    return _state(pieces, reading=reading) or _held(pieces)


def _figured(pieces: tuple[Token, ...]) -> Condition | None:
    """ "1500 rpm", "10 min after shutdown", "68 degF in the bay"."""
    tied, end = Parser(pieces, PAST).tied(2)
    if end != len(pieces):
        return None
    amount = measure(pieces[0].text, pieces[1].text) + tied
    timed = getattr(find(pieces[1].text), "dimension", "") == "time"
    if timed and not tied:
        return Condition("at", f"after {amount}")
    return Condition("at", amount if timed else f"at {amount}")


def _held(pieces: tuple[Token, ...]) -> Condition | None:
    """A thing that was there: "cold engine", "test hose from a clean can"."""
    named = noun_group(pieces)
    if named is None or not (named[0].defect or named[1]) or named[0].noun.kind == "quantity":
        return None
    return Condition("with", named[0].any() + named[1])


def _tied(pieces: tuple[Token, ...]) -> str:
    parser = Parser(pieces, PAST)
    text, end = parser.tied(0)
    if end == len(pieces):
        return text.strip()
    rest, end = parser._rest(0)  # noqa: SLF001 - the parser's own rule for what follows a verb
    return rest.strip() if rest and end == len(pieces) else ""


def _state(pieces: tuple[Token, ...], *, reading: bool) -> Condition | None:
    found = clauses(pieces)
    if found and len(found) == 1 and found[0].form == "state" and (reading or _holds(found[0].rest)):
        return Condition("with", f"{found[0].subject} {found[0].rest}")
    return None


def _holds(rest: str) -> bool:
    first, _, more = rest.partition(" ")
    return first in _HELD and (not more or more.split(" ")[0] in tag.PREPOSITIONS or first == "held")


def together(items: "tuple[Condition, ...] | list[Condition]") -> str:
    """Several conditions as one phrase, the "with" ones joined."""
    plain = [item.text for item in items if item.how == "at"]
    held = [item.text for item in items if item.how == "with"]
    alike = len(plain) > 1 and len({item.split(" ")[0] for item in plain}) == 1
    told = listed(plain) if alike else " ".join(plain)
    return " ".join(piece for piece in (told, f"with {listed(held)}" if held else "") if piece)
