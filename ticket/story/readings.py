"""Readings of findings and proofs as phrases: the thing, the value, the verdict, the limit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Ref, Run
from ticket.language.lexicon import look
from ticket.language.quantities import OTHER, Subject, plain, position, subject
from ticket.readings import moments
from ticket.readings.inexact import parts
from ticket.readings.pairing import judge_entry, measured
from ticket.readings.units import same
from ticket.readings.verdict import Verdict
from ticket.story.context import Job

BAD = ("low", "high")
SAID = {">": "value.more", "<": "value.less", "~": "value.about", ">=": "value.least"}


@dataclass(frozen=True, slots=True)
class Reading:
    """One value of a run with all that is told of it.

    Attributes:
        entry: the finding or proof.
        number: as typed.
        unit: of the run.
        label: its position as typed, or empty.
        place: the position in words.
        limits: of the run.
        verdict: computed.
        thing: what was measured; ``None`` where that is no certain name.
        what: the name as typed.
        counted: its position comes from its place in a counted list.
        name: what was measured with its conditions, before the story took it apart.
        together: how many readings stand side by side with it, itself included.
        alone: they are all its entry measured.
        group: number of their group on the entry.
        home: number of the earlier ticket it stands on; 0 for the one that is told.
        uncertainty: how far the gauge may be off on either side, as typed.
    """

    entry: Entry
    number: str
    unit: str
    label: str
    place: str
    limits: Limits | None
    verdict: Verdict
    thing: Subject | None
    what: str
    counted: bool = False
    name: str = ""
    together: int = 1
    alone: bool = True
    group: int = 0
    home: int = 0
    uncertainty: str = ""

    @property
    def ref(self) -> Ref:
        """The entry, as seen from the ticket that is told."""
        return Ref(self.entry.no, self.home)

    @property
    def bad(self) -> bool:
        """Out of its limits."""
        return self.verdict.word in BAD

    @property
    def good(self) -> bool:
        """Within its limits."""
        return self.verdict.word == "in"

    @property
    def apart(self) -> bool:
        """Within its own limits, but too far from the other readings of its run."""
        spread = f"{self.limits.spread} {self.limits.spread_unit or self.unit}".strip() if self.limits else ""
        return self.bad and self.verdict.by is None and self.verdict.limit == spread

    @property
    def quantity(self) -> str:
        """The row of ``quantities.tsv``."""
        return self.thing.quantity if self.thing else OTHER

    @property
    def value(self) -> Fraction | None:
        """The exact value, of a bound its figure; ``None`` for a word, a range and what is only about or at least."""
        said = parts(self.number)
        return None if said.than in ("~", ">=") else said.value

    @property
    def word(self) -> bool:
        """A word such as ``OL``, no figure of any kind."""
        said = parts(self.number)
        return not said.to and said.value is None

    @property
    def limit_unit(self) -> str:
        """The unit its limits were typed in."""
        return (self.limits.unit if self.limits else "") or self.unit


def readings(job: Job, entry: Entry, visit: Ticket | None = None) -> tuple[Reading, ...]:
    """The readings of an entry, completed from what it measures again.

    Args:
        job: what is told.
        entry: the entry.
        visit: the earlier ticket it stands on, where it is not the one that is told.
    """
    if not isinstance(entry.fact, Found | Proof):
        return ()
    home = visit or job.ticket
    verdicts = iter(judge_entry(home, entry, job.case.earlier))
    groups = measured(home, entry, job.case.earlier).groups
    out: list[Reading] = []
    for at, taken in enumerate(groups):
        own = tuple(islice(verdicts, len(taken.run.values)))
        made = _readings(entry, taken.what, taken.run, own)
        away = visit.number if visit else 0
        out += (replace(one, alone=len(groups) == 1, group=at, home=away) for one in made)
    return tuple(out)


def as_left(held: Sequence[Reading]) -> tuple[Reading, ...]:
    """What was read at the end: of "before 2.1 now 0.3" the first is what was wrong, no result."""
    return moments.as_left(held, lambda reading: reading.name)


def _readings(entry: Entry, name: str, run: Run, verdicts: tuple[Verdict, ...]) -> Iterator[Reading]:
    labels = [value.label for value in run.values]
    what, counted = _counted(name, run, labels)
    bare = len(run.values) > 1 and not any(labels) and not counted
    for i, value in enumerate(run.values):
        label = f"cylinder {i + 1}" if counted else labels[i]
        own = _of_part(what, label)
        if own:
            yield Reading(entry, value.number, run.unit, "", "", run.limits, verdicts[i], subject(own, run.unit), own,
                          False, own, len(run.values), uncertainty=value.uncertainty)  # fmt: skip
            continue
        named = subject(what, run.unit, label)
        place = position(label) if label else ""
        yield Reading(
            entry, value.number, run.unit, label, place, run.limits, verdicts[i], named, what, counted or bare, name,
            len(run.values), uncertainty=value.uncertainty,
        )  # fmt: skip


def _of_part(what: str, label: str) -> str:
    """The whole name where only a quantity was named and its numbered part stands as the place: sensor 3 resistance."""
    words = plain(what)
    measured_thing = " " not in words and any(word.kind == "quantity" for word in look(words))
    numbered = label[-1:].isdecimal() and not label.lower().startswith("cyl")
    return f"{label} {what}" if measured_thing and numbered else ""


def _counted(what: str, run: Run, labels: list[str]) -> tuple[str, bool]:
    """Whether bare values stand for cylinders one by one: three or more, and the words say so."""
    bare = what.lower().split()
    listed = len(run.values) > 2 and not any(labels)
    if listed and bare and bare[-1] in ("cyl", "cyls", "cylinder", "cylinders"):
        return " ".join(what.split()[:-1]) or "compression", True
    return what, listed and "compression" in bare


def same_thing(one: Reading, other: Reading) -> bool:
    """Whether two readings are of one thing, whatever the conditions."""
    if one.thing is None or other.thing is None or not same(one.unit, other.unit):
        return False
    return (one.quantity, one.thing.key) == (other.quantity, other.thing.key)
