"""What a whole shop's jobs turned out to be: every finished job counts, however many there are."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from support.tickets import ticket_of
from ticket.job.ticket import Cover, Header, Ticket, Vehicle
from ticket.past.turned_out import in_words
from ticket.shop.changing import amend_ticket
from ticket.shop.opening import Shop
from ticket.shop.past import before

MORNING = datetime(2025, 3, 3, 8, tzinfo=UTC)
CAUSES = ("worn belt", "corroded ground cable", "loose plug")
MANY = 207  # more than were once read


def job(i: int, *lines: str, status: str = "signed") -> Ticket:
    opened = MORNING + timedelta(days=i)
    said = ("says: dim lamps", "code: P0562-16", *lines)
    made = ticket_of(list(said), number=i + 1, opened=opened, vehicle=Vehicle("2019 Corvane Alder", "", f"KDE {i}"))
    return replace(made, status=status, closed=opened if status == "signed" else None, signed_by="K. Orlo")


def shop_of_many(shop: Shop) -> None:
    jobs = [job(i, f"cause: {CAUSES[i % 3]}", "did: 0.4 h renew it") for i in range(MANY)]
    jobs += [job(MANY + i, "cause: worn belt", "offer: replace belt; est 80", "told: Ada Fenn, no 4") for i in range(4)]
    jobs += [job(MANY + 4 + i, "cause: worn belt", status="open") for i in range(3)]
    shop.store.load(jobs, "K. Orlo", "many")


def test_the_count_over_a_shop_is_the_true_count_of_its_finished_jobs(shop: Shop) -> None:
    shop_of_many(shop)
    found = before(shop, "P0562", "16")
    assert len(found.jobs) == MANY
    by_hand = Counter(CAUSES[i % 3] for i in range(MANY))
    assert {outcome.text: len(outcome.jobs) for outcome in found.causes} == by_hand
    assert (len(found.declined), len(found.still_open)) == (4, 3)
    assert in_words(found).startswith("P0562-16 before: 207 finished jobs; ")
    assert in_words(found).endswith("apart: 4 declined, 3 not finished")
    assert len(before(shop, "P0562", "16", but=(1, 2)).jobs) == MANY - 2


def test_a_no_counts_for_its_payer_and_its_wording_alone(shop: Shop) -> None:
    """The same as whole tickets tell: who spoke, and to which wording, is read too."""
    offer = "offer: replace belt; est 80"
    refused = job(0, "cause: worn belt", offer, "told: Ada Fenn, no 4")
    insurer = job(1, "cause: worn belt", offer, "told: Oakline Cover, no 4")
    insurer = replace(insurer, header=replace(insurer.header, warranty=Cover("Oakline Cover")))
    shop.store.load([refused, insurer, replace(refused, number=3), replace(refused, number=4)], "K. Orlo", "four")
    amend_ticket(shop, 3, "offer: replace belt; est 60", "another price", replaces=4)
    amend_ticket(shop, 4, "offer: Replace belt; est 80", "a capital letter", replaces=4)
    found = before(shop, "P0562", "16")
    assert found.declined == (4, 1)


def test_a_cause_that_was_corrected_counts_as_corrected(shop: Shop) -> None:
    shop.store.load([replace(job(0, "cause: worn belt"), header=Header())], "K. Orlo", "one")
    amend_ticket(shop, 1, "cause: loose plug", "read again", replaces=3)
    amend_ticket(shop, 1, "note: no cause after all", "read once more", replaces=4)
    found = before(shop, "P0562", "16")
    assert (found.causes, found.unknown) == ((), (1,))
