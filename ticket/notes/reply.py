"""A draft as rows of (title, value) for forms and the live display, from the declarations alone."""

from collections.abc import Iterator
from typing import Any

from ticket.job.entry import Draft
from ticket.job.field_specs import specs
from ticket.job.kinds import Found, Proof
from ticket.job.values import Answer, Clock, Due, Limits, Run, Value
from ticket.readings.measured_groups import groups, measures


def describe(draft: Draft) -> tuple[tuple[str, str], ...]:
    """The fields that are set, in the order of their declaration, each as (title, value in words).

    Readings stand behind what they were taken of, whatever text they were typed in.
    """
    fact = draft.fact
    measured = isinstance(fact, Found | Proof) and measures(fact)
    rows = []
    for spec in specs(type(fact)):
        if isinstance(fact, Found | Proof) and measured and spec.name in _READ:
            rows += list(_readings(fact, spec.title)) if spec.name == "what" else []
        elif (value := getattr(fact, spec.name)) and (shown := _shown(value)):
            rows.append((spec.title, shown))
    return tuple(rows)


_READ = ("what", "measurements", "run")


def _readings(fact: Found | Proof, title: str) -> Iterator[tuple[str, str]]:
    for group in groups(fact):
        if group.name:
            yield title, group.name
        yield "readings", _run(group.run)


def _shown(value: Any) -> str:
    if isinstance(value, Due):
        at = f"at {value.odometer}" if value.odometer else ""
        return " or ".join(str(part) for part in (value.distance, value.time, value.hours, at, value.event) if part)
    if isinstance(value, tuple):
        return ", ".join(_shown(item) for item in value)
    if isinstance(value, Clock):
        return f"{value.start}-{value.end}"
    if isinstance(value, Answer):
        return f"{value.answer} {' '.join(str(ref) for ref in value.to)}".strip()
    return str(value)


def _run(run: Run) -> str:
    readings = ", ".join(_value(value) for value in run.values)
    text = f"{readings} {run.unit}".strip()
    if run.limits is None:
        return text
    source = f" per {run.limits.source}" if run.limits.source else ""
    named = f" {run.limits.unit}" if run.limits.unit else ""
    return f"{text}, {' and '.join(_limits(run.limits, named))}{source}"


def _value(value: Value) -> str:
    return f"{value.label} {value.number}".strip()


def _limits(limits: Limits, named: str) -> Iterator[str]:
    """The limits in words, one piece each."""
    if limits.low and limits.high:
        yield f"{limits.low} to {limits.high}{named}"
    elif limits.low:
        yield f"at least {limits.low}{named}"
    elif limits.high:
        yield f"at most {limits.high}{named}"
    if limits.nominal:
        yield f"{limits.nominal} +/- {limits.tol}{named}" if limits.tol else f"{limits.nominal}{named}"
    if limits.spread:
        yield f"spread at most {limits.spread} {limits.spread_unit}".rstrip()
