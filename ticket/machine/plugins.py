"""Plugins that are installed beside the program, found by their entry points."""

from collections.abc import Iterator

from ticket.faults.report_readers import GROUP, ReportReader
from ticket.job.text import one_line


def report_readers() -> tuple[tuple[ReportReader, ...], tuple[str, ...]]:
    """The readers of scan reports in the order of their names, and a sentence for each that cannot be used."""
    found = list(_loaded())
    readers = tuple(one for one in found if not isinstance(one, str))
    return readers, tuple(one for one in found if isinstance(one, str))


def _loaded() -> Iterator[ReportReader | str]:
    from importlib.metadata import entry_points

    for point in sorted(entry_points(group=GROUP), key=lambda one: one.name):
        try:
            made = point.load()
            reader = made() if isinstance(made, type) else made
        except Exception as error:  # noqa: BLE001 - a plugin may raise anything
            yield f"The plugin {point.name!r} cannot be loaded: {one_line(str(error))[:200]}."
            continue
        if isinstance(reader, ReportReader):
            yield reader
        else:
            yield f"The plugin {point.name!r} is no reader of reports: it needs a name and a method read."
