"""What an audit finds: differences, each with the place it is at, and remarks that are none."""

from collections.abc import Callable
from dataclasses import dataclass, field

Tell = Callable[[str, int, int], None]
"""Called with what is done, how much of it, and how much there is."""
MOST = 200  # differences that are listed; the others are counted


def untold(_what: str, _done: int, _total: int) -> None:
    """Nobody listens."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is not as it was written.

    Attributes:
        where: the place: ``journal 27``, ``ticket 1020 entry 4``, ``setting zone``, ``schema trigger entry_keep``.
        says: what is wrong there, without a final stop.
        row: of the journal, where one can be named.
    """

    where: str
    says: str
    row: int | None = None

    def __str__(self) -> str:
        return f"{self.where}: {self.says}"


@dataclass(frozen=True, slots=True)
class Audit:
    """What an audit found.

    Attributes:
        rows: of the journal.
        head: the last row in print; compare it with one on paper, since a cut-off end shows nowhere else.
        differences: what was changed, as far as the file itself can tell; the first 200.
        more: differences beyond those.
        times: rows whose clock was wrong, which is no difference.
        remarks: what else to know, such as what can still be read.
    """

    rows: int
    head: str
    differences: tuple[Difference, ...] = ()
    more: int = 0
    times: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """Nothing differs."""
        return not self.differences

    @property
    def first_bad(self) -> int | None:
        """The first row of the journal that is wrong, where one can be named."""
        return min((one.row for one in self.differences if one.row is not None), default=None)

    @property
    def reason(self) -> str:
        """The first difference in words, of the first bad row where there is one; empty when all is well."""
        return next((str(one) for one in self.differences if one.row == self.first_bad), "")


@dataclass(slots=True)
class Findings:
    """What was found so far."""

    differences: list[Difference] = field(default_factory=list)
    count: int = 0
    times: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def add(self, where: str, says: str, row: int | None = None) -> None:
        """Note a difference."""
        self.count += 1
        if len(self.differences) < MOST:
            self.differences.append(Difference(where, says, row))

    def audit(self, rows: int, head: str) -> Audit:
        """All of it."""
        more = self.count - len(self.differences)
        return Audit(rows, head, tuple(self.differences), more, tuple(self.times), tuple(self.remarks))


def runs(numbers: list[int]) -> str:
    """Rising numbers in few words: ``3, 7-9``; the first twenty stretches of them."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    told = [str(first) if first == last else f"{first}-{last}" for first, last in found]
    return ", ".join(told[:20]) + (f" and {len(told) - 20} more" if len(told) > 20 else "")
