"""A pasted scan report -> its faults, with control unit, code, sub-code and status; what gave nothing is listed.

No tool's format is known here: lines are read by their shape. A line may be a row of columns under a line of
titles, a label with its value, a title that names a control unit or a state, or prose that holds codes.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ticket.faults import report_words
from ticket.faults.notation import AMONG_PAIRS, LABELLED, PACKED, PAIR
from ticket.faults.start import find
from ticket.faults.status import status as read_status
from ticket.faults.trucks import COUNT_UNKNOWN, Packed, unpack_message
from ticket.faults.written import Written, parse
from ticket.job.regex import Regex

LINE_MAX = 2000  # characters; the rest of a longer line is listed as unread: no scan tool prints such a line
_NOISE = Regex("\x1b\\[[0-9;]{0,20}[A-Za-z]|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\ufeff\ud800-\udfff]")
_RULE = Regex(r"[\s\-=_*+|~.#]*\Z")
_CANDIDATE = Regex(r"(?<![0-9A-Za-z])(?:[PCBU](?=[0-3O \-\u2013])|SPN|SA(?=[\s:])|FMI|0x|[0-9]{5}[ \-])", re.I | re.A)
_PART_NUMBER = Regex(r"[\-./][0-9A-Za-z]", re.A)
_PART_BEFORE = Regex(r"[0-9][0-9A-Za-z]{0,12}[\-./_]\Z", re.A)
_LABEL = Regex(r"\s*([^:=]{1,30}?)\s*[:=]\s*(\S.*)")
_MESSAGE = Regex(rf"\s*(DM[12])\s*[:=]?\s*({PAIR}(?:[ ,]?{PAIR}){{5,200}})\s*\Z", re.I | re.A)
_CELLS = Regex(r"\s*[|\t;]\s*|\s{2,}")
_DECOR = " \t#=*>[](){}<-–:;,|.0123456789"
_EMPTY = Regex(r"\([\s,;.]{0,9}\)|\[[\s,;.]{0,9}\]")
_OBD = Regex(r"\bOBD|\b(?:service|mode|\$)\s*0?A\b", re.I)
_PERMANENT = 'Makers use "permanent" in different ways: only a code read by OBD service 0A is permanent by law.'


@dataclass(frozen=True, slots=True)
class Reported:
    """One fault of a report.

    Attributes:
        written: the code as read.
        unit: control unit as the report names it; empty where it does not.
        status: the word a fault entry takes; empty where the report says nothing.
        text: what else the line says about it.
        line: number of its line, from 1.
        remark: what to check; may be empty.
    """

    written: Written
    unit: str = ""
    status: str = ""
    text: str = ""
    line: int = 0
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that gave nothing."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Report:
    """What a pasted report holds.

    Attributes:
        faults: in the order of the report.
        clear: control units that reported no fault.
        unread: lines that gave nothing.
    """

    faults: tuple[Reported, ...] = ()
    clear: tuple[str, ...] = ()
    unread: tuple[Unread, ...] = ()


@dataclass(slots=True)
class _Reader:
    """Where the reading stands: control unit and state in force, columns in force, what was found."""

    faults: list[Reported] = field(default_factory=list)
    clear: list[str] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    unit: str = ""
    state: str = ""
    obd: bool = False
    columns: tuple[str, ...] = ()
    separator: str = ""
    number: int = 0

    def add(self, written: Written, unit: str = "", state: str = "", text: str = "") -> None:
        by_byte = "" if written.status_byte is None else read_status(written.status_byte).entry
        status = state or by_byte or self.state
        remark = "" if written.certain else written.reason
        if status == "permanent" and not self.obd:
            remark = remark or _PERMANENT
        self.faults.append(Reported(written, unit or self.unit, status, " ".join(text.split()), self.number, remark))


def parse_report(text: str) -> Report:
    """The faults of a pasted scan report; total, any text is accepted."""
    reader = _Reader()
    for reader.number, raw in enumerate(text.splitlines(), 1):
        line = _NOISE.sub(" ", raw).rstrip()
        if len(line) > LINE_MAX:
            reader.unread.append(Unread(reader.number, line[LINE_MAX:].strip()))
            line = line[:LINE_MAX]
        if not _RULE.match(line) and not _read(reader, line):
            reader.unread.append(Unread(reader.number, line.strip()))
    clear = tuple(dict.fromkeys(unit for unit in reader.clear if unit))
    return Report(tuple(reader.faults), clear, tuple(reader.unread))


def _read(reader: _Reader, line: str) -> bool:
    """Whether the line gave something."""
    return (
        _message(reader, line)
        or _bytes_alone(reader, line)
        or _titles(reader, line)
        or _columns(reader, line)
        or _labels(reader, line)
        or _prose(reader, line)
        or _nothing_stored(reader, line)
        or _heading(reader, line)
        or _state_alone(reader, line)
    )


def _message(reader: _Reader, line: str) -> bool:
    """A raw DM1 (active) or DM2 (previously active) message."""
    match = _MESSAGE.match(line)
    if match is None:
        return False
    found = unpack_message(bytes.fromhex(re.sub("[ ,]", "", match[2])))
    for packed in found:
        reader.add(_of_packed(match[2], packed), state="active" if match[1].upper() == "DM1" else "previously active")
    if not found and reader.unit:
        reader.clear.append(reader.unit)
    return True


def _bytes_alone(reader: _Reader, line: str) -> bool:
    """The four bytes of one fault without the lamps in front, and a message that is cut off: never a car's code."""
    packed = PACKED.match(line.strip())
    if packed and packed[1]:
        written = parse(line.strip())
    elif LABELLED.match(line):
        reason = "These bytes are no whole truck fault: two bytes of lamps and four for each fault, or four alone."
        written = Written(line.strip(), certain=False, reason=reason)
    else:
        return False
    if written.code == "none" and reader.unit:
        reader.clear.append(reader.unit)
    else:
        reader.add(written)
    return True


def _of_packed(typed: str, packed: Packed) -> Written:
    count = None if packed.count == COUNT_UNKNOWN else packed.count
    reason = "SPN uncertain: the bytes may follow an older packing." if packed.old else ""
    return Written(
        typed, f"SPN {packed.spn}", f"FMI {packed.fmi}", None, "truck", packed.spn, packed.fmi, count,
        not packed.old, reason,
    )  # fmt: skip


def _split(line: str, separator: str) -> list[str]:
    if separator == " ":
        return re.split(r"\s{2,}", line.strip())
    cells = [cell.strip() for cell in line.strip().split(separator)]
    return cells[1:-1] if separator == "|" and len(cells) > 2 and not cells[0] and not cells[-1] else cells


def _titles(reader: _Reader, line: str) -> bool:
    """A line of column titles: at least two are known, one of them for the code."""
    for separator in ("|", "\t", ";", ",", " "):
        if separator != " " and separator not in line:
            continue  # one cell is no row of titles
        roles = tuple(report_words.role(cell) for cell in _split(line, separator))
        known = [role for role in roles if role]
        if len(known) >= 2 and {"code", "spn"} & set(known) and len(known) * 2 >= len(roles):
            reader.columns, reader.separator = roles, separator
            return True
    return False


def _columns(reader: _Reader, line: str) -> bool:
    """A row under titles."""
    if not reader.columns:
        return False
    cells = _split(line, reader.separator)
    if not 2 <= len(cells) <= len(reader.columns):
        return False
    by_role: dict[str, str] = {}
    for role, cell in zip(reader.columns, cells, strict=False):
        if role and cell:
            by_role.setdefault(role, cell)
    return _by_role(reader, by_role)


def _by_role(reader: _Reader, by_role: dict[str, str]) -> bool:
    """One fault out of named values; false where they hold no code."""
    code = by_role.get("code", "")
    if "spn" in by_role:
        code = f"SPN {by_role['spn']}" + (f" FMI {by_role['fmi']}" if "fmi" in by_role else "")
    sub = by_role.get("sub", "")
    written = parse(f"{code} sub {sub}" if sub and parse(f"{code} sub {sub}").sub else code)
    if written.code == "none":
        reader.clear.append(by_role.get("unit", reader.unit))
        return True
    if not written.code or (written.scheme == "maker" and not any(c.isdecimal() for c in written.code)):
        return False
    written = _completed(replace(written, typed=code), by_role)
    reader.unit = by_role.get("unit", reader.unit)
    told = by_role.get("status", "")
    reader.add(written, state=report_words.state(told), text=by_role.get("text", ""))
    return True


def _completed(written: Written, by_role: dict[str, str]) -> Written:
    """With status byte, count and source from their own columns."""
    pair = next(
        (by_role[role] for role in ("byte", "status") if re.fullmatch(f"(?:0x)?{PAIR}", by_role.get(role, ""))), ""
    )
    if pair and written.status_byte is None:
        written = replace(written, status_byte=int(pair[-2:], 16))
    count = by_role.get("count", "").strip("x ")
    if re.fullmatch("[0-9]{1,5}", count) and written.count is None:
        written = replace(written, count=int(count))
    source = by_role.get("source", "")
    if re.fullmatch("[0-9]{1,3}", source) and written.source is None:
        written = replace(written, source=int(source))
    return written


def _labels(reader: _Reader, line: str) -> bool:
    """Labels with values, one or several to a line; values without a code complete the fault before them."""
    by_role: dict[str, str] = {}
    for cell in _CELLS.split(line):
        match = _LABEL.match(cell)
        role = report_words.role(match[1]) if match else ""
        if match is None or not role:
            continue
        by_role.setdefault(role, match[2].strip())
    if not by_role:
        return False
    if {"code", "spn"} & set(by_role):
        return _by_role(reader, by_role)
    if "unit" in by_role:
        reader.unit, reader.state = by_role.pop("unit"), ""
        return not by_role or _complete_last(reader, by_role) or True
    return _complete_last(reader, by_role)


def _complete_last(reader: _Reader, by_role: dict[str, str]) -> bool:
    if not reader.faults:
        return False
    last = reader.faults[-1]
    written = _completed(last.written, by_role)
    if "fmi" in by_role and written.scheme == "truck" and written.fmi is None:
        more = parse(f"{written.code} FMI {by_role['fmi']}")
        written = replace(written, sub=more.sub, fmi=more.fmi, reason="") if more.sub else written
    if "sub" in by_role and written.scheme == "obd" and not written.sub:
        written = replace(written, sub=parse(f"{written.code} sub {by_role['sub']}").sub)
    by_byte = "" if written.status_byte is None else read_status(written.status_byte).entry
    changed = replace(
        last,
        written=written,
        status=report_words.state(by_role.get("status", "")) or last.status or by_byte,
        text=last.text or by_role.get("text", ""),
    )
    reader.faults[-1] = changed
    return changed != last or "status" in by_role


def _hits(line: str) -> Iterator[tuple[int, int]]:
    """Start and end of each fault in a line; a longer token that only begins like one (a part number) is none."""
    stop = 0
    for match in _CANDIDATE.finditer(line):
        if match.start() < stop or (hit := find(line, match.start())) is None:
            continue
        if any(
            pair.end() == match.start()
            for pair in AMONG_PAIRS.finditer(line, max(stop, match.start() - 4), match.start() + 3)
        ):
            continue  # "96 4B B1 40": bytes in the middle of others begin no code
        if match.start() > stop + 1 and _PART_BEFORE.search(line, max(0, match.start() - 20), match.start()):
            continue
        if _PART_NUMBER.match(line, hit.end) and find(line, hit.end + 1) is None:
            continue
        stop = hit.end
        yield match.start(), hit.end


def _unit(before: str, inside: str) -> str:
    """The control unit a line names before its first code, or which it says its codes are stored in."""
    unit = report_words.unit_name(before) or inside or _named_before(before)
    return "" if before.strip(_DECOR).endswith(("with", "from")) else unit


def _written(line: str, start: int, end: int, following: int) -> Written:
    """The fault at a place of a line, with the count that stands behind it."""
    written = replace(parse(line[start:following].rstrip(" ,;/+&-|\t")), typed=line[start:end])
    counted = report_words.COUNT.search(line, end, following) if written.count is None else None
    return replace(written, count=int(counted[1] or counted[2])) if counted else written


def _prose(reader: _Reader, line: str) -> bool:
    """Any line that holds codes."""
    spans = list(_hits(line))
    if not spans:
        return False
    before = line[: spans[0][0]]
    inside = report_words.STORED_IN.search(line)
    unit = _unit(before, inside[1] if inside else "")
    reader.unit = unit if unit and ":" in before else reader.unit
    obd, reader.obd = reader.obd, reader.obd or bool(_OBD.search(line))
    shared = report_words.state(line[spans[-1][1] :]) or report_words.state(before)
    for i, (start, end) in enumerate(spans):
        following = spans[i + 1][0] if i + 1 < len(spans) else len(line)
        written = _written(line, start, end, following)
        text = _EMPTY.sub(" ", report_words.without_states(line[end:following])).strip(" \t,;:|-–.*#~<>")
        reader.add(
            written,
            unit,
            report_words.state(line[end:following]) or shared,
            text if len(spans) == 1 and not inside else "",
        )
    reader.obd = obd
    return True


def _named_before(before: str) -> str:
    """A short name in front of a code, set off by a colon or a column gap: ``Fan control: P1A30``."""
    set_off = before.rstrip()[-1:] in tuple(":|;") or before.endswith(("  ", "\t", " - ", " – "))
    name = before.strip().strip(_DECOR)
    if not set_off or not 3 <= len(name) <= 40 or sum(c.isalpha() for c in name) < 3:
        return ""
    return "" if report_words.role(name) or report_words.state(name) or report_words.CODES_TITLE.search(name) else name


def _nothing_stored(reader: _Reader, line: str) -> bool:
    match = report_words.NO_FAULTS.search(line) or report_words.ALL_WELL.search(line)
    if match is None:
        return False
    name = line[: match.start()].strip(_DECOR)
    unit = report_words.unit_name(name) or (name if 3 <= len(name) <= 40 else "") or reader.unit
    if unit:
        reader.clear.append(unit)
    return bool(unit)


def _short(title: str) -> bool:
    """Whether a line is short enough for a title, and has letters."""
    return len(title) <= 60 and len(title.split()) <= 8 and sum(c.isalpha() for c in title) >= 3


def _heading(reader: _Reader, line: str) -> bool:
    """A title: the control unit or the state of the faults that follow it."""
    title = line.strip(_DECOR)
    if line.rstrip().endswith(".") or not _short(title):
        return False
    state = report_words.state(title)
    if state and report_words.CODES_TITLE.search(title):
        reader.state, reader.obd = state, bool(_OBD.search(title))
        return True
    label = _LABEL.match(title)
    if label and report_words.role(label[1]) != "unit":
        return False
    marked = line.lstrip()[:1] in "#=*[>" or line.rstrip().endswith(":")
    if report_words.UNIT.search(title) or (marked and not report_words.CODES_TITLE.search(title)):
        inside = report_words.STORED_IN.search(title)
        reader.unit = label[2] if label else inside[1] if inside else title
        reader.state, reader.obd = "", False
        return True
    return False


def _state_alone(reader: _Reader, line: str) -> bool:
    """A line that holds nothing but a state belongs to the fault before it."""
    state = report_words.state(line)
    rest = report_words.without_states(line).strip(" \t,;:.-()[]*")
    if not state or not reader.faults or len(rest) > 12:
        return False
    reader.faults[-1] = replace(reader.faults[-1], status=state)
    return True
