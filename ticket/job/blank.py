"""Lines with a word and nothing behind it."""

from ticket.job.kinds import Code, Fact, Told

_PROSE = ("what", "text", "seen", "reason", "words", "because", "risk", "watch", "answer")
_CONTACT = ("who", "way", "address", "words", "answers", "total", "ceiling", "deposit")


def says_nothing(fact: Fact) -> bool:
    """Whether a fact names no thing and no reading: ``used: 1 x 4410-77``, or ``told:`` with nothing behind it.

    A number alone tells a customer nothing either: an invoice describes each part (16 CCR 3356; from memory).
    """
    if isinstance(fact, Code):
        return not fact.code
    if isinstance(fact, Told):
        return not any(getattr(fact, name) for name in _CONTACT)
    measured = getattr(fact, "run", None) is not None or bool(getattr(fact, "measurements", ()))
    return not measured and not any(getattr(fact, name, "").strip() for name in _PROSE)
