"""What the checker says about a sentence."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule of faithfulness that a text breaks.

    Attributes:
        rule: ``F1`` to ``F27``, numbered as in the table of the package.
        reason: one plain sentence.
        start: position of the first character it is about, in the text that was checked.
        end: position behind the last one.
        advice: worth a look, no ground to refuse the text.
    """

    rule: str
    reason: str
    start: int = 0
    end: int = 0
    advice: bool = False


@dataclass(frozen=True, slots=True)
class Flaw:
    """A finding with its place in a story; ``sentence`` is ``-1`` where something is missing from the whole."""

    section: str
    sentence: int
    text: str
    finding: Finding
