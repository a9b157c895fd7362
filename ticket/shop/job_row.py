"""The row that the store keeps of a job, made from the ticket in hand whenever an action changes it."""

from collections.abc import Iterator
from typing import TypedDict

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Proof, Says
from ticket.job.likeness import likeness
from ticket.job.text import fold
from ticket.job.ticket import METRES, Ticket
from ticket.job.values import Quantity
from ticket.machine import environment
from ticket.money.agreement import agreement
from ticket.money.bill import bill
from ticket.money.period import Work, labour_of
from ticket.money.prices import listed
from ticket.money.terms_of import terms_of
from ticket.past.job_facts import Beside, beside, codes_of, letters_of
from ticket.store.index_rows import CauseRow, FixRow, JobRow, LabourRow

_FARTHEST = 10**12
_TECHNICAL = (Did, Found, Proof, Cause)
_HOURS = 1e6


def job_row(ticket: Ticket, prices: str | None, zone: str) -> JobRow:
    """What is kept of a job.

    Args:
        ticket: the job.
        prices: the text of the list it is priced by, as :func:`listed` takes it; ``None`` where there is none.
        zone: of the shop: clock times are those of its wall.
    """
    environment.use_zone(zone)
    whole = beside(ticket)
    known, terms = listed(prices, ticket.header.sums_told), terms_of(ticket)
    made = bill(ticket, known, terms)
    agreed = agreement(ticket, known, terms).approved
    mine = made.told_to("customer", known.quotes)
    near = list(_beside_codes(ticket, whole))
    header, labour = ticket.header, [entry.fact for entry in ticket.living if isinstance(entry.fact, Did)]
    return JobRow(
        label=fold(header.vehicle.label),
        metres_in=metres(header.odometer_in),
        metres_out=metres(header.odometer_out),
        state=_state(ticket, whole),
        worked=bool(labour),
        hours=min(whole.hours, _HOURS),
        pays=" ".join(dict.fromkeys(_payers(ticket))),
        **_sums(made.total, mine, agreed, known.quotes if prices is not None else ""),
        back_from=_back_from(ticket),
        causes=tuple(cause for code, sub, one, state in near for cause in _cause_rows(code, sub, one, state)),
        fixes=tuple(fix for code, sub, one, state in near for fix in _fix_rows(code, sub, one, state)),
        techs=tuple({fold(name): name for name in _techs(ticket)}.items()),
        labour=tuple(_labour_row(entry, work) for entry, work in labour_of(ticket, made)),
    )


def _beside_codes(ticket: Ticket, whole: Beside) -> Iterator[tuple[str, str, Beside, str]]:
    """What stands beside each code and how that came out; beside no code (``""``) where there is none."""
    concerns = {letter for entry in ticket.living for letter in entry.concerns}
    for code, sub in codes_of(ticket) or (("", ""),):
        letters = letters_of(ticket, code, sub) if code else concerns
        near = whole if letters >= concerns else beside(ticket, letters)
        yield code, sub, near, _state(ticket, near)


def _fix_rows(code: str, sub: str, near: Beside, state: str) -> list[FixRow]:
    return [FixRow(code, sub, i, likeness(text), text, state) for i, text in enumerate(near.fixes)]


class _Sums(TypedDict):
    """The columns of sums, in cents; without a base the shop has no price list, and no job a bill."""

    total: int | None
    agreed: int | None
    over: bool
    billed: int | None
    base: str


def _sums(total: int, mine: int, agreed: int | None, base: str) -> _Sums:
    if not base:
        return _Sums(total=None, agreed=_fits(agreed), over=False, billed=None, base="")
    over = agreed is not None and mine > agreed
    return _Sums(total=_fits(total), agreed=_fits(agreed), over=over, billed=_fits(mine), base=base)


def _state(ticket: Ticket, near: Beside) -> str:
    return "open" if ticket.status != "signed" else "declined" if near.declined else "finished"


def _cause_rows(code: str, sub: str, near: Beside, state: str) -> list[CauseRow]:
    """A row for each cause, each once; one without a cause where none is stated."""
    texts = {likeness(text): text for text in reversed(near.causes)} or {"": ""}
    hours = min(near.hours, _HOURS)
    return [CauseRow(code, sub, i, key, text, state, hours, near.part) for i, (key, text) in enumerate(texts.items())]


def metres(reading: Quantity | None) -> int | None:
    """A reading of the distance in whole metres; ``None`` for hours, and for what is no number."""
    if reading is None or reading.unit not in METRES or reading.value is None:
        return None
    found = round(float(reading.value) * METRES[reading.unit])
    return found if 0 <= found <= _FARTHEST else None


def _labour_row(entry: Entry, work: Work) -> LabourRow:
    return LabourRow(
        no=entry.no,
        at=int(entry.at.timestamp()),
        person=work.person,
        rate=work.rate,
        hours=str(work.hours),
        minutes=work.minutes,
        sales=str(work.sales),
    )


def _fits(cents: int | None) -> int | None:
    """A sum that a column can hold."""
    return cents if cents is not None and abs(cents) < 2**62 else None


def _payers(ticket: Ticket) -> list[str]:
    found = []
    for entry in ticket.living:
        pays = getattr(entry.fact, "pays", "")
        found += [pays] if pays else [share.payer for share in getattr(entry.fact, "split", ())]
    return found or ["customer"]


def _back_from(ticket: Ticket) -> int | None:
    """The number of the ticket that a complaint says it came back from; of other shops' numbers none."""
    for entry in ticket.of_kind(Says):
        number = getattr(entry.fact, "back_from", "")
        if number.isascii() and number.isdecimal() and len(number) < 16:
            return int(number)
    return None


def _techs(ticket: Ticket) -> list[str]:
    """Who did the labour, and who wrote down what was found and proved."""
    return [
        getattr(entry.fact, "by", "") or entry.person for entry in ticket.living if isinstance(entry.fact, _TECHNICAL)
    ]
