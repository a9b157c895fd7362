"""The status byte of a fault (ISO 14229-1) and the severity byte, in a technician's words."""

from dataclasses import dataclass
from functools import cache

from ticket.faults import fault_tables

FAILING, FAILED_TODAY, PENDING, STORED = 0x01, 0x02, 0x04, 0x08
UNTESTED, FAILED_ONCE, UNTESTED_TODAY, LIGHT = 0x10, 0x20, 0x40, 0x80
NO_DATA = 0xFF


@dataclass(frozen=True, slots=True)
class Status:
    """What a status byte says.

    Attributes:
        byte: as read.
        bits: words for each set bit the control unit supports.
        words: the whole in one phrase.
        entry: the word a fault entry takes (``stored``, ``active``, ``pending``), empty where none fits.
        proved: after a repair: ``True`` the test ran and passed, ``False`` it still fails, ``None`` nothing is proved.
        proof: that in one sentence.
    """

    byte: int
    bits: tuple[str, ...]
    words: str
    entry: str
    proved: bool | None
    proof: str


def status(byte: int, available: int = NO_DATA) -> Status:
    """What a status byte says.

    Args:
        byte: 0 to 255.
        available: the bits this control unit supports (its availability mask); the others count as not sent.

    Raises:
        ValueError: not a byte.
    """
    if not 0 <= byte <= 0xFF:
        raise ValueError(f"not a byte: {byte}")
    sent = byte & available
    bits = tuple(words for mask, words in _bits() if sent & mask)
    proved, proof = _proof(byte, sent, available)
    return Status(byte, bits, _words(byte, sent), _entry(byte, sent), proved, proof)


@cache
def _bits() -> tuple[tuple[int, str], ...]:
    return tuple((int(row[0], 16), row[1]) for row in fault_tables.rows("status.tsv"))


def _contradicts(byte: int, sent: int) -> bool:
    """Not tested since cleared, and yet failed since cleared; 0xFF is mostly a filler for "no data"."""
    return byte == NO_DATA or (sent & UNTESTED and sent & (FAILED_ONCE | FAILING)) > 0


def _words(byte: int, sent: int) -> str:
    if byte == NO_DATA:
        return "probably no data: all bits are set, which contradict each other"
    if _contradicts(byte, sent):
        return "the bits contradict each other"
    if sent & FAILING:
        words = "stored and failing now" if sent & STORED else "failing now, not yet stored"
    elif sent & STORED:
        words = "stored, failed this or the last drive" if sent & PENDING else "stored, not failing now"
    elif sent & PENDING:
        words = "pending: failed this or the last drive, not stored"
    elif sent & UNTESTED:
        words = "cleared and not yet tested"
    elif sent & FAILED_ONCE:
        words = "not stored; has failed at some time since the codes were cleared"
    else:
        words = "not stored; never failed since the codes were cleared"
    if sent & UNTESTED_TODAY and not sent & UNTESTED:
        words += ", not tested since this key-on"
    return words + (", asks for the warning light" if sent & LIGHT else "")


def _entry(byte: int, sent: int) -> str:
    if _contradicts(byte, sent):
        return ""
    if sent & FAILING:
        return "active"
    if sent & STORED:
        return "stored"
    return "pending" if sent & PENDING else ""


def _proof(byte: int, sent: int, available: int) -> tuple[bool | None, str]:
    if _contradicts(byte, sent):
        return None, "Proves nothing: the bits contradict each other."
    if sent & FAILING:
        return False, "The fault is still there: its test fails right now."
    if not available & UNTESTED_TODAY or not available & FAILING:
        return None, "Proves nothing: this control unit does not say whether the test ran."
    if sent & UNTESTED:
        return None, "Proves nothing about the repair: the test has not run since the codes were cleared."
    if sent & UNTESTED_TODAY:
        return None, "Proves nothing yet: the test has not run since this key-on."
    if sent & FAILED_TODAY:
        return None, "Proves nothing yet: the last test passed, but it failed earlier since this key-on."
    return True, "The test ran since this key-on and passed."
