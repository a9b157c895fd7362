"""Fields of an entry on a form: each value as text, and text back to the value, by the readers of the notation."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ticket.job.errors import InputError
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import Fact, Found, Proof
from ticket.job.picture import name_of
from ticket.job.values import Answer, Ref
from ticket.notes.found import read_text, same_finding, text_of
from ticket.notes.pen import Pen
from ticket.notes.readers import READERS
from ticket.notes.shapes import Context, refs_in, written
from ticket.notes.spans import Body
from ticket.notes.told import read_told

_FREE = ("text", "code", "sub", "part", "unit", "picture")  # shapes that hold whatever was typed
_WANTED = {
    "number": "a number, such as 1.2", "money": "an amount, such as 228.40", "refs": "numbers of entries, such as 3 4",
    "ref": "the number of an entry", "due": "a distance or time, such as 1500 km or 2 months",
    "date": "a day, such as 2026-03-02", "time": "a time, such as 14:10", "clock": "times, such as 8:10-9:45",
    "answers": "answers, such as yes 7; no 8",
    "person": "somebody of the shop", "rate": "a rate class of the shop",
}  # fmt: skip


def on_form(fact: Fact) -> tuple[tuple[FieldSpec, str], ...]:
    """The fields a form has for a fact, each with its value as text; what is read out of another field has none."""
    return tuple(
        (spec, _text(fact) if spec.name == "what" and isinstance(fact, Found | Proof) else _shown(value, spec))
        for spec in specs(type(fact))
        if not spec.read
        for value in (getattr(fact, spec.name),)
    )


def _shown(value: Any, spec: FieldSpec) -> str:
    if spec.shape == "picture":
        return name_of(value)
    if isinstance(value, tuple) and value and isinstance(value[0], Answer):
        return "; ".join(f"{answer.answer} {written(answer.to)}".strip() for answer in value)
    return written(value) if value else ""


def _text(fact: Found | Proof) -> str:
    """The text of a finding, in quote marks where it would be read as something else."""
    plain, quoted = (text_of(fact, pen) for pen in (Pen(), Pen(frozenset({"what", "seen"}))))
    read = _finding(fact, plain, Context())
    return plain if read == fact or same_finding(read, fact) else quoted


def _finding(base: Found | Proof, text: str, context: Context) -> Found | Proof:
    """A finding with another text."""
    again = isinstance(base, Proof) and base.of is not None
    fields = read_text(Body.of(text), context, again=again).fields
    empty: dict[str, Any] = {"what": "", "measurements": (), "run": None, "seen": ""}
    return replace(base, **(empty | fields))


def wanted(spec: FieldSpec) -> str:
    """What a field takes, in a few words."""
    if spec.choices:
        return ", ".join(spec.choices)
    return spec.help or _WANTED.get(spec.shape, "")


def value_of(spec: FieldSpec, text: str, context: Context) -> Any:
    """What was typed into a field; ``None`` where nothing was.

    Raises:
        InputError: it has another shape; the sentence says which one is meant.
    """
    typed = text.strip()
    if not typed:
        return None
    value = typed if spec.shape in _FREE else _read(spec, typed, context)
    if not value:
        want = ", ".join(_names(spec, context)) or _WANTED.get(spec.shape, "another shape")
        raise InputError(f"{spec.title}: {typed[:30]!r} was not understood; wanted is {want}.")
    return value


def _names(spec: FieldSpec, context: Context) -> tuple[str, ...]:
    known = {"person": context.people, "rate": context.rates}.get(spec.shape, spec.choices)
    return tuple(known)


def _read(spec: FieldSpec, typed: str, context: Context) -> Any:
    if spec.shape == "ref":
        refs: tuple[Ref, ...] = refs_in(typed)
        return refs[0] if len(refs) == 1 else None
    if spec.shape == "answers":
        fields = read_told(Body.of(f"x, {typed}"), context).fields
        return fields.get("answers") if not fields.get("words") else None
    return READERS[spec.shape](Body.of(typed), spec, context)


def filled(base: Fact, texts: Mapping[str, str], context: Context) -> Fact:
    """The fact of a filled form.

    Args:
        base: the fact the form was opened with; what the kind needs may be left out only where it was missing before.
        texts: what stands in each field, by name.
        context: people and rates of the shop.

    Raises:
        InputError: naming the first field that was not understood, or that is needed.
    """
    values: dict[str, Any] = {}
    for spec in specs(type(base)):
        if spec.read:
            continue
        value = value_of(spec, texts.get(spec.name, ""), context)
        held = getattr(base, spec.name)
        if spec.shape == "picture" and value == name_of(held):
            value = held  # the form shows the beginning of its digest
        if value is not None:
            values[spec.name] = value
        elif spec.required:
            if held:
                raise InputError(f"{spec.title}: something must stand here.")
            values[spec.name] = ""
    fact = type(base)(**values)
    if not isinstance(fact, Found | Proof) or not isinstance(base, Found | Proof):
        return fact
    if fact.what == _text(base):
        return replace(fact, what=base.what, measurements=base.measurements, run=base.run, seen=base.seen)
    return _finding(fact, fact.what, context)
