"""What a typed line means by itself, as one neutral object: for tools, for ``ticket read`` and for tests.

Numbers are exact decimal strings, units have one spelling, places count the characters of the typed line. Fields that a
line does not have are null or empty. The schema stands in ``schemas/read.json``.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from ticket.faults.written import parse
from ticket.job.entry import Draft, Remark
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled, Told, Used
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.values import Due, Limits, Measurement, Quantity
from ticket.notes.code import source_of
from ticket.notes.code_bytes import bytes_at
from ticket.notes.found import measured
from ticket.notes.shapes import Context
from ticket.notes.spans import Body
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits
from ticket.readings.measured_groups import groups
from ticket.readings.units import convert, find
from ticket.readings.verdict import judge

Json = dict[str, Any]
UNITS = {
    "Ohm": "ohm", "kOhm": "kohm", "MOhm": "Mohm", "mOhm": "mohm", "degC": "C", "degF": "F", "lb-in": "in-lb",
    "fl oz": "fl-oz",
    "SG": "SG", "CCA": "A", "32nds": "in", "click": "count", "tooth": "count", "drop": "count",
}  # fmt: skip
"""Units whose neutral sign is not the name in the table of units."""
_PIECES = ("", "x", "pcs")
_WAYS = {"text message": "text"}
_NOBODY = ("no answer", "left message", "asked")
_TIMES = Regex(r"[0-9]+")
_PLACES = {
    "LF": "left front", "RF": "right front", "LR": "left rear", "RR": "right rear", "L": "left", "R": "right",
    "F": "front",
    "LH": "left", "RH": "right", "cyl": "cylinder",
}  # fmt: skip
_EMPTY: Json = {
    "kind": "", "measurements": [], "hours": None, "quantity": None, "measure": None, "part": None, "price": None,
    "answers": [], "total": None, "ceiling": None, "way": None, "number": None, "time": None, "due": None, "codes": [],
    "unread": [], "questions": [],
}  # fmt: skip


def meaning_of(drafts: Sequence[Draft]) -> Json:
    """The neutral object of one line from its drafts; several drafts are several codes of the line."""
    said: Json = {name: list(value) if isinstance(value, list) else value for name, value in _EMPTY.items()}
    if not drafts:
        return said
    first = drafts[0]
    said["kind"] = first.fact.kind
    for draft in drafts:
        _FIELDS.get(draft.fact.kind, lambda _draft, _said: None)(draft, said)
        if isinstance(draft.fact, Did | Ruled | Cause | Later | Maybe):
            _mentioned(draft.fact, said, unsure=any(remark.state == "unread" for remark in draft.remarks))
    for remark in dict.fromkeys(remark for draft in drafts for remark in draft.remarks):
        _asked(remark, first.line, said)
    return said


def _asked(remark: Remark, line: str, said: Json) -> None:
    where: Json = {"start": remark.start, "end": remark.end}
    if remark.state == "unread":
        said["unread"].append(
            {"text": line[remark.start : remark.end], **where, "question": remark.text, "answers": list(remark.answers)}
        )
    elif remark.state == "question":
        said["questions"].append({"text": remark.text, **where, "answers": list(remark.answers)})


def decimal(number: str) -> str | None:
    """A typed figure as a decimal string; a number that never ends is cut at four places."""
    value = exact(number)
    if value is None:
        return None
    scaled = value * 10**6
    if scaled.denominator != 1:
        scaled = Fraction(round(value * 10**4) * 100)
    sign = "-" if scaled < 0 else ""
    whole, rest = divmod(abs(scaled.numerator), 10**6)
    return f"{sign}{whole}.{rest:06d}".rstrip("0").rstrip(".")


def unit_of(typed: str) -> str | None:
    """The neutral sign of a unit, or the unit as typed where the table does not know it."""
    known = find(typed)
    return (UNITS.get(known.name, known.name) if known else typed) or None


def _did(draft: Draft, said: Json) -> None:
    fact = draft.fact
    if isinstance(fact, Did | Offer) and fact.hours:
        said["hours"] = decimal(fact.hours)
    if isinstance(fact, Offer) and fact.estimate:  # the price of the whole offer
        said["price"] = said["total"] = decimal(fact.estimate)


def _used(draft: Draft, said: Json) -> None:
    fact = draft.fact
    if not isinstance(fact, Used):
        return
    said["quantity"] = decimal(fact.amount) if fact.amount else None
    said["measure"] = unit_of(fact.unit) if fact.unit not in _PIECES else None
    said["part"] = fact.part or None
    said["price"] = decimal(fact.price) if fact.price else None


def _told(draft: Draft, said: Json) -> None:
    fact = draft.fact
    if not isinstance(fact, Told):
        return
    spoken_to = any(answer.answer == "left message" for answer in fact.answers)  # nobody leaves one but by phone
    said["way"] = _WAYS.get(fact.way, fact.way) or ("phone" if spoken_to else None)
    said["number"] = fact.address if any(char.isdecimal() for char in fact.address) else None
    said["time"] = fact.at.split()[-1].rjust(5, "0") if fact.at else None
    said["total"] = decimal(fact.total) if fact.total else None
    said["ceiling"] = decimal(fact.ceiling) if fact.ceiling else None
    said["answers"] = [
        {"answer": answer.answer, "to": [str(ref) for ref in answer.to] or ["all"]}
        for answer in fact.answers
        if answer.answer not in _NOBODY
    ] + [{"answer": answer.answer, "to": [answer.to]} for answer in draft.spoken]


def _later(draft: Draft, said: Json) -> None:
    fact = draft.fact
    if isinstance(fact, Later):
        said["due"] = due_json(fact.due, fact.date)


def due_json(due: Due | None, date: str) -> Json | None:
    """When work falls due; nothing where the line does not say."""
    due = due or Due()
    if due == Due() and not date:
        return None
    made: Json = {
        "distance": _amount(due.distance),
        "time": _amount(due.time),
        "date": date or None,
        "event": due.event or None,
    }
    if due.hours:  # running hours from now are a time of their own clock
        made["hours" if due.time else "time"] = _amount(due.hours)
    return made | ({"odometer": _amount(due.odometer)} if due.odometer else {})


def _amount(quantity: Quantity | None) -> str | None:
    if quantity is None:
        return None
    hours = quantity.unit == "H"  # in capitals the hours of a clock, never an inductance
    return f"{decimal(quantity.number)} {'h' if hours else unit_of(quantity.unit)}"


def _code(draft: Draft, said: Json) -> None:
    fact = draft.fact
    if not isinstance(fact, Code) or not any(char.isdecimal() for char in fact.code) or bytes_at(fact.code):
        return  # ``none``, a word, or bytes that mean nothing for sure
    written = parse(f"{fact.code} {fact.sub}".strip() if fact.code.startswith("SPN") else fact.code)
    truck = written.scheme == "truck" and fact.code.startswith("SPN")  # "2-7" is no truck's for sure
    times = _TIMES.search(fact.times)
    said["codes"].append(
        {
            "code": fact.code,
            "sub": None if truck else fact.sub or None,
            "status": [fact.status] if fact.status else [],
            "times": int(times[0]) if times else None,
            "spn": str(written.spn) if truck else None,
            "fmi": None if not truck or written.fmi is None else str(written.fmi),
        }
        | ({"source": source} if (source := source_of(fact)) else {})
    )


def measurements_of_fact(fact: Found | Proof) -> list[Json]:
    """The readings of a finding or a verification with their verdicts, in order."""
    made: list[Json] = []
    for group in groups(fact):
        run = group.run
        bracket = as_limits(run.limits, run.unit)
        low, high = (_bound(text, bracket.unit, run.unit) for text in (bracket.low_text, bracket.high_text))
        # how far readings may lie apart says of none of them that it is low, high or in
        verdicts = judge(replace(run, limits=replace(run.limits, spread="", spread_unit="")) if run.limits else run)
        for value, verdict in zip(run.values, verdicts, strict=True):
            said = parts(value.number)
            made.append(
                {
                    "of": _thing(group.what, value.label), "at": _places(value.label),
                    "value": decimal(said.number) or said.number,
                    "to": decimal(said.to) if said.to else None, "than": said.than or "=", "unit": unit_of(run.unit),
                    "when": conditions(group.when), "low": low,
                    "high": high, "verdict": verdict.word,
                }
                | _specified(run.limits)
                | ({"uncertainty": decimal(value.uncertainty)} if value.uncertainty else {})
            )  # fmt: skip
    for one, other in pairwise(made):
        alike = all(one[key] == other[key] for key in ("of", "at", "unit"))
        if alike and other["when"][:1] == ["now"] and not one["when"]:
            one["when"] = ["before"]  # "idle 650 now 720 rpm"
        elif alike and not one["when"] and [text for text in other["when"] if text.startswith("before")]:
            one["when"] = ["after"]  # "hub 54 C, was 88 before the new bearing"
    return made


_MEANT = (
    (Regex(r"\bnow\b|(?<=, )after\b|\Aafter\b|\Aaft\b| to\Z|\A(?:re)?set\Z|\Aas[- ]left\b", re.I), "after"),
    (Regex(r"\Afrom\b|(?<=. )w(?:as|ere)\Z|\bb4\b|\bbef\b|\Aas[- ](?:found|received)\b", re.I), "before"),
    (Regex(r"\bgoverned\b", re.I), "governed rpm"),
    (Regex(r"\bKOEO\b", re.I), "key on engine off"), (Regex(r"\bKOER\b", re.I), "key on engine running"),
    (Regex(r"\bidling\b|\bticking over\b|\btick ?over\b", re.I), "idle"),
    (Regex(r"\bWOT\b", re.I), "wide open throttle"), (Regex(r"\bhi[- ]idle\b", re.I), "high idle"),
    (Regex(r"\blo[- ]idle\b", re.I), "low idle"), (Regex(r"\bovernite\b", re.I), "overnight"),
)  # fmt: skip
"""Conditions in the words of the trade, and what they mean in plain ones."""
_KILO = Regex(r"\b([0-9]+(?:\.[0-9]+)?)k(?= ?rpm\b)", re.I)


def conditions(when: str) -> list[str]:
    """The conditions as typed, and behind them what a word of the trade among them means."""
    if not when:
        return []
    plain = [meaning for pattern, meaning in _MEANT if pattern.search(when) and meaning not in when.casefold()]
    plain += [f"{decimal(str(Fraction(match[1]) * 1000))} rpm" for match in _KILO.finditer(when)]
    return [when, *plain]


def _bound(text: str, typed: str, unit: str) -> str | None:
    """A limit in the unit of the reading, cut at four places where it does not end."""
    value = exact(text) if text else None
    moved = convert(value, typed, unit) if value is not None and typed else value
    return None if value is None else decimal(str(moved if moved is not None else value))


def _specified(limits: Limits | None) -> Json:
    """One specified figure without a tolerance."""
    return {"nominal": decimal(limits.nominal)} if limits and limits.nominal and not limits.tol else {}


_UNITS_OF_A_PACK = Regex(r"\b(?:cell|module|block) [0-9]+\b")
"""One of the things a battery is made of is what was measured; its number names it."""
_VALVES = frozenset({"exhaust", "intake"})
"""Which valve it was names the thing rather than its place."""


def _thing(what: str, label: str) -> str | None:
    numbered = _UNITS_OF_A_PACK.findall(label)
    words = what.split()
    if numbered and words and words[-1].casefold().removesuffix("s") == numbered[0].split()[0]:
        words.pop()  # "cells" in front of "cell 3 cell 7"
    named = [*words, *numbered, *(word for word in label.split() if word in _VALVES)]
    return " ".join(named) or None


def _places(label: str) -> list[str]:
    label = _UNITS_OF_A_PACK.sub("", label)
    words = " ".join(_PLACES.get(word, word) for word in label.split() if word not in _VALVES)
    return [words] if words else []


def _measured(draft: Draft, said: Json) -> None:
    if isinstance(draft.fact, Found | Proof):
        said["measurements"] = measurements_of_fact(draft.fact)


_LED = Regex(r"(?:\bat|@|\bby|\bbefore|\bbelow|\bunder)\Z", re.I)
_NO_READINGS = frozenset({"time", "speed", "calendar"})


def _mentioned(fact: Did | Ruled | Cause | Later | Maybe, said: Json, *, unsure: bool) -> None:
    """Figures in the words of work, of a cause or of what waits: they stay prose on the ticket, and are no finding.

    Only what is read without a doubt, with its unit; when it falls due and how long it took are told elsewhere.
    """
    reason = fact.reason if isinstance(fact, Ruled) else ""
    text = Body.of(f"{fact.text}, {reason}" if reason else fact.text, 0)
    if unsure or not any(char.isdecimal() for char in text.bare):
        return
    held, seen, remarks, _ = measured(text, Context(), tested=True)
    doubtful = {remark.start for remark in remarks}
    sure = tuple(one for one in held if one.unit and (_kind_of(one.unit) not in _NO_READINGS or _took(one, held)))
    if isinstance(fact, Did):  # what somebody set or tightened is no reading: only what changed or was judged is
        sure = tuple(one for one in sure if one.limits or one.when or sum(one.of == other.of for other in sure) > 1)
    if isinstance(fact, Later) and not (fact.due or fact.date):  # "pads at 3 mm" says when it is due
        sure = tuple(one for one in sure if not one.of or not _LED.search(text.raw[one.of[-1].start : one.of[-1].end]))
    if sure and not doubtful:
        said["measurements"] = measurements_of_fact(Found(what=text.raw, measurements=sure, seen=seen))


def _took(one: Measurement, held: Sequence[Measurement]) -> bool:
    """``door close 3.8 s down to 3.0``: how long a thing took before and after, in seconds."""
    known = find(one.unit)
    seconds = known is not None and known.name == "s"
    return seconds and sum(other.of == one.of and other.unit == one.unit for other in held) > 1


def _kind_of(unit: str) -> str:
    known = find(unit)
    if known is None or known.name in ("km", "mi"):
        return "time"
    return "time" if "time" in known.dimension else known.dimension


_FIELDS = {
    "did": _did, "offer": _did, "used": _used, "told": _told, "later": _later, "code": _code, "found": _measured,
    "proof": _measured,
}  # fmt: skip
