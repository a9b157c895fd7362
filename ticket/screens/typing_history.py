"""What a line held before, so that typing can be taken back: by words while somebody types, whole where it was put."""

_MOST = 200
"""Steps that are kept of one line."""


class TypingHistory:
    """The texts before and behind the one that stands there now."""

    def __init__(self) -> None:
        self._before: list[str] = []
        self._behind: list[str] = []
        self._typing = False  # the last change was one more letter of the same word

    def changed(self, old: str, new: str) -> None:
        """The text became another one by typing, pasting or putting."""
        letter = len(new) == len(old) + 1 and new.startswith(old)
        next_word = old[-1:].isspace() and not new[-1:].isspace()
        if not (letter and self._typing) or next_word:
            self._before = [*self._before[-_MOST:], old]
        self._typing = letter
        self._behind.clear()

    def back(self, now: str) -> str | None:
        """The text before this one; ``None`` where there is none."""
        return self._moved(self._before, self._behind, now)

    def again(self, now: str) -> str | None:
        """The text that was taken back last; ``None`` where there is none."""
        return self._moved(self._behind, self._before, now)

    def _moved(self, source: list[str], target: list[str], now: str) -> str | None:
        self._typing = False
        if not source:
            return None
        target.append(now)
        return source.pop()

    def forget(self) -> None:
        """Start anew: what stood there has become something else."""
        self._before, self._behind, self._typing = [], [], False
