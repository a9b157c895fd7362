"""The four bytes of a truck fault: SPN, FMI and occurrence count (SAE J1939-73)."""

from dataclasses import dataclass

SPN_MAX = 524287  # 19 bits
FMI_MAX = 31  # 5 bits
COUNT_UNKNOWN = 127  # the field's own mark for "not available"
_LAMPS = 2  # bytes of lamp state that open a DM1 or DM2 message


@dataclass(frozen=True, slots=True)
class Packed:
    """One fault out of four bytes.

    Attributes:
        spn: suspect parameter number by packing 4, which every current unit uses.
        fmi: failure mode.
        count: occurrences as sent; 127 means not available.
        old: the conversion bit is set: the bytes may follow one of the packings 1 to 3 and the SPN is uncertain.
        others: what the SPN would be by the packings 1 and 2 (3 agrees with 4).
    """

    spn: int
    fmi: int
    count: int
    old: bool
    others: tuple[int, ...]

    @property
    def empty(self) -> bool:
        """Four zero bytes: the message says that there is no fault."""
        return not (self.spn or self.fmi or self.count or self.old)


def unpack(raw: bytes) -> Packed:
    """The fault in four bytes.

    Raises:
        ValueError: not four bytes.
    """
    if len(raw) != 4:
        raise ValueError(f"a truck fault has four bytes, not {len(raw)}")
    low, middle, top, last = raw
    high_bits, fmi = top >> 5, top & 0x1F
    others = ((low << 8 | middle) << 3 | high_bits, (middle << 8 | low) << 3 | high_bits)
    return Packed(high_bits << 16 | middle << 8 | low, fmi, last & 0x7F, bool(last & 0x80), others)


def unpack_message(raw: bytes) -> tuple[Packed, ...]:
    """The faults of a whole DM1 or DM2 message; bytes that do not fill a fault (padding) are left.

    A message without faults gives none.
    """
    body = raw[_LAMPS:]
    groups = (unpack(body[i : i + 4]) for i in range(0, len(body) - 3, 4))
    return tuple(group for group in groups if not group.empty)
