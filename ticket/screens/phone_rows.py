"""A call with the customer as rows: what to read aloud with its answer, the sums, what the rules say. Pure."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from ticket.assist.phone_call import BEFORE_TAX, NO, NO_ANSWER, NO_TAX, THINKS, YES, Call, Item, added_tax
from ticket.followups.waiting_threads import waiting_words
from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.signs import PROVED, RULE, UNREAD, WAITS
from ticket.job.text import fold
from ticket.job.width import cells
from ticket.money.agreement import Agreement, Contact
from ticket.money.amount import grouped
from ticket.rules.consent_rules import Fault
from ticket.rules.pack_rows import STATUSES
from ticket.screens.actions import key_for
from ticket.screens.sides import ends, length

_WHAT = 12
"""The cell where what is read begins; before it stand sign and answer."""
_SUM = 12
"""Cells of a sum at the right edge."""
_MAY, _LEAST = "may say yes: ", 6
_WORDS = {NO_ANSWER: "nobody", "left message": "message", "": "open"}
_SIGNS = {YES: Span(PROVED, "fact"), NO: Span(" "), THINKS: Span(WAITS, "quiet")}


def head_rows(call: Call, width: int) -> list[Row]:
    """Whose call it is and who may say yes, then the heads of the columns with their rule."""
    customer = call.ticket.header.customer
    left = [Span(str(call.ticket.number), "strong"), Span("  call  ", "strong")]
    left += [Span("  ".join(part for part in (customer.name or "customer not named", customer.phone) if part))]
    room = width - 4 - length(left) - len(_MAY)  # the number that is called is never cut
    right = [Span(_MAY, "quiet"), Span(cut(", ".join(call.names), room))] if call.names and room > _LEAST else []
    heads = (Span("  answer    read aloud", "strong"),)
    return [
        Row((Span(" "), *ends(left, right, width - 2))),
        Row(),
        Row(ends(heads, (Span(call.basis, "strong"),), width - 1)),
        Row((Span(RULE * width, "rule"),)),
    ]


def call_rows(call: Call, answers: Mapping[int, str], width: int) -> list[Row]:
    """What is on the table, one item below the other, and behind it what the writer may need.

    Args:
        call: what is on the table.
        answers: what was answered on this call so far, by the item's number.
        width: in cells, the pointer's column included.
    """
    rows: list[Row] = []
    for item in call.items:
        rows += [*([Row()] if rows else []), *_item(call, item, answers.get(item.no, ""), width)]
    if not call.items:
        rows += _told([Span("Nothing is open: no offer waits for an answer, nothing was put off.")], width)
    for title, lines in (
        ("Waits from earlier", [[Span(text)] for text in waiting_words(call.case)]),
        ("The rule", list(_rule(call))),
        ("Who may say yes", list(_who(call))),
        ("Earlier contacts", [[Span(f"{one.no} ", "quiet"), Span(contact_words(one, call))] for one in call.contacts]),
    ):
        if lines:
            rows += [Row(), Row((Span(" " * (_WHAT - 1)), Span(title, "strong")))]
            rows += [row for spans in lines for row in _told(spans, width)]
    return rows


def _told(spans: Sequence[Span], width: int) -> list[Row]:
    lead = " " * (_WHAT - 1)
    return wrap(spans, width - 2, first=lead, rest=lead)


def _item(call: Call, item: Item, answer: str, width: int) -> list[Row]:
    """One item: its answer, the words to read, the price; below it, quiet, which entry it is and why."""
    sign = _SIGNS.get(answer, Span(WAITS, "ask" if not answer else "quiet"))
    word = Span(f"{_WORDS.get(answer, answer):<8}", "strong" if answer else "quiet")
    price = Span(grouped(item.price) if item.price is not None else "no price", "value" if item.price else "quiet")
    room = width - _WHAT - _SUM - 1
    lines = wrap([Span(" ".join(item.lines))], room)
    lead: tuple[Span, ...] = (Span(" "), sign, Span(" "), word)
    indent = (Span(" " * (_WHAT - 1)),)
    first = Row(ends((*lead[:1], sign, Span(" "), word, *lines[0].spans), (price,), width - 2), item.no)
    facts = [f"entry {item.no}", item.judgement, f"tax {money(call, item.tax)}" if item.tax else ""]
    facts += [f"last answer: {item.answer}" if item.answer else ""]
    quiet = wrap([Span(", ".join(fact for fact in facts if fact), "quiet")], room)
    return [first, *(Row((*indent, *line.spans), item.no) for line in (*lines[1:], *quiet))]


def sum_rows(call: Call, answers: Mapping[int, str], would: Agreement | None, width: int) -> list[Row]:
    """The rule below the items and three sums: agreed, with these answers, and what may be added unasked."""
    agreed = "agreed now, as a limit" if call.ceiling else "agreed now"
    after = would.approved if would is not None else None
    room = call.room if call.limit is not None else None
    why = (
        f"local rule {call.limit.rules.partition('/')[0]}"
        if call.limit is not None
        else "the customer must be asked first"
    )
    lines = [
        (agreed, "", call.approved),
        ("agreed with these answers", _with_tax(call, answers, after), after),
        ("may be added unasked" if room is None or room >= 0 else "above what may be added", why, room),
    ]
    rows = [Row((Span(RULE * width, "rule"),))]
    for lead, words, cents in lines:
        told = grouped(cents) if cents is not None else "none"
        left = [Span(" " * _WHAT), Span(f"{lead:<26}")]
        left += [Span(words, "quiet")] if length(left) + cells(words) + cells(told) < width - 1 else []
        ink = "bad" if cents is not None and cents < 0 else "value" if cents is not None else "quiet"
        right = (Span(told, ink),)
        rows.append(Row(ends(left, right, width - 1)))
    return rows


def _with_tax(call: Call, answers: Mapping[int, str], sum_told: int | None) -> str:
    """Where sums are told before tax, what is paid in the end, as the estimate tells it; empty where unknown."""
    added = added_tax(call.items, answers)
    if call.basis != BEFORE_TAX or sum_told is None or added is None or call.agreed_tax is None:
        return ""
    named = (call.approved or 0) + sum(item.price or 0 for item in call.items if answers.get(item.no) == YES)
    if sum_told != named:  # a sum of their own hides how much of it is taxed
        return ""
    return f"with tax {grouped(sum_told + call.agreed_tax + added)}"


def written_row(width: int) -> Row:
    """The rule over the line."""
    lead = f"{RULE * 2} will be written "
    return Row((Span(RULE * 2, "rule"), Span(" will be written ", "quiet"), Span(RULE * (width - cells(lead)), "rule")))


def open_words(call: Call, answers: Mapping[int, str]) -> str:
    """Which items have no answer yet, and that they stay open; empty where all have one."""
    left = [str(item.no) for item in call.items if item.no not in answers]
    if not left:
        return ""
    have, stay = ("has", f"{left[0]} stays") if len(left) == 1 else ("have", "they stay")
    return f"{' and '.join(left)} {have} no answer yet. Enter writes the call all the same; {stay} open."


def asked_row(text: str) -> tuple[Span, ...]:
    """A sentence that waits for the writer."""
    return Span(f"{UNREAD} ", "ask"), Span(text)


def _rule(call: Call) -> Iterator[list[Span]]:
    if call.limit is not None and call.room is not None:
        yield [Span(f"{call.limit.source}. {call.notice}", "quiet")]
    else:
        yield [Span(call.notice, "quiet")]
    if not call.account.priced:
        where = f"{key_for('settings')}, add a labour rate"
        yield [Span(f"The shop has no price list, so labour is not in these sums ({where}).", "quiet")]


def if_yes(call: Call, answers: Mapping[int, str], would: Agreement | None) -> str:
    """The new total with its tax apart, in one sentence."""
    bare = [item.no for item in call.items if answers.get(item.no) == YES and item.price is None]
    if bare:
        return f"the new total must be named: entry {', '.join(map(str, bare))} has no price."
    if would is None or would.approved is None:
        return "no sum would be agreed yet."
    if call.basis == NO_TAX:
        return f"{money(call, would.approved)}; our price list names no tax."
    told = f"{money(call, would.approved)} {call.basis}"
    tax = added_tax(call.items, answers)
    if tax is None:
        return f"{told}; the offer does not tell its tax apart."
    if call.basis == BEFORE_TAX:
        return f"{told}; {money(call, tax)} tax comes on top for what is added."
    return f"{told}, of which {money(call, tax)} is tax on what is added."


def _who(call: Call) -> Iterator[list[Span]]:
    customer = call.ticket.header.customer
    if customer.email:
        yield [Span(f"Reached by {customer.email} too.", "quiet")]
    if not call.names:
        yield [Span("No customer stands on the ticket.", "quiet")]
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
    how = f"{key_for('line')} goes into the line to add it{', as ; total SUM' if 'total' in missing else ''}."
    return f"The local rules want: {missing}. {how} {told.citation} ({STATUSES[told.status]}, as of {told.as_of})."


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
