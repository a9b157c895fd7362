"""What a line means, in records that hold no word of any language but the typed ones.

A leaf is a :class:`Span`: what was typed and what it stands for. How it is told is found by ``tell`` in the files of a
language, so one meaning is told in every language. Each record writes itself as JSON and is read back from it.
"""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Span:
    """One character group of a typed line.

    Attributes:
        text: as typed.
        start, end: where it stands in the line.
        cls: its class: thing, matter, state, quality, doing, side, figure, count, label, place, join, no, not, degree,
            code, mark, plain or unknown.
        base: what it stands for, short forms resolved, in small letters: ``rt`` may stand for ``right``.
        value: the digits of a figure, as typed, without the comma of thousands.
        unit: the name of its unit, empty where it has none.
        also: further classes the word may have.
    """

    text: str
    start: int
    end: int
    cls: str
    base: str
    value: str = ""
    unit: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """A thing with what stands in front of it: spans whole and in order.

    Attributes:
        spans: qualities and things in typed order, the thing last but for a label.
        side: the side of it, in front or behind as typed.
        behind: the side stands behind the thing and stays there: "the bulb on the right".
        determiner: both, all, other and the like.
        count: how many.
        negated: a *no* that belongs to this group alone.
    """

    spans: tuple[Span, ...]
    side: str = ""
    behind: bool = False
    determiner: str = ""
    count: str = ""
    negated: bool = False

    @property
    def head(self) -> Span:
        """The thing itself: the last span but labels."""
        return next((span for span in reversed(self.spans) if span.cls not in ("label", "count")), self.spans[-1])


@dataclass(frozen=True, slots=True)
class Things:
    """One group, or several joined by *and* or *or*."""

    groups: tuple[Group, ...]
    link: str = "and"


@dataclass(frozen=True, slots=True)
class Place:
    """Where or under what circumstances: a place word with things or a figure, or a set phrase."""

    word: str
    things: Things | None = None
    figure: Span | None = None
    phrase: str = ""


@dataclass(frozen=True, slots=True)
class How:
    """One state with its degree and its *not*."""

    state: str
    degree: str = ""
    negated: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """How something is. ``things`` left out: the same as in the clause before."""

    things: Things | None
    states: tuple[How, ...]
    front: tuple[Place, ...] = ()
    places: tuple[Place, ...] = ()
    link: str = "and"


@dataclass(frozen=True, slots=True)
class Measure:
    """What was measured of something, or by how much it is low or deep."""

    things: Things | None
    figure: Span
    word: str = ""
    front: tuple[Place, ...] = ()
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Present:
    """Foreign matter or a fault that is somewhere."""

    things: Things
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Absent:
    """What is not there."""

    things: Things
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Has:
    """What something has or has not; a figure of some matter may stand for the thing had."""

    things: Things | None
    what: Things
    figure: Span | None = None
    front: tuple[Place, ...] = ()
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Event:
    """What something does or did.

    Attributes:
        doing: the verb as listed; ``modal`` stands in front of it (will not, cannot).
        particles: words that belong to the verb (off, out).
        what: what it is done to: "rubs the bracket".
        past: it was typed in the past, and is told so in any tense.
    """

    things: Things | None
    doing: str
    negated: bool = False
    modal: str = ""
    particles: tuple[str, ...] = ()
    how: tuple[How, ...] = ()
    figure: Span | None = None
    what: Things | None = None
    front: tuple[Place, ...] = ()
    places: tuple[Place, ...] = ()
    past: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """How something smells, looks, feels, sounds or stays: a state or a figure."""

    things: Things | None
    doing: str
    states: tuple[How, ...] = ()
    figure: Span | None = None
    front: tuple[Place, ...] = ()
    places: tuple[Place, ...] = ()
    past: bool = False


@dataclass(frozen=True, slots=True)
class Act:
    """One piece of work.

    Attributes:
        work: as listed; ``joined`` is further work on the same things ("drained and refilled").
        things: what it was done to; ``new`` what was put in by it; ``using`` what it was done with.
        figure: how much, to what figure or how many times (``figure_word``: to, with, for, times, of).
        again: *it* or *them*: the things of the act before.
    """

    work: str
    things: Things | None = None
    joined: tuple[str, ...] = ()
    new: Things | None = None
    using: Things | None = None
    figure: Span | None = None
    figure_word: str = ""
    places: tuple[Place, ...] = ()
    again: str = ""


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial of the closed list, with a figure and circumstances."""

    kind: str
    figure: Span | None = None
    things: Things | None = None
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Nominal:
    """Something named: a cause, a suspicion, what was ruled out."""

    things: Things
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Booked:
    """A wording of the phrasebook: its entry, its told text and what stands in its places."""

    entry: str
    told: str
    slots: tuple[tuple[str, str], ...] = ()


Clause = State | Measure | Present | Absent | Has | Event | Link | Act | Trial | Nominal | Booked


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a line means: clauses in typed order, and what stood between them (``,``, ``.``, ``and``, ``but``)."""

    clauses: tuple[Clause, ...]
    joins: tuple[str, ...] = ()


def together(meaning: Meaning) -> Meaning:
    """States of one thing typed one behind another as one clause: "belt cracked, glazed" was cracked and glazed.

    Only where nothing said of one could be taken for the other: no place, no *but*, and each with its own degree and
    its own *not*.
    """
    out: list[Clause] = []
    between: list[str] = []
    for i, clause in enumerate(meaning.clauses):
        last = out[-1] if out else None
        join = meaning.joins[i - 1] if i else ""
        if isinstance(last, State) and isinstance(clause, State) and join in (",", "and") and _joins_on(last, clause):
            out[-1] = replace(last, states=(*last.states, *clause.states))
            continue
        if i:
            between.append(join)
        out.append(clause)
    return Meaning(tuple(out), tuple(between))


def _joins_on(last: State, clause: State) -> bool:
    if clause.things is not None or clause.front or clause.places or last.places or not (last.states and clause.states):
        return False
    how, then = last.states[-1], clause.states[0]
    plain = "and" in (last.link, clause.link) and "or" not in (last.link, clause.link)
    return plain and (not how.negated or then.negated) and (not how.degree or bool(then.degree))


@dataclass(frozen=True, slots=True)
class Unsure:
    """Why a line is kept as typed, and the place in it that is in doubt."""

    reason: str
    start: int
    end: int
