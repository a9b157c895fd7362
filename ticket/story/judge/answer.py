"""What the judge answers about a wording."""

from dataclasses import dataclass

REFUSED, NOT_PROVED, PROVED = "refused", "not proved", "proved"
MISSING = "proof"  # the rule of what is only not found


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the judge has against a wording, or advises about it.

    Attributes:
        rule: ``shape``, ``proof`` (it is not found in the typed lines), or a rule of :mod:`ticket.story.judge`.
        reason: one plain sentence.
        start: position of the first character it is about.
        end: position behind the last one.
    """

    rule: str
    reason: str
    start: int = 0
    end: int = 0


def missing(reason: str, start: int, end: int) -> Finding:
    """What is not found in the typed lines: no ground to refuse, and not proved."""
    return Finding(MISSING, reason, start, end)


@dataclass(frozen=True, slots=True)
class Answer:
    """One of the three answers.

    Attributes:
        word: :data:`REFUSED`, :data:`NOT_PROVED` or :data:`PROVED`.
        findings: why; none for what is proved.
        advice: worth a look, no ground to refuse.
    """

    word: str
    findings: tuple[Finding, ...] = ()
    advice: tuple[Finding, ...] = ()

    @property
    def why(self) -> str:
        """The first reason, in one sentence."""
        return self.findings[0].reason if self.findings else ""
