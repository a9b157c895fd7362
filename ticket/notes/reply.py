"""A draft as rows of (title, value) for forms and the live display, from the declarations alone."""

from collections.abc import Iterator
from typing import Any

from ticket.job.entry import Draft
from ticket.job.fields import specs
from ticket.job.values import Answer, Clock, Due, Limits, Run, Value


def describe(draft: Draft) -> tuple[tuple[str, str], ...]:
    """The fields that are set, in the order of their declaration, each as (title, value in words)."""
    fact = draft.fact
    return tuple(
        (spec.title, shown)
        for spec in specs(type(fact))
        if (value := getattr(fact, spec.name)) and (shown := _shown(value))
    )


def _shown(value: Any) -> str:
    if isinstance(value, Run):
        return _run(value)
    if isinstance(value, Due):
        return " or ".join(str(part) for part in (value.distance, value.time, value.hours) if part)
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
    return f"{text}, {' and '.join(_limits(run.limits))}{source}"


def _value(value: Value) -> str:
    return f"{value.label} {value.number}".strip()


def _limits(limits: Limits) -> Iterator[str]:
    """The limits in words, one piece each."""
    if limits.low and limits.high:
        yield f"{limits.low} to {limits.high}"
    elif limits.low:
        yield f"at least {limits.low}"
    elif limits.high:
        yield f"at most {limits.high}"
    if limits.nominal:
        yield f"{limits.nominal} +/- {limits.tol}"
    if limits.spread:
        yield f"spread at most {limits.spread} {limits.spread_unit}".rstrip()
