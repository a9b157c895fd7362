"""Readers of scan reports that come as plugins, for tools whose reports the program does not read by their shape.

A plugin is a package with an entry point of the group :data:`GROUP` that names an object with the methods of
:class:`ReportReader`. It reads text and gives codes as the tool writes them; what they mean stays the program's.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

from ticket.faults.report import Report, Reported, parse_report
from ticket.faults.written import parse
from ticket.job.regex import Regex
from ticket.job.text import one_line

GROUP = "job_ticket.report_readers"
STATUSES = ("", "stored", "pending", "permanent", "active", "previously active", "intermittent", "history", "cleared")
_LONGEST = 200
_CONTROL = Regex("[\x00-\x1f\x7f-\x9f]")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCode:
    """One code of a report.

    Attributes:
        code: as the tool writes it, such as ``P0562-16`` or ``SPN 102 FMI 18``.
        unit: the control unit, as the report names it.
        status: a word of :data:`STATUSES`.
        text: what else the report says of it.
        line: of the report, from 1; 0 where that cannot be told.
    """

    code: str
    unit: str = ""
    status: str = ""
    text: str = ""
    line: int = 0


@runtime_checkable
class ReportReader(Protocol):
    """What a plugin has to be."""

    name: str
    """What it is called in remarks."""

    def read(self, text: str) -> Sequence[FoundCode] | None:
        """The codes of a report; ``None`` where the text is no report of its kind."""
        ...


@dataclass(frozen=True, slots=True)
class ReadReport:
    """A report as it was read, by whom (empty: by its shape), and what a plugin did wrong."""

    report: Report
    by: str = ""
    remarks: tuple[str, ...] = ()


def read_report(text: str, readers: Iterable[ReportReader] = ()) -> ReadReport:
    """A report by the first plugin that knows it, else by its shape. A plugin that fails is told and passed over."""
    remarks: list[str] = []
    for reader in readers:
        try:
            found = reader.read(text)
            if found is None:
                continue
            report = Report(tuple(_reported(one) for one in found))
        except Exception as error:  # noqa: BLE001 - a plugin may raise anything
            remarks.append(f"The reader {reader.name!r} failed and was passed over: {one_line(str(error))[:_LONGEST]}.")
            continue
        return ReadReport(report, reader.name, tuple(remarks))
    return ReadReport(parse_report(text), "", tuple(remarks))


def _reported(one: FoundCode) -> Reported:
    if one.status not in STATUSES:
        raise ValueError(f"{one.status!r} is no status")
    unit, text = (_CONTROL.sub(" ", part)[:_LONGEST].strip() for part in (one.unit, one.text))
    written = parse(one.code)
    return Reported(written, unit, one.status, text, max(one.line, 0), written.reason)
