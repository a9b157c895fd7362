"""A fault as people and tools write it -> what was written, in one canonical form.

Nothing is guessed: a form that can mean two things is read the safe way and says so, a form that means nothing
known is kept as typed.
"""

import re
from dataclasses import dataclass, replace

from ticket.faults import notation as n
from ticket.faults.layout import from_hex
from ticket.faults.start import Hit, find
from ticket.faults.trucks import COUNT_UNKNOWN, FMI_MAX, SPN_MAX, Packed, unpack


@dataclass(frozen=True, slots=True)
class Written:
    """One fault as it was written.

    Attributes:
        typed: the text as given, unchanged.
        code: canonical code (``P1A30``, ``SPN 102``), a maker's own code as typed, ``none`` where the text says
            that no fault is stored, empty where nothing was recognised.
        sub: canonical sub-code (``7B``, ``FMI 18``); empty where none was written, which is not sub-code 00.
        status_byte: the status byte of ISO 14229-1 where one was written.
        scheme: ``obd`` (five characters), ``truck`` (SPN and FMI), ``maker`` (a maker's own code) or empty.
        spn: truck fault: suspect parameter number.
        fmi: truck fault: failure mode, ``None`` where only the SPN was written.
        count: how often it occurred, where written.
        certain: nothing about the reading is in doubt.
        reason: one plain sentence on what is in doubt or worth knowing; may be empty.
        source: truck fault: address of the control unit that sent it, where written.
    """

    typed: str
    code: str = ""
    sub: str = ""
    status_byte: int | None = None
    scheme: str = ""
    spn: int | None = None
    fmi: int | None = None
    count: int | None = None
    certain: bool = True
    reason: str = ""
    source: int | None = None


def leading(text: str) -> tuple[str, str, int] | None:
    """The fault that stands at the start of a text, in any written form.

    Args:
        text: any text, such as ``P1A30-7B fan control, stored``.

    Returns:
        Code, sub-code (empty where none was written) and the position behind them; ``None`` where the text does
        not start with a fault. Ordinary words never do: raw hex counts only with ``0x`` or as spaced byte pairs.
        Truck codes come as ``("SPN 102", "FMI 18", end)``.
    """
    hit = find(text)
    return (hit.code, hit.sub, hit.end) if hit else None


def doubt_of(text: str) -> str:
    """What is in doubt about the fault at the start of a text, in one sentence; empty where nothing is."""
    hit = find(text)
    if hit is None or hit.doubt:
        return hit.doubt if hit else ""
    written = parse(text[: hit.end])
    return "" if written.certain else written.reason


def parse(text: str, *, truck: bool = False) -> Written:
    """One fault in any written form; total, so text that is no fault comes back as typed with a reason.

    Args:
        text: what stands in a field for a fault code; words behind the fault are not part of it.
        truck: the text comes from a truck's or machine's network, so four raw bytes are SPN, FMI and count.
    """
    body = text.strip()
    if n.NONE.match(body):
        return Written(text, "none", reason="No fault is stored.")
    packed = n.PACKED.match(body)
    if packed and (truck or packed[1]):
        return _of_packed(text, unpack(bytes.fromhex(re.sub("0[xX]|[ ,]", "", packed[2]))))
    if bare := n.TRUCK_BARE.match(body):
        return _bare_truck(text, int(bare[1]), int(bare[2]))
    hit = find(body)
    return _of_hit(text, body, hit) if hit else _of_rest(text, body)


def _four_bytes(body: str, hit: Hit) -> str:
    """The doubt about four bytes that a car and a truck read differently; empty where the text is none such."""
    if not hit.status or " " not in body[: hit.end].strip():
        return ""
    truck = unpack(bytes.fromhex(re.sub("0[xX]|[ ,]", "", body[: hit.end])[-8:]))
    return f"Four bytes: read as code, sub-code and status; on a truck they are SPN {truck.spn} FMI {truck.fmi}."


def _tail_count(body: str, end: int) -> tuple[int | None, int]:
    """How often a fault was counted, where that stands behind it, and where the count ends."""
    count = n.TAIL_COUNT.match(body, end)
    if count is None:
        return None, end
    return next((int(group) for group in count.groups() if group), None), count.end()


def _of_hit(text: str, body: str, hit: Hit) -> Written:
    if hit.code == "P0000" and (hit.sub or hit.status):
        return _no_code(text, body[: hit.end], hit.sub)
    status, end = (hit.status, hit.end) if hit.status else _tail_status(body, hit)
    doubt = hit.doubt or _four_bytes(body, hit)
    counted, end = _tail_count(body, end)
    rest = body[end:]
    written = Written(
        text, hit.code, hit.sub, int(status, 16) if status else None,
        "truck" if hit.code.startswith("SPN") else "obd",
        count=None if counted == COUNT_UNKNOWN else counted,
        certain=not doubt, reason=doubt, source=int(hit.source) if hit.source else None,
    )  # fmt: skip
    if written.scheme == "truck":
        written = replace(written, spn=int(hit.code[4:]), fmi=int(hit.sub[4:]) if hit.sub else None)
    return written if doubt else _judged(written, rest)


def _no_code(text: str, typed: str, sub: str) -> Written:
    """P0000 names no fault, so what stands behind it is no state of one."""
    digits = re.sub("0[xX]|[ ,]", "", typed)
    truck = unpack(bytes.fromhex(digits)) if re.fullmatch("[0-9A-Fa-f]{8}", digits) else None
    other = f" On a truck the four bytes are SPN {truck.spn} FMI {truck.fmi}." if truck else ""
    reason = f"P0000 names no code, so what stands behind it has no meaning: check what was sent.{other}"
    return Written(text, "P0000", sub, scheme="obd", certain=False, reason=reason)


def _tail_status(body: str, hit: Hit) -> tuple[str, int]:
    """A status byte behind the fault: after its word, or bare behind a sub-code where nothing else follows."""
    match = n.TAIL_STATUS.match(body, hit.end)
    if match and (match[1] or (hit.sub and n.STOP.match(body, match.end()))):
        return match[2], match.end()
    return "", hit.end


def _judged(written: Written, rest: str) -> Written:
    """The same with a reason where something about it is worth saying."""
    if glued := n.GLUED.match(rest):
        reason = f"{glued[0]} behind the code is no sub-code of two characters and was left out."
        return replace(written, certain=False, reason=reason)
    if (second := find(rest.lstrip(" ,;/+&-"))) is not None:
        return replace(written, certain=False, reason=f"Only the first code was read; {second.code} follows it.")
    if written.code == "P0000":
        return replace(written, reason="P0000 means that there is no code.")
    if written.scheme == "truck" and written.fmi is None:
        return replace(written, reason="The failure mode (FMI) is missing.")
    if rest.strip(" .,;:)"):
        return replace(written, reason="The words behind the code are not part of it.")
    return written


def _bare_truck(text: str, spn: int, fmi: int) -> Written:
    if spn > SPN_MAX or fmi > FMI_MAX:
        return Written(text, certain=False, reason=_TOO_LARGE)
    reason = f"Two bare numbers were read as a truck fault: write SPN {spn} FMI {fmi} to be sure."
    return Written(text, f"SPN {spn}", f"FMI {fmi}", None, "truck", spn, fmi, certain=False, reason=reason)


def _of_packed(text: str, packed: Packed) -> Written:
    if packed.empty:
        return Written(text, "none", scheme="truck", reason="Four zero bytes: no fault is stored.")
    reason = ""
    if packed.old:
        first, second = packed.others
        reason = f"SPN uncertain: the bytes may follow an older packing, by which it is {first} or {second}."
    count = None if packed.count == COUNT_UNKNOWN else packed.count
    return Written(
        text, f"SPN {packed.spn}", f"FMI {packed.fmi}", None, "truck", packed.spn, packed.fmi, count,
        not packed.old, reason,
    )  # fmt: skip


_TOO_LARGE = f"An SPN is at most {SPN_MAX} and an FMI at most {FMI_MAX}."
_UNKNOWN = (
    (n.NEAR_SECOND, "The second character of a code is 0, 1, 2 or 3."),
    (n.NEAR_LENGTH, "A code has five characters, or seven with its sub-code."),
    (n.NEAR_TRUCK, _TOO_LARGE),
    (n.OLD_TRUCK, "An older truck list (MID, PID, SID): kept as typed."),
)


def _of_rest(text: str, body: str) -> Written:
    prefix = n.PREFIX.match(body)
    word = body[prefix.end() :].strip() if prefix else body
    if bare := n.BARE_HEX.match(word):
        return _bare_hex(text, bare[1], bare[2] or bare[1][6:8])
    if n.RAW_PAIRS.fullmatch(word):
        digits = word.replace(" ", "")
        if len(digits) == 8:
            return _bare_hex(text, digits, digits[6:])
        code, sub = from_hex(digits)
        return Written(text, code, sub, scheme="obd", certain=False, reason=f"Read as raw bytes: {_dashed(code, sub)}.")
    for pattern, reason in _UNKNOWN:
        if pattern.match(word):
            return Written(text, certain=False, reason=reason)
    if n.FLASH.match(word):
        doubt = len(word) > 3
        more = ""
        if word.isdecimal() and len(word) in (4, 6, 8):
            more = " With 0x in front it would be raw bytes."
        elif word.isdecimal() and len(word) == 5:
            more = " Five digits stand for a standard code only beside it."
        return Written(
            text, word, scheme="maker", certain=not doubt, reason=f"A maker's own code, kept as typed.{more}"
        )
    return Written(text, certain=False, reason="Not a fault code in any known form: kept as typed.")


def _bare_hex(text: str, digits: str, status: str) -> Written:
    code, sub = from_hex(digits)
    written = Written(text, code, sub, int(status, 16) if status and sub else None, "obd")
    if len(digits) == 4:
        return replace(written, certain=False, reason=f"Read as two raw bytes: {code}; a character may be missing.")
    if len(digits) == 8:
        truck = unpack(bytes.fromhex(digits))
        reason = f"Four bytes: read as code, sub-code and status; on a truck they are SPN {truck.spn} FMI {truck.fmi}."
        return replace(written, certain=False, reason=reason)
    return replace(written, reason=f"Read as raw bytes: {_dashed(code, sub)}.")


def _dashed(code: str, sub: str) -> str:
    return f"{code}-{sub}" if sub else code
