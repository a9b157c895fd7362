"""Long work as one line: what is done, a bar, how much of it, and how long it still takes. Pure."""

from dataclasses import dataclass

FULL, LEFT = "█", "·"
_CELLS = 12
_SURE = 0.05
"""Share of the work behind which a rest of time is told: before, it would be a guess."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a piece of work is.

    Attributes:
        what: the work, such as ``load``.
        done: how much of it.
        total: how much there is.
        seconds: how long it has taken so far.
    """

    what: str
    done: int
    total: int
    seconds: float = 0.0

    @property
    def share(self) -> float:
        """How much of it, from 0 to 1."""
        return min(self.done / self.total, 1.0) if self.total > 0 else 0.0


def progress_words(progress: Progress) -> str:
    """Such as ``index  ██████······  4,100 of 21,978, 12 s left``."""
    full = int(progress.share * _CELLS)
    bar = FULL * full + LEFT * (_CELLS - full)
    text = f"{progress.what}  {bar}  {progress.done:,} of {progress.total:,}"
    if _SURE <= progress.share < 1 and progress.seconds > 1:
        left = progress.seconds / progress.share * (1 - progress.share)
        text += f", {round(left)} s left" if left < 100 else f", {round(left / 60)} min left"
    return text
