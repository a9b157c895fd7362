"""An answer in words is shown with the entry it probably means, and agrees to nothing before its number is typed."""

from datetime import UTC, datetime

from ticket.assist.line_settling import settle
from ticket.job.entry import Entry
from ticket.job.kinds import Offer, Told
from ticket.job.ticket import Header, Ticket
from ticket.notes.read import read

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
OFFERS = (Offer(text="replace front brake pads"), Offer(text="replace wiper blades"), Offer(text="rotate tires"))


def settled(line: str) -> tuple[Told, list[tuple[str, ...]]]:
    entries = tuple(Entry(no, fact, "Kay", AT) for no, fact in enumerate(OFFERS, 1))
    ticket = Ticket(number=1, opened=AT, status="open", header=Header(), entries=entries)
    (item,) = settle(read(line), ticket, "", lambda part: None, lambda entry: False)
    assert isinstance(item.draft.fact, Told)
    return item.draft.fact, [remark.answers for remark in item.draft.remarks]


def test_the_offer_that_was_meant_is_named_and_not_taken() -> None:
    fact, answers = settled("told: Bo by phone, ok brake pads, no to wiper blades")
    assert fact.answers == ()
    assert answers == [("yes 1",), ("no 2",)]


def test_an_answer_to_something_nobody_offered_names_no_entry() -> None:
    fact, answers = settled("told: Bo by phone, ok alignment")
    assert fact.answers == ()
    assert answers == [()]


def test_a_side_alone_names_the_offer_of_that_side() -> None:
    entries = (Offer(text="replace front mast pads"), Offer(text="replace rear wheel hoses"))
    ticket = Ticket(
        number=1, opened=AT, status="open", header=Header(),
        entries=tuple(Entry(no, fact, "Kay", AT) for no, fact in enumerate(entries, 1)),
    )  # fmt: skip
    (item,) = settle(read("told mara yes to front no to rears"), ticket, "", lambda part: None, lambda entry: False)
    assert [remark.answers for remark in item.draft.remarks] == [("yes 1",), ("no 2",)]
