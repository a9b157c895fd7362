"""Faults: codes, the unit that stored them, and how and when they were read; several codes a line are several facts."""

import re
from dataclasses import dataclass
from itertools import islice

from ticket.faults.start import find
from ticket.faults.trucks import FMI_MAX, SPN_MAX
from ticket.faults.written import doubt_of
from ticket.job.entry import Remark
from ticket.job.kinds import Code
from ticket.job.regex import Regex
from ticket.notes.code_bytes import bytes_at, readings_of
from ticket.notes.code_tail import Tail, tail_of
from ticket.notes.heads import Head, join
from ticket.notes.pen import Pen
from ticket.notes.phrases import phrase_at
from ticket.notes.shapes import Context
from ticket.notes.spans import Body
from ticket.notes.tokens import tokens_of

NONE = "none"
_NONE = Regex(
    r"\s*(?:none|nil|no (?:fault |trouble |active |stored )?(?:codes?|dtcs?|faults?)|0 codes?)(?=[\s,]|\Z)"
    r"(?:\s+(?:stored|found|present|set|active)\b)?",
    re.I,
)
_NEXT = Regex(r"\s*(?:[,+&/]|(?:and|n)\b)?\s*", re.I)
_TOKEN = Regex(r"[^\s,\0]+")
_SPAN = Regex(r"\s*(\0+)")
_CHUNK = Regex(r"[,;+&]|\b(?:and|n)\b|(?<=\s)(?=[A-Za-z]|[0-9]{2,6}\s?fmi\b)", re.I)
_MARK = Regex(r"[,;+&]\s*|\b(?:and|but)\s", re.I)
_LABEL = Regex(r"\s*(?:[A-Za-z][A-Za-z/]{1,14}\s?){1,3}:\s*(?=[A-Za-z0-9])")
_STRONG = Regex(
    r"(?<![0-9A-Za-z])(?:[PCBU][0-3][0-9A-F]{3}(?![0-9A-Z])|SPN\s?[:#]?\s?[0-9]|5[12][0-9]{4}[-/][0-9]{1,2}(?![0-9/-]))",
    re.I,
)
"""What is a code behind words too: a maker's own SPN (SAE J1939: from 516096 on; from memory) beside its FMI is one."""
_OLD = Regex(r"\s*(?:(?:MID|PID|SID|PPID|PSID|FMI)\s?[:=]?\s?[0-9]{1,3}[\s,/]*){2,4}", re.I)
_LONGEST_PREFIX = 40
_FIVE = Regex(r"[PCBU][0-3][0-9A-F]{3}", re.A)
_FREE = r"(?![0-9A-Za-z/]|[.][0-9])"
_PAIR = Regex(rf"\s*([0-9]{{2,6}})\s?[/:\-]\s?([0-9]{{1,2}}){_FREE}", re.A)
_WORDED = Regex(
    rf"\s*(?:(?:spn\s?[/\-]\s?fmi|spn|s)\s?[:=#]?\s?)?([0-9]{{1,6}})\s?(?:[,/:;.\-]\s?)?(?:fmi|f)\s?[:=#.\-]?\s?([0-9]{{1,2}}){_FREE}"
    rf"|\s*(?:spn\s?[/\-]\s?fmi|spn)\s?[:=#]?\s?([0-9]{{1,6}})\s?[/:.\-]\s?([0-9]{{1,2}}){_FREE}",
    re.I | re.A,
)  # fmt: skip
_SOURCE = Regex(r"\b(?:sa|source(?: address)?|src|addr(?:ess)?)\s?[:=#]?\s?([0-9]{1,3})\b", re.I)
_LOOK = 80  # no written form of a fault is longer
_MOST = 200  # codes on one line; what stands behind them stays text


@dataclass(frozen=True, slots=True)
class FoundCode:
    """One code where it stands, with what is in doubt about it."""

    code: str
    sub: str
    start: int
    end: int
    doubt: str = ""
    answers: tuple[str, ...] = ()
    source: str = ""


def read_code(body: Body, _context: Context) -> list[Head]:
    """One head for each code on the line: ``P0300 P0301 engine computer, stored``."""
    quoted = _quoted(body)
    if quoted:
        return [quoted]
    none = _NONE.match(body.bare)
    following = _of_another_unit(body, none.end()) if none else None
    if none and following is None:
        return _heads(
            body, [FoundCode(NONE, "", none.start(), none.end())], tail_of(body.cut(none.end()), unit_first=True)
        )
    raw = bytes_at(body.bare)
    if raw:
        return [_bytes(body, raw)]
    heads: list[Head] = []
    tails: list[tuple[int, Tail]] = []
    start = 0
    if none and following:
        tail = tail_of(body.cut(none.end(), following[0]), unit_first=True)
        heads += _heads(body, [FoundCode(NONE, "", none.start(), none.end())], tail)
        start = following[1]
    while len(heads) < _MOST:
        before = _before(body, start)
        codes, end = _codes(body, before, _MOST - len(heads))
        if not codes:
            break
        following = _next_group(body, end) if len(heads) + len(codes) < _MOST else None
        tail = tail_of(body.cut(end, following[0] if following else None), codes[-1].code)
        if before > start:
            _lead_in(tail, tail_of(body.cut(start, before)))
        heads += _heads(body, codes, tail)
        tails.append((len(heads), tail))
        if following is None:
            break
        start = following[1]
    if tails and tails[-1][1].shared:
        _share(heads, tails[-1][1])
    return heads or _of_a_maker(body) or [_unknown(body)]


def _of_another_unit(body: Body, start: int) -> tuple[int, int] | None:
    """``none engine, gearbox P0700``: the mark behind the unit that has none, and where the other one begins."""
    for match in _MARK.finditer(body.bare, start):
        named = tail_of(body.cut(start, match.start()), unit_first=True).fields.get("unit")
        if (
            named
            and named.casefold() not in _WHEN
            and code_at(body.bare, _before(body, match.end()), led=True) is not None
        ):
            return match.span()
    return None


_WHEN = frozenset({"now", "today", "currently", "at present", "left", "any more"})
"""Behind "none" they say when, and name no unit."""


def _before(body: Body, start: int) -> int:
    """Where the code begins behind a few words that name its unit or its state: ``ECM: P0420``, ``cleared P0420``."""
    if code_at(body.bare, start, led=True) is not None:
        return start
    strong = _STRONG.search(body.bare, start, start + _LONGEST_PREFIX + 10)
    if strong is None or any(char.isdecimal() or char in "\0,;" for char in body.bare[start : strong.start()]):
        return start
    return strong.start()


def _lead_in(tail: Tail, words: Tail) -> None:
    """What stood in front of the code fills what stands behind it."""
    unit = words.fields.pop("unit", "").rstrip(" :")
    if unit:
        tail.fields["unit"] = join(unit, tail.fields.get("unit", ""))
    for name, value in words.fields.items():
        tail.fields.setdefault(name, value)


def _share(heads: list[Head], tail: Tail) -> None:
    """``both current`` behind the last code holds for all that have no state of their own."""
    for head in heads:
        if not head.fields.get("status") and tail.fields.get("status"):
            head.fields["status"] = tail.fields["status"]


def _quoted(body: Body) -> Head | None:
    """``"E 12" "A" "unit", stored``: the last resort of the writer."""
    code = _SPAN.match(body.bare)
    sub = _SPAN.match(body.bare, code.end()) if code else None
    if code is None or sub is None:
        return None
    tail = tail_of(body.cut(sub.end()))
    fields = {"code": body.cut(*code.span(1)).text, "sub": body.cut(*sub.span(1)).text}
    return Head(fields | tail.fields, tail.remarks)


def _bytes(body: Body, end: int) -> Head:
    """Raw bytes: what they mean depends on who sent them, so nothing is claimed and every reading is named."""
    typed = body.raw[:end].strip()
    readings = readings_of(typed)
    text = (
        "These bytes can mean: " + "; or ".join(readings) + ". Write the code itself."
        if readings
        else "These bytes are no whole fault. Write the code itself."
    )
    tail = tail_of(body.cut(end))
    start = len(body.raw) - len(body.raw.lstrip())
    remark = Remark(
        text, body.at + start, body.at + end, "unread", True, tuple(reading.partition(" (")[0] for reading in readings)
    )
    return Head({"code": typed} | tail.fields, [remark, *tail.remarks])


def _codes(body: Body, start: int, most: int) -> tuple[list[FoundCode], int]:
    """The codes that stand side by side from ``start`` on."""
    codes: list[FoundCode] = []
    end = at = start
    while len(codes) < most:
        found = code_at(body.bare, at, led=True)
        if found is None:
            break
        codes.append(found)
        end = found.end
        gap = _NEXT.match(body.bare, end)
        at = gap.end() if gap else end
        if at == end:
            break
    return codes, end


def code_at(text: str, at: int, *, led: bool) -> FoundCode | None:
    """The code that begins at a place: any written form, and a truck's two numbers where the line begins with them."""
    gap = re.match(r"[\s,;+&/]*", text[at : at + _LOOK])
    at += gap.end() if gap else 0
    piece = text[at : at + _LOOK]
    worded = _WORDED.match(piece)
    if worded:
        spn, fmi = worded[1] or worded[3], worded[2] or worded[4]
        if int(spn) <= SPN_MAX and int(fmi) <= FMI_MAX:
            return FoundCode(f"SPN {int(spn)}", f"FMI {int(fmi)}", at, at + worded.end())
    hit = find(piece)
    if hit:
        doubt = doubt_of(piece) or (
            "The failure mode (FMI) is missing." if hit.code.startswith("SPN") and not hit.sub else ""
        )
        answers = (
            (f"{hit.code} FMI 31",)
            if doubt.startswith("The failure")
            else (f"{hit.code}-{hit.sub}" if hit.sub else hit.code,)
        )
        return FoundCode(
            hit.code,
            hit.sub,
            at,
            at + hit.end,
            doubt,
            answers if not doubt.startswith("The failure") else (),
            hit.source,
        )
    bare = _PAIR.match(piece) if led or at == 0 else None
    if bare and int(bare[1]) <= SPN_MAX and int(bare[2]) <= FMI_MAX:
        name = f"SPN {int(bare[1])} FMI {int(bare[2])}"
        doubt = f"Two bare numbers were read as a truck fault: write {name} to be sure."
        return FoundCode(f"SPN {int(bare[1])}", f"FMI {int(bare[2])}", at, at + bare.end(), doubt, (name,))
    return None


def _next_group(body: Body, start: int) -> tuple[int, int] | None:
    """Where the next code begins, behind a separator or behind the words of a state: the separator and the code."""
    for match in _CHUNK.finditer(body.bare, start):
        mark = match[0] != ""
        if (
            match[0] == "+"
            and body.bare[match.end() : match.end() + 1].isdecimal()
            and body.bare[match.start() - 1] == " "
        ):
            continue  # "LTFT b1 +19 b2 +22": a sign, and nothing that joins
        label = _LABEL.match(body.bare, match.end()) if mark else None
        found = code_at(body.bare, label.end() if label else match.end(), led=mark)
        if found is None or not (mark or _after_state(body.bare[start : match.start()])):
            continue
        return match.span()
    return None


def _after_state(text: str) -> bool:
    tokens = tokens_of(text[-60:])
    return any(
        hit[1] == len(tokens)
        for at in range(max(0, len(tokens) - 3), len(tokens))
        if (hit := phrase_at("status", tokens, at))
    ) or (
        (bool(tokens) and tokens[-1].kind in ("count", "number"))
        or (bool(tokens) and tokens[-1].low in ("times", "counts"))
    )


def _heads(body: Body, codes: list[FoundCode], tail: Tail) -> list[Head]:
    """A head for each code side by side; what stands behind holds for all of them."""
    heads = []
    for code in codes:
        fields = {"code": code.code, "sub": code.sub} | tail.fields
        if code.source and "SA" not in str(fields.get("unit", "")).upper().split():
            fields["unit"] = join(f"SA {code.source}", str(fields.get("unit", "")))
        remarks = []
        if code.doubt:
            remarks.append(
                Remark(code.doubt, body.at + code.start, body.at + code.end, "question", False, code.answers)
            )
        heads.append(Head(fields, remarks))
    heads[0].remarks += tail.remarks
    return heads


_OWN = Regex(r"(?<![\w.\-/])[A-Z]{1,2}-?[0-9]{2,4}(?![\w.\-/])", re.A)


def _of_a_maker(body: Body) -> list[Head]:
    """``hvac F14 hi press x3 inactive, F22 active``: a maker's own codes, behind the words for their unit."""
    found = list(islice(_OWN.finditer(body.bare), _MOST))
    before = body.bare[: found[0].start()] if found else ""
    if not found or any(char.isdecimal() for char in before) or (len(found) == 1 and not before.strip()):
        return []
    heads: list[Head] = []
    for match, end in zip(found, [*(one.start() for one in found[1:]), len(body.raw)], strict=True):
        tail = tail_of(body.cut(match.end(), end))
        if not heads and before.strip():
            _lead_in(tail, tail_of(body.cut(0, match.start())))
        text = f"{match[0]} is no code of a known notation; it is kept as typed."
        remark = Remark(text, body.at + match.start(), body.at + match.end(), "question")
        heads.append(Head({"code": match[0], "sub": ""} | tail.fields, [remark, *tail.remarks]))
    return heads


def _unknown(body: Body) -> Head:
    """A code of no known notation: the first token as typed."""
    start = len(body.bare) - len(body.bare.lstrip())
    old = _OLD.match(body.bare)
    if old:
        typed = old[0].strip(" ,/")
        tail = tail_of(body.cut(old.end()))
        text = "An older truck list (MID, PID, SID): kept as typed."
        remark = Remark(text, body.at + start, body.at + start + len(typed), "question")
        return Head({"code": typed, "sub": ""} | tail.fields, [remark, *tail.remarks])
    match = _TOKEN.match(body.bare, start)
    if match is None:
        tail = tail_of(body.cut(len(body.raw)))
        return Head({"code": body.text, "sub": ""} | tail.fields)
    tail = tail_of(body.cut(match.end()))
    text = f"{match[0][:20]} is no code of a known notation; it is kept as typed."
    remark = Remark(text, body.at + match.start(), body.at + match.end(), "question")
    return Head({"code": match[0], "sub": ""} | tail.fields, [remark, *tail.remarks])


def source_of(fact: Code) -> str:
    """The source address that stands in the name of the control unit, as ``SA 0``; empty where none does."""
    match = _SOURCE.search(fact.unit)
    return match[1] if match else ""


def write_code(fact: Code, pen: Pen) -> str:
    """The head of a fault."""
    if pen.marked:
        code = f"{pen.text('code', fact.code)} {pen.text('sub', fact.sub)}"
    else:
        code = fact.code
        if fact.sub:
            code += f"-{fact.sub}" if _FIVE.fullmatch(fact.code) else f" {fact.sub}"
    unit = pen.text("unit", fact.unit) if fact.unit else ""
    return join(join(code, unit), fact.status, fact.times, fact.moment, glue=", ")
