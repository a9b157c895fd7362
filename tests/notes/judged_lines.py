"""A reader's answer held against what a generated line means: read, asked, lost or wrong, and why."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from finding_records import Answer, Record, number_places
from generated_meaning import Bound, Line, Meaning, in_base
from generated_words import NAMES_WITH_DIGITS

SHAPES = {"<=": "<"}


@dataclass(frozen=True, slots=True)
class Judgement:
    """`outcome` is the worst thing that holds; `reasons` are one word and the reading it is about."""

    outcome: str
    reasons: tuple[str, ...] = ()


ORDER = ("wrong verdict", "wrong", "lost", "asked", "read")


def judged(line: Line, answer: Answer) -> Judgement:
    """How well an answer fits a line."""
    if line.ask:
        return _judged_asking(line, answer)
    found: list[tuple[str, str]] = []
    left = list(answer.records)
    pairs: list[tuple[Meaning, Record | None]] = []
    for meaning in line.meanings:
        record = _record_of(meaning, left)
        if record is not None and not meaning.change:
            left.remove(record)
        pairs.append((meaning, record))
    if any(m.change for m in line.meanings):
        left = [r for r in left if not any(m.change and m.value in {r.value, r.to} for m in line.meanings)]
    for meaning, record in pairs:
        found += _compared(meaning, record, left, answer)
    found += [
        ("wrong verdict" if record.low or record.high else "wrong", f"stray {record.of} {record.value}")
        for record in left
    ]
    return Judgement(
        min((outcome for outcome, _why in found), key=ORDER.index, default="read"),
        tuple(f"{outcome}: {why}" for outcome, why in found),
    )


def _judged_asking(line: Line, answer: Answer) -> Judgement:
    """Nothing may be judged; with doubtful values or places nothing may be stated as sure at all."""
    if any(record.verdict in {"in", "low", "high"} for record in answer.records):
        return Judgement("wrong verdict", (f"judged in spite of {line.ask}",))
    if answer.records and line.ask not in {"two subjects", "mohm"}:
        return Judgement("wrong", (f"stated in spite of {line.ask}",))
    return Judgement("read" if answer.doubts else "lost", () if answer.doubts else (f"not asked about {line.ask}",))


def _record_of(meaning: Meaning, left: list[Record]) -> Record | None:
    """The record that stands where the value was typed, else one of the same value and place."""
    fits = [
        r for r in left if r.value == meaning.value and (r.at <= meaning.at or meaning.change or _counted(r, meaning))
    ]
    if meaning.change and not fits:
        fits = [r for r in left if r.to == meaning.value]
    fits = [r for r in fits if r.start < meaning.end and meaning.start < r.end] or [
        r for r in fits if r.at == meaning.at and r.at
    ]
    return fits[0] if fits else None


def _counted(record: Record, meaning: Meaning) -> bool:
    """`#3` says a number and no kind of place."""
    return {word.replace("position", "cylinder") for word in record.at} == meaning.at


def _compared(meaning: Meaning, record: Record | None, left: list[Record], answer: Answer) -> list[tuple[str, str]]:
    told = f"{' '.join(sorted(meaning.at))} {meaning.value}{meaning.unit}"
    covered = any(start < meaning.end and meaning.start < end for start, end in answer.doubts)
    if record is None:
        elsewhere = [r for r in left if r.value == meaning.value and r.start < meaning.end and meaning.start < r.end]
        if elsewhere:
            return [("wrong", f"place of {told} is {' '.join(sorted(elsewhere[0].at))}")]
        return [("asked" if covered else "lost", f"reading {told}")]
    found: list[tuple[str, str]] = []
    if record.unit != meaning.unit and not (covered and not record.unit):
        found.append(("wrong" if record.unit else "lost", f"unit {record.unit or 'none'} of {told}"))
    elif record.unit != meaning.unit:
        found.append(("asked", f"unit of {told}"))
    if meaning.change:
        return found
    if (record.to, SHAPES.get(record.than, record.than)) != (meaning.to, meaning.than):
        found.append(("wrong", f"shape {record.than}{record.to or ''} of {told}"))
    if record.at != meaning.at and not _counted(record, meaning):
        found.append(("asked" if covered else "lost", f"place of {told}"))
    if not _share_a_word(meaning.of, record.of):
        found.append(("wrong" if record.of else "lost", f"subject {record.of!r} of {told}"))
    found += [
        ("lost", f"condition {word} of {told}")
        for word in _words(meaning.when)
        if word not in _words(f"{record.when} {record.of}")
    ]
    return found + _limits_compared(meaning, record, answer, told)


def _limits_compared(meaning: Meaning, record: Record, answer: Answer, told: str) -> list[tuple[str, str]]:
    stated = (_base(record.low), _base(record.high))
    meant = (_base(meaning.low), _base(meaning.high))
    if not meaning.judged and stated == (None, None):
        return []
    if stated == meant:
        if record.verdict and record.verdict != meaning.verdict() and stated != (None, None):
            return [("wrong verdict", f"{record.verdict} instead of {meaning.verdict()} for {told}")]
        return []
    if not meaning.judged:
        return [] if meant == (None, None) else [("wrong verdict", f"limits of {told}")]
    if stated == (None, None):
        return [("asked" if answer.doubts else "lost", f"limits of {told}")]
    return [("wrong verdict", f"limits {_shown(record)} of {told}")]


def _shown(record: Record) -> str:
    return "..".join(f"{float(b[0]):g}{b[1]}" if b else "" for b in (record.low, record.high))


def _base(bound: Bound | None) -> object:
    return in_base(*bound) if bound else None


def _share_a_word(meant: str, stated: str) -> bool:
    return not meant or bool(set(_words(meant)) & set(_words(stated)))


def _words(text: str) -> list[str]:
    """The content words and figures of a piece of text, folded, without unit words that may stand glued or apart."""
    return [
        word
        for word in re.findall(r"[a-z]{2,}|\d+(?:\.\d+)?", text.casefold())
        if word not in {"at", "with", "after", "on"}
    ]


def lost_numbers(text: str, answer: Answer) -> list[str]:
    """Numbers of a line that nothing took and nobody is asked about; names with digits are no numbers."""
    for name in NAMES_WITH_DIGITS:
        text = re.sub(re.escape(name), lambda m: " " * len(m[0]), text, flags=re.I)
    taken = {number for record in answer.records for number in record.numbers}
    out: list[str] = []
    for value, start, end in number_places(text):
        if " " in text[start:end] and {Fraction(part) for part in text[start:end].split()} <= taken:
            continue  # "axle 1 3/32": the place and its value
        parts = (
            {Fraction(part) for part in re.findall(r"[0-9]+", text[start:end])} if "/" in text[start:end] else {value}
        )
        if value in taken or parts <= taken or any(a < end and start < b for a, b in answer.doubts):
            continue
        out.append(text[start:end])
    return out
