"""A call with the customer as rows: what to read aloud, the money, who may say yes, who was reached before. Pure."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from ticket.assist.phone_call import YES, Call, Item, added_tax
from ticket.followups.waiting_threads import waiting_words
from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.job.text import fold
from ticket.money.agreement import Agreement, Contact
from ticket.money.amount import grouped
from ticket.rules.consent_rules import Fault
from ticket.rules.pack_rows import STATUSES


def call_rows(call: Call, answers: Mapping[int, str], would: Agreement | None, width: int) -> list[Row]:
    """The page of a call at a width in cells.

    Args:
        call: what is on the table.
        answers: what was answered on this call so far, by the item's number.
        would: what would be agreed with these answers; ``None`` while there are none.
        width: in cells.
    """
    rows = [row(cut("To read aloud", width), "strong")]
    for item in call.items:
        rows += _item(call, item, answers.get(item.no, ""), width)
    if not call.items:
        rows += wrap([Span("Nothing is open: no offer waits for an answer, nothing was put off.", "quiet")], width)
    for text in waiting_words(call.case):
        rows += wrap([Span("Waits from earlier: ", "strong"), Span(text)], width, first="     ", rest="     ")
    rows += [Row(), row(cut("The money", width), "strong")]
    for spans in _money(call, answers, would):
        rows += wrap(spans, width, rest="  ")
    rows += [Row(), row(cut("Who may say yes", width), "strong")]
    for spans in _who(call):
        rows += wrap(spans, width, rest="  ")
    rows += [Row(), row(cut("Earlier contacts", width), "strong")]
    for contact in call.contacts:
        rows += wrap([Span(contact_words(contact, call))], width, first=f"{contact.no:>4} ", rest="     ")
    return rows if call.contacts else [*rows, *wrap([Span("None yet.", "quiet")], width)]


def _item(call: Call, item: Item, answer: str, width: int) -> list[Row]:
    mark = [Span(f" {answer} ", "value"), Span(" ")] if answer else []
    rows = wrap([*mark, Span(" ".join(item.lines))], width, first=f"{item.no:>4} ", rest="     ", key=item.no)
    facts = [f"price {money(call, item.price)} {call.basis}" if item.price is not None else "no price named"]
    facts += [f"tax {money(call, item.tax)}"] if item.tax else []
    facts += [item.judgement] if item.judgement else []
    facts += [f"last answer: {item.answer}"] if item.answer else []
    return rows + wrap([Span("; ".join(facts), "quiet")], width, first="     ", rest="     ", key=item.no)


def _money(call: Call, answers: Mapping[int, str], would: Agreement | None) -> Iterator[list[Span]]:
    kind = "a limit the customer set" if call.ceiling else "agreed"
    agreed = f"{money(call, call.approved)} is {kind}" if call.approved is not None else "No sum is agreed"
    yield [Span(f"{agreed}; so far the bill is {money(call, call.billed)}, {call.basis}.")]
    if YES in answers.values():
        yield [Span("If yes: ", "strong"), Span(if_yes(call, answers, would))]
    if call.limit is not None and call.room is not None:
        left = call.room >= 0
        said = f"{money(call, abs(call.room))} {'may still be added before' if left else 'is above the sum at which'}"
        words = "the customer must be asked." if left else "the customer had to be asked."
        yield [Span(said, "strong" if left else "bad"), Span(f" {words}")]
        yield [Span(f"Rule: {call.limit.source}. {call.notice}", "quiet")]
    else:
        yield [Span("The customer must be asked before anything is added.", "strong"), Span(f" {call.notice}", "quiet")]
    if not call.account.priced:
        yield [Span("The shop has no price list, so labour is not in these sums.", "quiet")]


def if_yes(call: Call, answers: Mapping[int, str], would: Agreement | None) -> str:
    """The new total with its tax apart, in one sentence."""
    bare = [item.no for item in call.items if answers.get(item.no) == YES and item.price is None]
    if bare:
        return f"the new total must be named: entry {', '.join(map(str, bare))} has no price."
    if would is None or would.approved is None:
        return "no sum would be agreed yet."
    told = f"{money(call, would.approved)} {call.basis}"
    tax = added_tax(call.items, answers)
    if tax is None:
        return f"{told}; the offer does not tell its tax apart."
    if call.basis == "before tax":
        return f"{told}; {money(call, tax)} tax comes on top for what is added."
    return f"{told}, of which {money(call, tax)} is tax on what is added."


def _who(call: Call) -> Iterator[list[Span]]:
    customer = call.ticket.header.customer
    reach = "; ".join(part for part in (customer.phone, customer.email) if part)
    yield [Span("Call: ", "strong"), Span(reach or "no number stands on the ticket.")]
    yield [Span("Yes from: ", "strong"), Span("; ".join(call.names) or "no customer stands on the ticket.")]
    if call.second is not None:
        yield [Span(f"Somebody else only where the customer named them in writing: {call.second.words}.", "quiet")]
    if call.asked and call.asked_by:
        yield [Span(f"To be recorded with a yes: {', '.join(call.asked)}. {call.asked_by.words}.", "quiet")]


def contact_words(contact: Contact, call: Call) -> str:
    """One earlier contact in one line."""
    when = _moment(contact.at)
    how = " ".join(part for part in (contact.way, contact.address) if part)
    answers = []
    for answer in dict.fromkeys(contact.answers):
        named = {"yes": contact.yes_to, "no": contact.no_to}.get(answer, ())
        answers.append(f"{answer} {' '.join(map(str, named))}".strip())
    parts = [when, contact.who, how, ", ".join(answers)]
    parts += [f"total {money(call, contact.total)}"] if contact.total is not None else []
    parts += [f"up to {money(call, contact.ceiling)}"] if contact.ceiling is not None else []
    return "; ".join(part for part in (*parts, f"taken by {contact.taken_by}") if part)


def lacks_words(faults: Sequence[Fault]) -> str:
    """What the local rules want and is not there, with where that stands; empty where nothing is missing."""
    if not faults:
        return ""
    told = faults[0].source
    missing = ", ".join(fault.missing for fault in faults)
    return f"The local rules want: {missing}. {told.citation} ({STATUSES[told.status]}, as of {told.as_of})."


def stranger_words(call: Call, who: str) -> str:
    """What the local rules say where somebody says yes who has not done so before; empty for those who have."""
    if call.second is None or not call.names or fold(who) in {fold(name) for name in call.names}:
        return ""
    return f"Somebody else says yes only where the customer named them in writing: {call.second.words}."


def money(call: Call, cents: int | None) -> str:
    """A sum with the shop's sign."""
    return f"{call.case.settings.currency}{grouped(cents or 0)}"


def _moment(at: datetime) -> str:
    return f"{at.astimezone():%Y-%m-%d %H:%M}"
