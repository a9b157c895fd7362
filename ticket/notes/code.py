"""Faults: codes, the unit that stored them, and how and when they were read."""

import re

from ticket.faults.written import doubt_of, leading
from ticket.job.entry import Remark
from ticket.job.kinds import Code
from ticket.notes.heads import Head, join
from ticket.notes.pen import Pen
from ticket.notes.segments import flag_of
from ticket.notes.shapes import Context
from ticket.notes.spans import Body

NONE = "none"
_NONE = re.compile(r"\s*(?:none|no (?:fault |trouble )?codes?)(?=[\s,]|\Z)(?:\s+(?:stored|found|present)\b)?", re.I)
_NEXT = re.compile(r"\s*(?:[,+&/]|and\b)?\s*", re.I)
_TOKEN = re.compile(r"[^\s,\0]+")
_SPAN = re.compile(r"\s*(\0+)")
_CHUNK = re.compile(r"[,;]")
_COUNTED = re.compile(r"([a-z]+(?: [a-z]+)*) +([0-9]{1,9} ?(?:times?|x))", re.I)
_FIVE = re.compile(r"[PCBU][0-3][0-9A-F]{3}", re.A)
_LOOK = 80  # no written form of a fault is longer
_MOST = 200  # codes on one line; what stands behind them stays text
Found = tuple[str, str]


def read_code(body: Body, _context: Context) -> list[Head]:
    """One head for each code on the line: ``P0300 P0301 engine computer, stored``."""
    quoted = _quoted(body)
    if quoted:
        return [quoted]
    none = _NONE.match(body.bare)
    if none:
        return _tail([(NONE, "")], body.cut(none.end()), keep_first=True)
    heads: list[Head] = []
    remarks: list[Remark] = []
    start = 0
    while True:
        codes, end = _codes(body, start, _MOST - len(heads), remarks)
        if not codes:
            break
        more = len(heads) + len(codes) < _MOST
        stop = _next_group(body, end) if more else None
        heads.extend(_tail(codes, body.cut(end, stop)))
        if stop is None:
            break
        start = stop + 1
    if not heads:
        return [_unknown(body)]
    heads[0].remarks.extend(remarks)
    return heads


def _quoted(body: Body) -> Head | None:
    """``"E 12" "A" "unit", stored``: the last resort of the writer."""
    code = _SPAN.match(body.bare)
    sub = _SPAN.match(body.bare, code.end()) if code else None
    if code is None or sub is None:
        return None
    head = _tail([("", "")], body.cut(sub.end()))[0]
    head.fields |= {"code": body.cut(*code.span(1)).text, "sub": body.cut(*sub.span(1)).text}
    return head


def _codes(body: Body, start: int, most: int, remarks: list[Remark]) -> tuple[list[Found], int]:
    """The codes that stand side by side from ``start`` on; the first doubt about them goes to the remarks."""
    codes: list[Found] = []
    end = at = start
    while len(codes) < most:
        found = leading(body.bare[at : at + _LOOK])
        if found is None:
            break
        if not remarks and (doubt := doubt_of(body.bare[at : at + _LOOK])):
            remarks.append(Remark(doubt, body.at + at, body.at + at + found[2]))
        codes.append(found[:2])
        end = at + found[2]
        gap = _NEXT.match(body.bare[end : end + _LOOK])
        at = end + (gap.end() if gap else 0)
        if at == end:
            break
    return codes, end


def _next_group(body: Body, start: int) -> int | None:
    """Position of the separator in front of the next code, where a later chunk begins with one."""
    for match in _CHUNK.finditer(body.bare, start):
        if leading(body.bare[match.end() : match.end() + _LOOK]):
            return match.start()
    return None


def _tail(codes: list[Found], rest: Body, *, keep_first: bool = False) -> list[Head]:
    """Control unit, status, count and moment; they hold for every code in front of them."""
    fields: dict[str, str] = {}
    stops = [match.start() for match in _CHUNK.finditer(rest.bare)]
    unit_end = stops[0] if stops else len(rest.bare)
    kept: list[tuple[int, int]] = []
    for start, end in zip([0, *(stop + 1 for stop in stops)], [*stops, len(rest.bare)], strict=True):
        flags = () if keep_first and start == 0 else _flags(rest.bare[start:end])
        if flags and not fields.keys() & {name for name, _ in flags}:
            fields.update(flags)
        elif rest.bare[start:end].strip():
            kept.append((start, end))
    if kept and kept[0][0] == 0 and len(kept) == 1:
        fields["unit"] = rest.cut(0, unit_end).text
    elif kept:
        whole = Body.of("".join(rest.raw[max(start - 1, 0) : end] for start, end in kept).strip(" ,;"))
        fields["unit"] = whole.text
    return [Head({"code": code, "sub": sub} | fields) for code, sub in codes]


def _flags(text: str) -> tuple[tuple[str, str], ...]:
    """The status, count or moment a piece names; ``stored 3 times`` names two."""
    one = flag_of(Code.kind, text)
    if one:
        return (one,)
    text = text.strip()
    both = _COUNTED.fullmatch(text) if len(text) <= _LOOK else None
    status = flag_of(Code.kind, both[1]) if both else None
    times = flag_of(Code.kind, both[2]) if both else None
    return (status, times) if status and times and status[0] != times[0] else ()


def _unknown(body: Body) -> Head:
    """A code of no known notation: the first token as typed."""
    match = _TOKEN.match(body.bare, len(body.bare) - len(body.bare.lstrip()))
    if match is None:
        return _tail([(body.text, "")], body.cut(len(body.raw)))[0]
    head = _tail([(match[0], "")], body.cut(match.end()))[0]
    text = f"{match[0][:20]} is no code of a known notation; it is kept as typed."
    head.remarks.append(Remark(text, body.at + match.start(), body.at + match.end()))
    return head


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
