"""Whole tickets for tests: realistic random ones, and one from the lines a technician would type.

``tickets()`` is a hypothesis strategy. Each ticket tells a coherent job: complaints open concerns, findings carry
readings with limits, causes and labour point at entries that stand before them, offers are answered, some entries
are struck, shop only or amended, and now and then a text is hostile.
"""

import dataclasses
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any

from hypothesis import strategies as st

from support import words as w
from ticket.job.entry import CONCERN_LETTERS, Entry
from ticket.job.field_specs import specs
from ticket.job.kinds import (
    JUDGEMENTS,
    MOMENTS,
    STATUSES,
    Cause,
    Code,
    Did,
    Fact,
    Found,
    Later,
    Maybe,
    Note,
    Offer,
    Proof,
    Ruled,
    Says,
    Told,
    Used,
)  # fmt: skip
from ticket.job.ticket import Cover, Customer, Discount, Header, Ticket, Vehicle
from ticket.job.values import PAYERS, Answer, Clock, Due, Limits, Quantity, Ref, Run, Share, Value

MORNING = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


def typed(value: int, decimals: int) -> str:
    """A whole number of last digits as a gauge shows it: ``typed(-14, 1)`` is ``-1.4``."""
    digits = str(abs(value)).rjust(decimals + 1, "0")
    body = f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits
    return f"-{body}" if value < 0 else body


# Making a strategy takes longer than drawing from it.
@lru_cache(maxsize=4096)
def _one_of(options: tuple[Any, ...]) -> st.SearchStrategy[Any]:
    return st.sampled_from(options)


@lru_cache(maxsize=4096)
def _some_of(refs: tuple[Ref, ...], most: int) -> st.SearchStrategy[list[Ref]]:
    return st.lists(_one_of(refs), max_size=min(most, len(refs)), unique=True)


class _Bench:
    """One ticket while it is being drawn."""

    def __init__(self, draw: Any) -> None:
        self.draw = draw
        self.entries: list[Entry] = []
        self.concern = ""
        self.no = 0

    def one(self, options: Iterable[Any]) -> Any:
        return self.draw(_one_of(tuple(options)))

    def chance(self, of: int) -> bool:
        return bool(self.draw(st.integers(1, of)) == of)

    def upto(self, most: int, least: int = 0) -> range:
        return range(self.draw(st.integers(least, most)))

    def money(self) -> str:
        return typed(self.draw(st.integers(0, 90_000)), self.one((2, 2, 2, 0)))

    def add(self, fact: Fact, **marks: Any) -> Ref:
        """One entry more, numbers rising by one and sometimes by two, as after an undone line."""
        self.no += 1 + self.chance(12)
        at = MORNING + timedelta(minutes=7 * self.no)
        marks.setdefault("shop_only", fact.kind == "note")
        self.entries.append(Entry(self.no, fact, self.one(w.PEOPLE), at, self.concern, **marks))
        return Ref(self.no)

    def living(self, *kinds: type[Fact]) -> list[Ref]:
        """Entries of these kinds that a later one may rest on."""
        mine = [
            e for e in self.entries if isinstance(e.fact, kinds) and (e.concern == self.concern or not self.concern)
        ]
        return [Ref(entry.no) for entry in mine if not entry.struck]

    def some(self, refs: list[Ref], most: int = 3) -> tuple[Ref, ...]:
        """Up to ``most`` different ones, in any order."""
        if not refs:
            return ()
        return tuple(self.draw(_some_of(tuple(refs), most)))


def _number(bench: _Bench, gauge: w.Gauge) -> str:
    if bench.chance(25):
        return str(bench.one(("OL", "none", f">{typed(gauge.most, gauge.decimals)}")))
    return typed(bench.draw(st.integers(gauge.least, gauge.most)), gauge.decimals)


def _run(bench: _Bench, gauge: w.Gauge) -> Run:
    if gauge.labels == ("cyl",):
        labels: tuple[str, ...] = ("",) * bench.one((3, 4, 6)) if bench.chance(2) else (f"cyl {bench.one((1, 2, 3))}",)
    elif gauge.labels and not bench.chance(4):
        labels = gauge.labels[: bench.draw(st.integers(1, len(gauge.labels)))]
    else:
        labels = ("",)
    limits = Limits(**dict(gauge.limits)) if gauge.limits and not bench.chance(6) else None
    if limits and limits.spread and len(labels) < 2:
        limits = dataclasses.replace(limits, spread="", spread_unit="")
    return Run(tuple(Value(_number(bench, gauge), label) for label in labels), gauge.unit, limits)


def _found(bench: _Bench) -> Found:
    if bench.chance(3):
        return Found(what=f"{bench.one(w.THINGS)} {bench.one(w.STATES)}")
    gauge = bench.one(w.GAUGES)
    seen = bench.one(w.STATES) if bench.chance(4) else ""
    return Found(what=gauge.what, run=_run(bench, gauge), seen=seen)


def _proof(bench: _Bench) -> Proof:
    by_no = {entry.no: entry.fact for entry in bench.entries}
    runs = [ref for ref in bench.living(Found) if getattr(by_no[ref.no], "run", None)]
    if runs and not bench.chance(3):
        ref = bench.one(runs)
        first = by_no[ref.no]
        assert isinstance(first, Found)
        assert first.run is not None
        gauge = next(g for g in w.GAUGES if g.what == first.what)
        values = tuple(Value(_number(bench, gauge), value.label) for value in first.run.values)
        return Proof(of=ref, run=Run(values, first.run.unit))
    miles = bench.draw(st.integers(2, 40))
    return Proof(
        what=f"road test {miles} {bench.one(('mi', 'km'))}, {bench.one(w.OUTCOMES)}",
        result=bench.one(("", "", "passed", "failed")),
    )


def _looking(bench: _Bench) -> None:
    """Complaint, codes, suspicions, findings, what was ruled out, the cause."""
    bench.add(Says(text=bench.one(w.COMPLAINTS), reproduced=bench.one(("", "", "reproduced", "not reproduced"))))
    for _ in bench.upto(2):
        code, sub, unit = bench.one(w.CODES)
        times = "14 times" if bench.chance(5) else ""
        status, moment = bench.one(("", *STATUSES)), bench.one(("", "", *MOMENTS))
        bench.add(Code(code=code, sub=sub, unit=unit, status=status, times=times, moment=moment))
    if bench.chance(5):
        bench.add(Code(code="none", unit=bench.one(("", "any of the 9 control units"))))
    for _ in bench.upto(2):
        bench.add(Maybe(text=f"{bench.one(w.FAULTS)} {bench.one(w.THINGS)}"))
    for _ in bench.upto(4, 1):
        bench.add(_found(bench), shop_only=bench.chance(12), struck=bench.chance(12))
    findings = bench.living(Found)
    for _ in bench.upto(2):
        reason = bench.one(("", *w.REASONS))
        bench.add(Ruled(text=f"{bench.one(w.FAULTS)} {bench.one(w.THINGS)}", reason=reason, refs=bench.some(findings)))
    if bench.chance(2):
        text = f"{bench.one(('', '', 'prob '))}{bench.one(w.FAULTS)} {bench.one(w.THINGS)}"
        bench.add(Cause(text=text, sure=bench.one(("", "", "likely", "certain")), refs=bench.some(findings)))


def _part(bench: _Bench) -> Used:
    pays = bench.one(("", "", "", *PAYERS))
    if bench.chance(3):
        unit, part, text = bench.one(w.FLUIDS)
        amount = typed(bench.draw(st.integers(1, 90)), 1)
        return Used(amount=amount, unit=unit, part=part, text=text, price=bench.money(), pays=pays)
    condition = bench.one(("new", "new", "rebuilt", "used", "customer's own", ""))
    amount = str(bench.one((1, 1, 2, 10)))
    unit = bench.one(("x", "x", "set"))
    text, core = bench.one(w.THINGS), bench.money() if bench.chance(5) else ""
    back = amount if core and bench.chance(2) else ""
    return Used(
        amount=amount, unit=unit, part=bench.one(w.PARTS), text=text, condition=condition, price=bench.money(),
        core=core, back=back, pays=pays,
    )  # fmt: skip


def _working(bench: _Bench) -> None:
    """Offers and their answers, labour, parts, tests, what waits."""
    for _ in bench.upto(2):
        bench.add(
            Offer(
                text=f"replace {bench.one(w.THINGS)}", refs=bench.some(bench.living(Found)),
                judgement=bench.one(("", *JUDGEMENTS)), estimate=bench.money(),
            )
        )  # fmt: skip
    offers = bench.living(Offer)
    for _ in bench.upto(2):
        hours = typed(bench.draw(st.integers(1, 40)), 1) if not bench.chance(5) else ""
        text = f"{bench.one(w.VERBS)} {bench.one(w.THINGS)}" if not bench.chance(6) else "diagnosis"
        clock = (Clock("8:40", "10:05"),) if bench.chance(6) else ()
        by, pays = bench.one(("", "", *w.PEOPLE)), bench.one(("", "", "", *PAYERS))
        less, shared = ("0.3", bench.one(("", "wheels are off anyway"))) if bench.chance(5) else ("", "")
        split = (Share("warranty", "60"), Share("customer", "40")) if bench.chance(8) else ()
        bench.add(
            Did(
                hours=hours, text=text, refs=bench.some(offers, 1), clock=clock, by=by, pays="" if split else pays,
                less=less, shared=shared, split=split,
            )
        )  # fmt: skip
    for _ in bench.upto(3):
        bench.add(_part(bench), shop_only=bench.chance(20), struck=bench.chance(15))
    for _ in bench.upto(2):
        bench.add(_proof(bench))
    for _ in bench.upto(2):
        due = bench.one(
            (
                None,
                Due(distance=Quantity("1500", "km"), time=Quantity("2", "months")),
                Due(time=Quantity("4", "weeks")),
                Due(hours=Quantity("250", "h")),
            )
        )
        bench.add(
            Later(
                text=f"replace {bench.one(w.THINGS)}", judgement=bench.one(("", *JUDGEMENTS)),
                because=bench.one(("", *w.BECAUSE)), risk=bench.one(("", *w.RISKS)), watch=bench.one(w.WATCHES),
                due=due, date=bench.one(("", "", "2026-06-30")), estimate=bench.one(("", "640", "228.40", "0")),
                refs=bench.some(bench.living(Found), 1),
            )
        )  # fmt: skip


def _asking(bench: _Bench, customer: str) -> None:
    """One contact that answers some of what was offered or deferred, and a remark."""
    open_items = bench.living(Offer, Later)
    yes = bench.some(open_items)
    no = bench.some([ref for ref in open_items if ref not in yes], 1)
    answers = tuple(Answer(word, refs) for word, refs in (("yes", yes), ("no", no)) if refs)
    if not answers and bench.chance(2):
        answers = (Answer(bench.one(("yes", "no", "asked", "left message"))),)
    way, address = bench.one((("phone", "555-0134"), ("in person", ""), ("email", ""), ("", "")))
    bench.add(
        Told(
            who=customer or "the owner", way=way, address=address,
            words="wants to wait until next month" if bench.chance(6) else "",
            answers=answers, total=bench.one(("", "138.00", "412.00", "90")), at=bench.one(("", "14:10")),
            deposit=bench.one(("", "", "", "50.00")),
        )
    )  # fmt: skip
    if bench.chance(3):
        bench.add(Note(text=f"{bench.one(w.PARTS)} is a two-day order, K. knows the supplier"))


def _spoil(bench: _Bench) -> None:
    """One text of one entry becomes hostile."""
    place = bench.draw(st.integers(0, len(bench.entries) - 1))
    entry = bench.entries[place]
    names = [spec.name for spec in specs(type(entry.fact)) if spec.shape == "text"]
    if names:
        evil = bench.draw(st.sampled_from(w.HOSTILE) | st.text(min_size=1, max_size=60).filter(_storable))
        fact = dataclasses.replace(entry.fact, **{bench.one(names): evil})
        bench.entries[place] = dataclasses.replace(entry, fact=fact)


def _storable(text: str) -> bool:
    return bool(text.strip()) and not any("\ud800" <= c <= "\udfff" or c in "\0\r" for c in text)


def _amend(bench: _Bench) -> None:
    """An amendment after signing: a new entry that stands in for an old one."""
    old = bench.one([entry for entry in bench.entries if not entry.struck] or bench.entries)
    bench.concern = old.concern
    bench.add(old.fact, shop_only=old.shop_only, replaces=old.no, reason="typed on the wrong line", amended=True)


@st.composite
def tickets(draw: Any, *, number: int = 17, hostile: bool = True, concerns: int = 3) -> Ticket:
    """Random whole tickets with 5 to 50 entries.

    Args:
        draw: given by hypothesis.
        number: number of the ticket.
        hostile: now and then one or two texts hold markup, control characters, figures and words of every rule.
        concerns: at most so many complaints.
    """
    bench = _Bench(draw)
    customer = bench.one((*w.CUSTOMERS, ""))
    letters = CONCERN_LETTERS[: draw(st.integers(1, concerns))]
    for letter in letters:
        bench.concern = letter
        _looking(bench)
        _working(bench)
    bench.concern = bench.one(("", letters[0], "+".join(letters)))
    if not bench.chance(6):
        _asking(bench, customer)
    if hostile and bench.chance(4):
        _spoil(bench)
    signed = bench.chance(5)
    if signed and bench.chance(2):
        _amend(bench)
    miles = draw(st.integers(10, 240_000))
    unit = bench.one(("mi", "km"))
    header = Header(
        vehicle=bench.one((Vehicle(), *(Vehicle(label, plate="GRN 04") for label in w.VEHICLES))),
        customer=Customer(customer, phone="555-0134") if customer else Customer(),
        odometer_in=bench.one((None, Quantity(f"{miles:,}", unit))),
        odometer_out=bench.one((None, None, Quantity(f"{miles + 9:,}", unit))),
        discount=bench.one((Discount(), Discount(), Discount(percent="10", of=("labour",), reason="regular customer"))),
        warranty=bench.one((Cover(), Cover(), Cover("Oakline Cover", "50.00", "7731"))),
    )
    closed = MORNING + timedelta(hours=9) if signed else None
    return Ticket(
        number=number, opened=MORNING, status="signed" if signed else "open", header=header,
        entries=tuple(bench.entries), closed=closed, signed_by=w.PEOPLE[0] if signed else "",
        seal="41-0123456789abcdef" if signed else "", rev=len(bench.entries) + 1,
    )  # fmt: skip


def ticket_of(
    lines: str | Iterable[str], *, number: int = 17, opened: datetime = MORNING, status: str = "open",
    people: tuple[str, ...] = (), rates: tuple[str, ...] = (), numbers: Sequence[int] = (), **header: Any,
) -> Ticket:  # fmt: skip
    """A ticket from lines of the notation, numbered from 1 or as given (one number for each fact).

    A complaint without a letter opens the next concern, other lines without one join the last; ``header`` takes
    the fields of :class:`Header`, a vehicle and a customer also as plain text, an odometer as ``"48,210 mi"``.
    """
    from ticket.notes.read import read

    text = lines if isinstance(lines, str) else "\n".join(lines)
    drafts = [draft for line in text.split("\n") for draft in read(line, people=people, rates=rates)]
    entries: list[Entry] = []
    concern = ""
    for no, draft in zip(numbers or range(1, len(drafts) + 1), drafts, strict=True):
        if draft.concern:
            concern = draft.concern
        elif isinstance(draft.fact, Says):
            opened_letters = {letter for entry in entries for letter in entry.concerns}
            concern = next(letter for letter in CONCERN_LETTERS if letter not in opened_letters)
        at = opened + timedelta(minutes=no)
        entries.append(Entry(no, draft.fact, people[0] if people else "Bo Karst", at, concern, draft.shop_only))
    for name, make in (("vehicle", Vehicle), ("customer", Customer)):
        if isinstance(header.get(name), str):
            header[name] = make(header[name])
    for name in ("odometer_in", "odometer_out"):
        if isinstance(header.get(name), str):
            header[name] = Quantity(*header[name].split())
    return Ticket(number=number, opened=opened, status=status, header=Header(**header), entries=tuple(entries))
