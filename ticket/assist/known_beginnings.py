"""What the shop's past was asked already: a longer beginning of the same phrases needs no question of its own."""

from collections.abc import Callable, Sequence

from ticket.job.text import fold
from ticket.store.index_rows import Phrase


class KnownBeginnings:
    """The history of phrases, asked once for letters that are typed one after the other.

    Where fewer phrases begin so than the history ever tells, all of them are at hand, and those of a longer beginning
    are among them. Make another one when the shop's past may have changed.

    Args:
        history: phrases by kind and folded beginning, most used first.
        most: how many it tells at most.
    """

    def __init__(self, history: Callable[[str, str], Sequence[Phrase]], most: int) -> None:
        self._history = history
        self._most = most
        self._whole: dict[tuple[str, str], Sequence[Phrase]] = {}  # beginnings of which all phrases are known

    def __call__(self, kind: str, beginning: str) -> Sequence[Phrase]:
        """Phrases of a kind that begin so, most used first."""
        for end in range(len(beginning), 0, -1):
            known = self._whole.get((kind, beginning[:end]))
            if known is not None:
                return [phrase for phrase in known if fold(phrase.text).startswith(beginning)]
        found = self._history(kind, beginning)
        if len(found) < self._most:
            self._whole[kind, beginning] = found
        return found
