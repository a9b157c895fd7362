"""Commands that decode: fault codes, scan reports, vehicle numbers."""

import argparse
import textwrap
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ticket.cli.open_shop import no_shop, open_shop
from ticket.cli.output import read_report, read_text, remark, say, say_json
from ticket.faults.code_meaning import Meaning, meaning
from ticket.faults.layout import to_number
from ticket.faults.report import Report, Reported, parse_report
from ticket.faults.status import status
from ticket.faults.table import CodeTable, Merge, builtin, key
from ticket.faults.written import Written, parse
from ticket.job.entry import Draft
from ticket.job.errors import DataError, InputError
from ticket.job.kinds import Found, Proof
from ticket.job.numbers import exact
from ticket.job.text import clean, one_line
from ticket.job.values import Value
from ticket.job.vin import check
from ticket.machine.environment import database_path
from ticket.notes.read import read
from ticket.readings.limit_bounds import Bracket, as_limits
from ticket.readings.measured_groups import groups
from ticket.readings.verdict import Verdict, judge
from ticket.shop.reading import code_table
from ticket.shop.settings import import_codes


def code(options: argparse.Namespace) -> int:
    """What codes mean, or take in the shop's own list; 1 where nothing was recognised."""
    if options.table:
        return _import(options)
    text = read_report() if options.text == ["-"] else clean("\n".join(options.text))
    if not text.strip():
        raise InputError("Which code? Write it as the tool shows it, or give - and a report on standard input.")
    table = _table(options)
    report = _read(text, piped=options.text == ["-"])
    if options.json:
        say_json([_fault(fault, _known(fault, table)) for fault in report.faults])
        for item in report.unread:
            remark(f"not read, line {item.line}: {one_line(item.text)}")
    else:
        _say(report, table)
    return 0 if report.faults else 1


def _table(options: argparse.Namespace) -> CodeTable:
    """The codes of the shop; what comes with the program needs no shop, which is said."""
    if no_shop(options):
        remark(f"There is no shop at {database_path(options.db)}: only codes that come with the program are known.")
        return builtin()
    with open_shop(options) as shop:
        return code_table(shop)


def _read(text: str, *, piped: bool) -> Report:
    """A report, or one code in a form that only means a code when it stands alone: raw hex, flash codes."""
    report = _by_plugins(text) if piped else parse_report(text)
    if not report.faults and "\n" not in text.strip():
        written = parse(text.strip())
        if written.code:
            return Report((Reported(written, status=_entry(written), remark=written.reason),))
    return report


def _by_plugins(text: str) -> Report:
    """A report on standard input: plugins that know its kind are asked first."""
    from ticket.faults.report_readers import read_report as read_by
    from ticket.machine.plugins import report_readers

    readers, unusable = report_readers()
    found = read_by(text, readers)
    for sentence in (*unusable, *found.remarks):
        remark(sentence)
    return found.report


def _entry(written: Written) -> str:
    return "" if written.status_byte is None else status(written.status_byte).entry


def _import(options: argparse.Namespace) -> int:
    text = read_text(options.table, short=True)
    with open_shop(options) as shop:
        try:
            merged = import_codes(shop, text, options.accept)
        except DataError as error:
            raise InputError(f"{options.table}: {error}; nothing was taken in.") from None
    if options.json:
        say_json(_merge_json(merged))
    else:
        say(f"{len(merged.added)} codes taken in, {len(merged.conflicts)} left out.")
        for conflict in merged.conflicts:
            say(f"  {conflict.new.code}: the table says “{conflict.there.plain}”, the file “{conflict.new.plain}”.")
        if merged.conflicts:
            say("  To take a new row all the same: --accept CODE.")
    return 1 if merged.conflicts else 0


def _merge_json(merged: Merge) -> dict[str, Any]:
    conflicts = [{"code": c.new.code, "there": c.there.plain, "new": c.new.plain} for c in merged.conflicts]
    return {"added": [row.code for row in merged.added], "conflicts": conflicts}


def _known(fault: Reported, table: CodeTable) -> Meaning:
    return meaning(fault.written.code, fault.written.sub, table)


def _fault(fault: Reported, known: Meaning) -> dict[str, Any]:
    written = fault.written
    byte = None if written.status_byte is None else status(written.status_byte)
    return {
        "typed": written.typed,
        "code": written.code,
        "sub_code": written.sub,
        "unit": fault.unit,
        "system": known.system,
        "control": known.control,
        "area": known.area,
        "meaning": f"{known.what} {known.failure}".strip() if known.failure else known.words,
        "trade": known.trade,
        "sub_category": known.sub_category,
        "sub_meaning": known.sub_words,
        "scheme": known.sub_scheme or written.scheme,
        "status": fault.status,
        "status_words": byte.words if byte else "",
        "proves": byte.proof if byte else "",
        "bytes": _bytes(written),
        "spn": written.spn,
        "fmi": written.fmi,
        "occurrences": written.count,
        "conversion": "certain" if written.certain else "uncertain",
        "problem": fault.remark,
        "source": known.source,
    }


def _bytes(written: Written) -> str:
    """The code as the bytes a control unit sends, in hexadecimal; empty where it is not of that form."""
    if written.scheme != "obd":
        return ""
    number = to_number(written.code, written.sub or "00")
    text = f"{number:06X}" if written.sub else f"{number >> 8:04X}"
    return text if written.status_byte is None else f"{text}{written.status_byte:02X}"


def _meaning_rows(fault: Reported, table: CodeTable) -> tuple[tuple[str, str], ...]:
    """What a fault means, as titles and texts; some texts are empty."""
    known = _known(fault, table)
    byte = None if fault.written.status_byte is None else status(fault.written.status_byte)
    return (
        ("system", ", ".join(dict.fromkeys(part for part in (known.system, known.area) if part))),
        ("number kept by", known.control),
        ("means", f"{known.what} {known.failure}".strip() if known.failure else known.words),
        ("in the trade", known.trade),
        ("sub-code", "; ".join(part for part in (known.sub_category, known.sub_trade or known.sub_words) if part)),
        ("status", byte.words if byte else ""),
        ("proves", byte.proof if byte else ""),
        ("mind", fault.remark),
        *(("mind", note) for note in known.notes),
        ("from", known.source),
    )


def _say(report: Report, table: CodeTable) -> None:
    for fault in report.faults:
        written = fault.written
        head = [key(written.code or written.typed, written.sub), fault.unit, fault.status]
        say(" · ".join(one_line(part) for part in head if part))
        for title, text in _meaning_rows(fault, table):
            if text:
                indent = " " * 18
                say(textwrap.fill(one_line(text), 80, initial_indent=f"  {title:<16}", subsequent_indent=indent))
    for unit in report.clear:
        say(f"{one_line(unit)} · no fault stored")
    for item in report.unread:
        say(f"not read, line {item.line}: {one_line(item.text)}")
    if not report.faults and not report.unread and not report.clear:
        say("No code was recognised.")


def vin(options: argparse.Namespace) -> int:
    """Check a vehicle number; 1 when it is wrong."""
    report = check(clean(options.vin))
    if options.json:
        names = ("vin", "ok", "problems", "notes", "check_digit", "expected", "years", "year", "suggestions")
        say_json({name: list(value) if isinstance(value := getattr(report, name), tuple) else value for name in names})
    else:
        verdict = {True: "nothing speaks against it", False: "wrong", None: "cannot be told"}[report.ok]
        say(f"{one_line(report.vin)}: {verdict}")
        for text in (*report.problems, *report.notes):
            say(textwrap.fill(one_line(text), 80, initial_indent="  ", subsequent_indent="  "))
        if report.years:
            years = " or ".join(str(year) for year in report.years)
            say(f"  model year {report.year or years}")
        if report.suggestions:
            say(f"  perhaps meant: {', '.join(report.suggestions)}")
    return 1 if report.ok is False else 0


def _judged(draft: Draft, options: argparse.Namespace) -> Iterator[dict[str, Any]]:
    """The readings of a line with their verdicts. Raises :class:`InputError` where it holds none."""
    held = groups(draft.fact) if isinstance(draft.fact, Found | Proof) else ()
    if not held:
        why = draft.remarks[0].text if draft.remarks else "no reading with a unit was recognised"
        raise InputError(f"{options.text!r} holds no reading: {why.rstrip('.')}. Write it as: 4.0 mm (min 3.0)")
    for run in (group.run for group in held):
        bracket = as_limits(run.limits, run.unit)
        step, off = _size(options.gauge, "--gauge"), _size(options.uncertainty, "--uncertainty")
        verdicts = judge(run, resolution=step, uncertainty=off)
        for value, verdict in zip(run.values, verdicts, strict=True):
            why = verdict.reason or (_unjudged(draft) if verdict.word == "none" else "")
            yield _verdict(value, run.unit, bracket, verdict) | {"reason": why}


def check_reading(options: argparse.Namespace) -> int:
    """One reading held against its limits; 1 unless every value is within them."""
    rows = [row for draft in read(clean(options.text)) for row in _judged(draft, options)]
    if not rows:
        raise InputError("Which reading? Write it as: 4.0 mm (min 3.0)")
    if options.json:
        say_json(rows[0] if len(rows) == 1 else rows)
    else:
        for row in rows:
            label = f"{row['label']} " if row["label"] else ""
            say(one_line(f"{label}{row['value']} {row['unit']}: {row['verdict']}. {row['reason']}".rstrip()))
    return 0 if all(row["verdict"] == "in" for row in rows) else 1


def _unjudged(draft: Draft) -> str:
    """Why a reading has no verdict."""
    return draft.remarks[0].text if draft.remarks else "No limits were given."


def _size(typed: str | None, flag: str) -> Fraction | None:
    """What a flag says of the gauge, in the unit of the reading."""
    if typed is None:
        return None
    size = exact(typed)
    if size is None or size <= 0:
        raise InputError(
            f"{flag} {typed!r} says nothing of a gauge: write a figure in the reading's unit, such as 0.5."
        )
    return size


def _verdict(value: Value, unit: str, bracket: Bracket, verdict: Verdict) -> dict[str, Any]:
    return {
        "label": value.label,
        "value": value.number,
        "unit": unit,
        "low": bracket.named(bracket.low_text) if bracket.low_text else "",
        "high": bracket.named(bracket.high_text) if bracket.high_text else "",
        "verdict": verdict.word,
        "by": None if verdict.by is None else f"{float(verdict.by):.6g}",
        "reason": verdict.reason,
    }
