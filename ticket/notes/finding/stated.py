"""What the walk over a finding collects: readings, limits with their place, and what is left over."""

from dataclasses import dataclass, field

from ticket.notes.finding.tokens import DISTANCES, Amount, GivenLimits, Line, Places, Token


@dataclass(slots=True)
class Reading:
    """One amount that is stated as measured.

    Attributes:
        token: where it stands.
        amount: what was read; its unit may be filled in later from its list.
        places: the positions it was taken at.
        subject: the words that name it.
        name: the same without what stands behind the value, to tell whether two readings are of one thing.
        when: the conditions it was taken under.
        part: index of its comma part.
        clause: index of its ``;`` part.
        series: readings of one list share a number.
        limits: the limits that judge it.
        own: it has a subject, position, condition or list of its own in its part.
        pair: ``before`` or ``after`` where it is one end of a change.
        asked: a question about it, which forbids a verdict.
    """

    token: Token
    amount: Amount
    places: Places = ()
    subject: tuple[Token, ...] = ()
    name: tuple[Token, ...] = ()
    when: list[Token] = field(default_factory=list)
    part: int = 0
    clause: int = 0
    series: int = 0
    limits: GivenLimits | None = None
    own: bool = False
    pair: str = ""
    asked: str = ""


@dataclass(slots=True)
class PlacedLimits:
    """Limits with their place among the readings.

    Attributes:
        token: where they stand.
        given: the limits.
        part: index of the comma part.
        clause: index of the ``;`` part.
        alone: they are a comma part of their own.
    """

    token: Token
    given: GivenLimits
    part: int
    clause: int
    alone: bool = False


@dataclass(slots=True)
class Walked:
    """What the walk found.

    Attributes:
        readings: in order.
        limits: in order.
        parts: the tokens of each comma part.
        doubts: for a part that cannot be read, why; by its index.
        left: amounts that no rule explains.
        unsure: words by which the typist says so.
        dropped: readings that are not stated.
    """

    readings: list[Reading] = field(default_factory=list)
    limits: list[PlacedLimits] = field(default_factory=list)
    parts: list[list[Token]] = field(default_factory=list)
    doubts: dict[int, str] = field(default_factory=dict)
    left: list[Token] = field(default_factory=list)
    unsure: list[Token] = field(default_factory=list)
    dropped: list[Reading] = field(default_factory=list)


class Progress:
    """How far a walk has come: what earlier parts of the line said that later ones may go on with.

    Attributes:
        line: the parsed line.
        done: what was found so far.
        stack: positions that still hold, coarse to fine.
        subject: the words that named the last reading.
        topic: the position of the last part was said once, for one reading.
        series: number of the last list.
        clause: index of the ``;`` part.
        topic_words: words of the parts before the first reading.
        carried: the subject of the ``;`` part before.
        lead: a condition in front of the first position of a list.
        heading: conditions that hold for the whole line.
        topic_when: conditions of a part that only names what the next one reads.
        stand_in: the condition that names what is read where no word does.
        head: words in front of a colon, which name all that is read behind it.
    """

    def __init__(self, line: Line) -> None:
        self.line = line
        self.done = Walked()
        self.stack: dict[str, str] = {}
        self.subject: tuple[Token, ...] = ()
        self.topic = False
        self.series = 0
        self.clause = 0
        self.topic_words: tuple[Token, ...] = ()
        self.carried: tuple[Token, ...] | None = None
        self.lead: list[Token] = []
        self.heading: list[Token] = []
        self.topic_when: list[Token] = []
        self.stand_in: tuple[Token, ...] = ()
        self.head: tuple[Token, ...] = ()


def is_told(amount: Amount) -> bool:
    """Times, distances and speeds are told of a test rather than measured."""
    return not amount.bare and (amount.dimension in ("time", "speed") or amount.unit.casefold() in DISTANCES)


_DRIVING = frozenset("drove drive driven driving road rode ride hauled towed".split())


def is_driven(done: Walked, reading: Reading) -> bool:
    """``drove 24 mi with a trailer``: how far or how fast a test went."""
    return is_told(reading.amount) and any(token.text in _DRIVING for token in done.parts[reading.part])


def is_whole_state(condition: Token) -> bool:
    """Whether it tells how key and engine stood, which holds for all that was read then."""
    return not condition.held and condition.text.casefold().removeprefix("at ").removeprefix("with ") in _WHOLE_STATES


_WHOLE_STATES = frozenset(
    {
        "koeo", "koer", "key on", "key on engine off", "key on engine running", "ign on", "ignition on", "engine off",
        "engine running", "eng running", "eng rung", "engine rung", "idle", "idling", "hot idle", "key off", "eng off",
        "ign off", "ignition off",
    }
)  # fmt: skip


def is_run_at(reading: Reading) -> bool:
    """Whether it is said how fast something turned while it was read."""
    held = [one for condition in reading.when for one in condition.held or () if one.letter == "q"]
    return any(one.amount.dimension == "rotation" for one in held)


def is_moment(condition: Token) -> bool:
    """Which end of the work it was read at."""
    return not condition.held and condition.text.casefold().startswith(_ENDS)


_ENDS = ("bef", "b4", "aft", "now", "was", "then", "from", "new", "old", "as found", "as-found", "as left", "as-left")
