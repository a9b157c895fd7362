"""Drawing jobs for an audit: the same seed draws the same ones anywhere; and what a sample can say. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from ticket.job.text import one_line
from ticket.job.wall import local_day
from ticket.money.amount import grouped
from ticket.past.intervals import clopper_pearson, rule_of_three
from ticket.store.briefs import Brief


def draw(numbers: Iterable[int], count: int, seed: str) -> tuple[int, ...]:
    """So many of the numbers, rising. Each has the same chance, and a job that comes later pushes out one at most.

    Args:
        numbers: of the jobs to draw from.
        count: how many.
        seed: any text; the same one draws the same jobs.
    """
    keyed = sorted((sha256(f"{seed}:{number}".encode()).digest(), number) for number in set(numbers))
    return tuple(sorted(number for _, number in keyed[: max(count, 0)]))


def what_it_says(odd: int, sample: int, whole: int) -> str:
    """What some odd jobs of a sample say of all jobs it was drawn from, in one sentence."""
    if not sample:
        return "No job was drawn: nothing is known."
    if sample == whole:
        if whole == 1:
            return f"The one job was looked at: it holds {'something' if odd else 'nothing'} to look at."
        return f"All {whole:,} jobs were looked at: {odd:,} of them {_hold(odd)} something to look at."
    unseen = whole - sample
    if not odd:
        most = rule_of_three(sample)
        none = f"None of {sample:,} jobs holds anything" if sample > 1 else "The one job holds nothing"
        if most * whole >= unseen:  # so few are left that the rule says less than counting them
            return f"{none}; the other {unseen:,} of all {whole:,} {'was' if unseen == 1 else 'were'} not looked at."
        return (
            f"{none}; of all {whole:,} at most {100 * most:.1f} % do, with 95 %"
            f" confidence (rule of three: 3 / {sample:,})."
        )
    jobs = "job" if sample == 1 else "jobs"
    low, high = clopper_pearson(odd, sample)
    low, high = max(low, odd / whole), min(high, (odd + unseen) / whole)  # those looked at are known
    return (
        f"{odd:,} of {sample:,} {jobs} {_hold(odd)} something to look at; of all {whole:,} it is between"
        f" {100 * low:.1f} and {100 * high:.1f} %, with 95 % confidence (Clopper and Pearson)."
    )


def _hold(count: int) -> str:
    return "holds" if count == 1 else "hold"


COLUMNS = (
    "ticket", "day", "vehicle", "status", "bill of all", "customer owes", "agreed", "sums are", "difference",
    "above agreed", "blocking questions", "seal", "to look at",
)  # fmt: skip
"""The bill is what all payers owe with tax; what the customer owes and agreed to are told alike, as "sums are" says."""
_FINE = ("holds", "not signed")


@dataclass(frozen=True, slots=True)
class Looked:
    """One job of a sample.

    Attributes:
        job: in a few words.
        questions: what blocks its signing, each by its id.
        seal: whether its seal holds, in words.
        odd: what somebody should look at, in words; empty where nothing is.
    """

    job: Brief
    questions: tuple[str, ...]
    seal: str
    odd: tuple[str, ...]

    @property
    def elsewhere(self) -> bool:
        """It was signed in another shop, and nobody here proved that."""
        return self.seal.startswith("signed elsewhere, not")

    @property
    def cells(self) -> tuple[str, ...]:
        """The job as a row of :data:`COLUMNS`."""
        job = self.job
        sums = ["" if cents is None else grouped(cents) for cents in (job.total, job.billed, job.agreed)]
        return (
            str(job.number), str(local_day(job.opened)), one_line(job.vehicle), job.status, *sums, job.base,
            "" if job.difference is None else grouped(job.difference),
            "" if job.total is None else "yes" if job.over else "no",
            ", ".join(self.questions), self.seal, "; ".join(self.odd),
        )  # fmt: skip


def odd_seal(seal: str) -> bool:
    """Whether a seal, in words, is something to look at; one that another shop gave is counted apart."""
    return seal not in _FINE and not seal.startswith("signed elsewhere")


@dataclass(frozen=True, slots=True)
class Drawing:
    """How a sample came about, so that it can be kept and drawn again.

    Attributes:
        query: as typed.
        asked: how many jobs were asked for.
        seed: the same one draws the same jobs.
        at: when it was drawn.
        by: who drew it.
        head: the newest row of the journal it was drawn from, with its hash.
    """

    query: str
    asked: int
    seed: str
    at: datetime
    by: str
    head: str

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """It as names with their values."""
        return (
            ("search", one_line(self.query)), ("seed", one_line(self.seed)), ("asked for", f"{self.asked:,}"),
            ("drawn", f"{self.at.astimezone():%Y-%m-%d %H:%M}"), ("by", one_line(self.by)), ("journal", self.head),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sample:
    """What was drawn.

    Attributes:
        drawing: how.
        whole: how many jobs fit.
        rows: those drawn, by their numbers.
    """

    drawing: Drawing
    whole: int
    rows: tuple[Looked, ...]

    @property
    def says(self) -> str:
        """What the sample says of all jobs it was drawn from, and what of its jobs is counted apart."""
        said = what_it_says(sum(bool(row.odd) for row in self.rows), len(self.rows), self.whole)
        waiting = sum(bool(row.questions) for row in self.rows if row.job.status != "signed")
        if waiting:
            jobs = "1 job that is not signed has" if waiting == 1 else f"{waiting:,} jobs that are not signed have"
            said += f" Beside that {jobs} questions that block signing; they count where a job is signed all the same."
        if elsewhere := sum(row.elsewhere for row in self.rows):
            jobs = "1 job was" if elsewhere == 1 else f"{elsewhere:,} jobs were"
            said += f" {jobs} signed elsewhere: that was not proved here."
        return said
