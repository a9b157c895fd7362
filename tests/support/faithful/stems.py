"""Words without their endings, so that "replaced" and "replace" are one; rough, total, by the language's own list."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stemmer:
    """The endings of a language.

    Attributes:
        endings: ending and what stands in its place; the first that fits is taken off.
        never_cut: endings that belong to the word.
        irregular: forms with their base.
    """

    endings: Sequence[tuple[str, str]]
    never_cut: tuple[str, ...]
    irregular: Mapping[str, str]

    def stem(self, word: str) -> str:
        """A folded word without its endings."""
        word = word.removesuffix("'s")
        word = self.irregular.get(word, word)
        if len(word) > 3 and not word.endswith(self.never_cut):
            for ending, instead in self.endings:
                if word.endswith(ending) and len(word) - len(ending) >= 3:
                    word = word[: -len(ending)] + instead
                    break
        if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "sl":
            word = word[:-1]
        return word[:-1] if len(word) > 3 and word.endswith("e") else word
