"""Tests and drives: what was done ("We drove 9 miles"), what else was so, and what came of it."""

from dataclasses import dataclass
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.readings.units import find
from ticket.story.words import tag
from ticket.story.words.clauses import PAST, Clause, Parser, clauses, noun_group
from ticket.story.words.conditions import Condition, condition, together
from ticket.story.words.groups import group
from ticket.story.words.labour import tasks
from ticket.story.words.spell import measure, spell
from ticket.story.words.tokens import MAX_TEXT, NUMBER, UNIT, WORD, Token

_STEP = Regex(r"[,;]")
_DRIVES = (
    ("road", "test"),
    ("test", "drive"),
    ("drive",),
    ("drove",),
    ("driven",),
    ("test-drive",),
    ("roadtest",),
    ("road-test",),
)
_IDLES = (("idle", "run"), ("idled",), ("idle",), ("let", "idle"), ("ran", "at", "idle"))
_CLEARED = frozenset(
    {"codes cleared", "cleared codes", "clear codes", "code cleared", "fault codes cleared", "cleared fault codes"}
)
_READ_AGAIN = frozenset(
    {
        "codes read again",
        "read codes again",
        "codes reread",
        "codes re-read",
        "rescan",
        "rescanned",
        "scanned again",
        "fault codes read again",
    }
)
_CLEARED_AND_READ = frozenset(
    {"codes cleared and read again", "cleared codes and read again", "codes cleared and reread"}
)
_NONE = frozenset("none stored, none active, none, no codes, none came back, none pending, no fault codes".split(", "))
_ACTS = frozenset("backed revved braked steered coasted accelerated".split())
_WORKED = frozenset(
    "opened closed cycled locked unlocked pressed turned switched raised lowered moved operated worked".split()
)
_STAYS = frozenset("dry off on quiet cold cool clean tight closed open firm shut steady".split())
_LATE = frozenset({"again", "twice", "once"})


@dataclass(frozen=True, slots=True)
class Trial:
    """A test as it is told.

    Attributes:
        acts: what we did, in the past, without "we".
        circumstances: what stands behind the acts ("with 20 minutes in slow traffic").
        outcomes: what came of it, clause by clause.
        again: the outcome of reading the codes again ("none were stored"), or empty.
    """

    acts: tuple[str, ...]
    circumstances: tuple[Condition, ...]
    outcomes: tuple[str, ...]
    again: str = ""


@lru_cache(maxsize=1024)
def trial(text: str) -> Trial | None:
    """The test a text tells, or ``None`` when some of it has another shape."""
    if len(text) > MAX_TEXT:
        return None
    made = _Made()
    for step in (piece.strip() for piece in _STEP.split(text)):
        if step and not _take(step, made):
            return None
    if not made.acts and not made.again:
        return None
    if made.reading and not made.again:
        made.acts.append("read the codes again")
    return Trial(tuple(made.acts), tuple(made.circumstances), _merged(made.outcomes), made.again)


class _Made:
    def __init__(self) -> None:
        self.acts: list[str] = []
        self.circumstances: list[Condition] = []
        self.outcomes: list[Clause] = []
        self.again = ""
        self.reading = False
        self.driven = False
        self.named = False


def _take(step: str, made: _Made) -> bool:
    low = step.lower()
    if low in _CLEARED:
        made.acts.append("cleared the codes")
        return True
    if low in _CLEARED_AND_READ:
        made.acts.append("cleared the codes")
        made.reading = True
        return True
    if low in _READ_AGAIN:
        made.reading = True
        return True
    if made.reading and not made.again and low in _NONE:
        made.again = (
            f"none were {low.split()[1]}" if low.startswith("none ") and "came" not in low else "there were none"
        )
        return True
    pieces = spell(step)
    if not pieces:
        return False
    return _drive(pieces, made) or _idle(pieces, made) or _stops(pieces, made) or _other(step, pieces, made)


def _opening(pieces: tuple[Token, ...], ways: tuple[tuple[str, ...], ...]) -> int:
    low = [piece.low for piece in pieces]
    return max((len(way) for way in ways if tuple(low[: len(way)]) == way), default=0)


def _amount(pieces: tuple[Token, ...], i: int) -> tuple[str, int]:
    if i + 1 < len(pieces) and pieces[i].kind == NUMBER and pieces[i + 1].kind == UNIT:
        return measure(pieces[i].text, pieces[i + 1].text), i + 2
    return "", i


def _drive(pieces: tuple[Token, ...], made: _Made) -> bool:
    i = _opening(pieces, _DRIVES)
    if not i:
        return False
    amount, i = _amount(pieces, i)
    if not amount and i + 1 < len(pieces) and pieces[i].low in ("of", "for"):
        amount, i = _amount(pieces, i + 1)
    rest = _tail(pieces, i)
    if rest is None:
        return False
    timed = amount.rpartition("\u00a0")[2].startswith(("minute", "hour"))
    made.acts.append(f"drove {'for ' if timed else ''}{amount}{rest}" if amount else f"drove a road test{rest}")
    made.driven = True
    return True


def _tail(pieces: tuple[Token, ...], i: int) -> str | None:
    """What follows in the same step: preposition groups, "loaded"."""
    text, end = Parser(pieces, PAST).tied(i)
    while end < len(pieces) and (tag.state(pieces[end]) is not None or tag.adverb(pieces[end])):
        more, after = Parser(pieces, PAST).tied(end + 1)
        text, end = f"{text} {pieces[end].low}{more}", after
    return text if end == len(pieces) else None


def _idle(pieces: tuple[Token, ...], made: _Made) -> bool:
    i = _opening(pieces, _IDLES)
    if not i:
        return False
    if i < len(pieces) and pieces[i].low == "for":
        i += 1
    amount, i = _amount(pieces, i)
    rest = _tail(pieces, i)
    if not amount or rest is None:
        return False
    made.acts.append(f"let the engine idle for {amount}{rest}")
    return True


def _stops(pieces: tuple[Token, ...], made: _Made) -> bool:
    """ "10 stops from 40 mph", "20 min in slow traffic", "15 min", "3 hot restarts"."""
    if not made.acts or pieces[0].kind != NUMBER:
        return False
    amount, i = _amount(pieces, 0)
    if amount:
        rest = _tail(pieces, i)
        if rest is None:
            return False
        if not rest and not made.driven:
            made.acts[-1] += f" for {amount}"
        else:
            made.circumstances.append(Condition("with", amount + rest))
        return True
    found = group(pieces, 0)
    if found is None or found.noun.singular not in ("stop", "start", "turn", "restart", "cycle", "run", "trip", "pass"):
        return False
    rest = _tail(pieces, found.end)
    if rest is None:
        return False
    made.acts.append(f"made {found.bare()}{rest}")
    return True


def _goes_on(pieces: tuple[Token, ...], made: _Made) -> bool:
    """More things tested: "wiggle test of dash plug, ignition wiring and ground points 20 min"."""
    if not made.named or made.outcomes or made.circumstances:
        return False
    texts: list[str] = []
    i = 0
    while i < len(pieces):
        found = group(pieces, i)
        if found is None or found.given in ("no", "none"):
            break
        texts.append(found.the())
        i = found.end
        if i < len(pieces) and pieces[i].low == "and":
            i += 1
    amount, i = _amount(pieces, i)
    if not texts or i != len(pieces):
        return False
    first, last = texts[:-1], texts[-1]
    more = "".join(f", {text}" for text in first) + (
        ", and " if not first or "and" in (p.low for p in pieces) else ", "
    )
    made.acts[-1] += f"{more}{last}{f' for {amount}' if amount else ''}"
    return True


def _other(step: str, pieces: tuple[Token, ...], made: _Made) -> bool:
    if _goes_on(pieces, made):
        return True
    if made.acts and not made.outcomes:
        held = condition(step)
        if (
            pieces[0].low not in ("no", "none")
            and held is not None
            and (held.how == "with" or tag.preposition(pieces[0]))
            and not _event(pieces)
        ):
            made.circumstances.append(held)
            return True
    act = _act(pieces)
    if act:
        made.acts.append(act)
        return True
    named = _named_test(pieces)
    if named:
        made.acts.append(named)
        made.named = " of " in named
        return True
    done, unknown = tasks(step)
    if done and not unknown and len(done) == 1 and _past_typed(pieces):
        made.acts.append(done[0].told())
        return True
    seen = clauses(pieces) or _of_it(pieces, made)
    if seen is not None and not any(item.form == "bare" for item in seen):
        made.outcomes += seen
        return True
    alone = noun_group(pieces)
    if alone is not None and alone[1] and made.driven and not made.outcomes:
        made.circumstances.append(Condition("with", alone[0].bare() + alone[1]))
        return True
    return False


def _of_it(pieces: tuple[Token, ...], made: _Made) -> list[Clause] | None:
    """An outcome without a subject is one of the thing that was worked: "window cycled 10 times, closes fully"."""
    if not made.acts or made.driven or (tag.finite(pieces[0]) is None and pieces[0].low != "held"):
        return None
    return clauses((Token("it", WORD), *pieces))


def _act(pieces: tuple[Token, ...]) -> str:
    """What we did with the vehicle: "backed up to wall 5 times", "door opened 50 times", "parked overnight"."""
    low = [piece.low for piece in pieces]
    if low[:1] == ["parked"] and low[1:] in (["overnight"], ["over", "night"], ["one", "night"]):
        return "let the vehicle stand overnight"
    if low[0] in _ACTS:
        rest, end = Parser(pieces, PAST).rest(1)
        return f"{low[0]}{rest}" if rest is not None and end == len(pieces) else ""
    return _moved(pieces)


def _moved(pieces: tuple[Token, ...]) -> str:
    """ "Door opened and closed 50 times": a thing that was worked so many times."""
    if len(pieces) < 4 or pieces[-1].low != "times" or pieces[-2].kind != NUMBER:
        return ""
    found = group(pieces, 0)
    if found is None:
        return ""
    words = [piece.low for piece in pieces[found.end : -2]]
    if not words or any(word not in _WORKED for word in words[::2]) or any(word != "and" for word in words[1::2]):
        return ""
    return f"{' '.join(words)} {found.thing()} {pieces[-2].text} times"


def _event(pieces: tuple[Token, ...]) -> bool:
    """A state of a lamp or a noise is an outcome, not a condition, unless it names the engine or a switch position."""
    nouns = {noun.singular for piece in pieces if (noun := tag.noun(piece)) is not None}
    return bool(nouns & {"light", "lamp", "warning", "message", "fan", "pump", "motor"}) and not nouns & {
        "headlight",
        "headlamp",
        "engine",
    }


def _past_typed(pieces: tuple[Token, ...]) -> bool:
    verb = tag.verb(pieces[0])
    return pieces[0].low.endswith("ed") or (verb is not None and verb.form in ("past", "participle"))


def _named_test(pieces: tuple[Token, ...]) -> str:
    """ "wiggle test of crankshaft sensor and ignition wiring"."""
    found = group(pieces, 0)
    if found is None or found.noun.singular not in ("test", "check", "scan", "wash", "inspection"):
        return ""
    start = found.end
    text, end = Parser(pieces, PAST).tied(start)
    if end < len(pieces) and pieces[end].low in _LATE:
        text, end = f"{text} {pieces[end].low}", end + 1
    while end < len(pieces) and (measured := _held_at(pieces, end)):
        text, end = text + measured, end + 2
    return f"did {found.any()}{text}" if end == len(pieces) else ""


def _held_at(pieces: tuple[Token, ...], i: int) -> str:
    """ "15 psi" is " at 15 psi", "20 min" is " for 20 minutes"."""
    amount, _ = _amount(pieces, i)
    unit = find(pieces[i + 1].text) if amount else None
    return "" if unit is None else f" {'for' if unit.dimension == 'time' else 'at'} {amount}"


def _merged(items: list[Clause]) -> tuple[str, ...]:
    """Outcomes: absent things side by side, states that lasted told as lasting."""
    out: list[str] = []
    i = 0
    while i < len(items):
        same = [items[i]]
        while items[i].form == "no" and i + len(same) < len(items) and items[i + len(same)].form == "no":
            same.append(items[i + len(same)])
        if len(same) > 1:
            out.append("there was " + " and ".join(item.subject for item in same))
        else:
            out.append(_lasting(items[i]))
        i += len(same)
    return tuple(out)


def _lasting(item: Clause) -> str:
    if item.form == "state" and item.rest.split(" ")[0] in _STAYS:
        return f"{item.subject} stayed {item.rest}"
    return item.text


def circumstances(made: Trial) -> str:
    """What stands behind the acts, with its comma: ", with the engine hot and the air conditioning on"."""
    text = together(made.circumstances)
    return f", {text}" if text else ""
