"""The start of a body: what every kind's reader gets and gives."""

from dataclasses import dataclass, field
from typing import Any

from ticket.job.entry import Remark, Role, Spoken

Fields = dict[str, Any]


@dataclass(slots=True)
class Head:
    """What a head was read as.

    Attributes:
        fields: values by field name.
        remarks: what was not understood.
        spoken: answers in words that name no entry.
        roles: where readings stand, with what belongs to them.
    """

    fields: Fields = field(default_factory=dict)
    remarks: list[Remark] = field(default_factory=list)
    spoken: tuple[Spoken, ...] = ()
    roles: tuple[Role, ...] = ()


def join(*parts: str, glue: str = " ") -> str:
    """The parts that are not empty, in one string."""
    return glue.join(part for part in parts if part)
