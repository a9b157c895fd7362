"""What gives a customer away in a text: words of the name, digits of a phone, mail and address."""

from collections.abc import Iterable
from dataclasses import dataclass

from ticket.job.text import fold

_WORD, _DIGITS = 3, 6  # letters of a word of a name, digits of a phone, from which on they count
_BINDING = frozenset({"the", "and", "von", "van", "der", "den", "del", "los", "las"})


@dataclass(frozen=True, slots=True)
class Traces:
    """What is looked for.

    Attributes:
        words: of the name, folded.
        names: the whole names, folded.
        digits: of phones, nothing between them.
        whole: mail and addresses, folded.
    """

    words: frozenset[str] = frozenset()
    names: frozenset[str] = frozenset()
    digits: frozenset[str] = frozenset()
    whole: frozenset[str] = frozenset()

    @classmethod
    def of(cls, values: Iterable[tuple[str, str]]) -> "Traces":
        """From values behind what they stand for, such as ``customer.name``."""
        words, names, digits, whole = set(), set(), set(), set()
        for part, value in values:
            told = fold(value)
            numbers = "".join(filter(str.isdecimal, value))
            if part.endswith((".name", ".who")):
                names.add(told)
                words |= {word for word in _words(told) if len(word) >= _WORD and word not in _BINDING}
            elif len(numbers) >= _DIGITS and not any(map(str.isalpha, value)):
                digits.add(numbers)
            elif told:
                whole.add(told)
        return cls(frozenset(words), frozenset(names), frozenset(digits), frozenset(whole))

    def in_own(self, text: str) -> bool:
        """Whether a text of the customer's own tickets gives them away: a word of the name is enough."""
        return bool(self.words & set(_words(fold(text)))) or self._certain(text)

    def in_others(self, text: str) -> bool:
        """Whether a text of somebody else's ticket does: the whole name, a number, a mail address."""
        told = fold(text)
        return any(name and name in told for name in self.names) or self._certain(text)

    def _certain(self, text: str) -> bool:
        told, numbers = fold(text), "".join(filter(str.isdecimal, text))
        return any(one in numbers for one in self.digits) or any(one in told for one in self.whole)


def _words(folded: str) -> list[str]:
    return "".join(char if char.isalnum() else " " for char in folded).split()
