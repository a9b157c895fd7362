"""Lines with a word and nothing behind it."""

from ticket.job.field_specs import specs
from ticket.job.kinds import Fact


def says_nothing(fact: Fact) -> bool:
    """Whether a fact names no thing and no reading: ``used: 1 x 4410-77``, or ``told:`` with nothing behind it.

    A number alone tells a customer nothing either: an invoice describes each part (16 CCR 3356; from memory).
    """
    given = (getattr(fact, spec.name) for spec in specs(type(fact)) if spec.alone)
    return not any(value.strip() if isinstance(value, str) else value for value in given)
