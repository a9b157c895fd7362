"""Reading a shop's tickets: a ticket, all around it, its story, its open questions, what a line would become."""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.assist.line_settling import Settled, as_first, settle
from ticket.job.case import Case
from ticket.job.entry import Draft
from ticket.job.errors import DamagedError
from ticket.job.kinds import Used
from ticket.job.ticket import Ticket
from ticket.notes.bounds import check_size
from ticket.notes.read import read
from ticket.store.asked import Query
from ticket.store.store import Audit

if TYPE_CHECKING:
    from ticket.assist.phone_call import Call
    from ticket.faults.table import CodeTable
    from ticket.gaps.gap import Gap
    from ticket.rules.account import Account
    from ticket.store.kept_heads import Verdict
    from ticket.store.rescuing import Rescued
    from ticket.store.signed_heads import Head
    from ticket.story.sentence import Story
from ticket.shop.kept_settings import LIMITS
from ticket.shop.masking import Mask, masked
from ticket.shop.opening import Shop, document
from ticket.shop.readable import readable, seen

_DOLLARS = frozenset({"USD", "CAD", "AUD", "NZD"})
"""Currencies of a price list whose sign is the one that stands in the settings unless the shop chose another."""
_EARLIER = 20  # earlier visits that a story or a gap may look at


def ticket_of(shop: Shop, number: int) -> Ticket:
    """A ticket. Raises :class:`NotFoundError`."""
    return seen(shop, number)


def without_names(ticket: Ticket) -> Ticket:
    """A ticket as an auditor sees it, for showing only."""
    return masked(ticket)


def case_of(shop: Shop, number: int) -> Case:
    """A ticket with what surrounds it: settings, staff, the day, earlier visits of the vehicle."""
    damaged: list[DamagedError] = []
    found = shop.store.tickets([number, *shop.store.of_vehicle(number)[:_EARLIER]], damaged)
    for error in damaged:
        if error.number == number:
            raise error
        shop.damaged[error.number] = str(error)
    ticket, *others = map(masked, found) if shop.hidden else found
    return case_around(shop, ticket, others)


def earlier_visits(shop: Shop, number: int, damaged: list[DamagedError]) -> tuple[Ticket, ...]:
    """Other tickets of the same vehicle, newest first, as far back as a story or a gap looks."""
    return shop.store.tickets(shop.store.of_vehicle(number)[:_EARLIER], damaged)


def case_around(shop: Shop, ticket: Ticket, others: Sequence[Ticket]) -> Case:
    """The case of a ticket that is at hand, with other visits of the vehicle."""
    from ticket.shop.signed_under import book_for, list_for

    earlier = tuple(other for other in others if other.opened <= ticket.opened and other.number != ticket.number)
    prices = list_for(shop, ticket)
    before_tax = prices.quotes == "before tax"
    bare_sums = "currency" not in shop.kept.chosen and prices.currency not in _DOLLARS
    return Case(
        ticket, shop.settings, shop.today, earlier, shop.people, shop.kept.codes, shop.kept.terms,
        before_tax=before_tax, bare_sums=bare_sums, book=book_for(shop, ticket),
        follows=tuple(shop.store.followed(ticket.number, *(visit.number for visit in earlier)).items()),
    )  # fmt: skip


def story_of(shop: Shop, number: int, reader: str = "customer", language: str = "") -> "Story":
    """The story of a ticket for one reader; without a language, in the shop's."""
    from ticket.story.build import build

    return build(case_of(shop, number), reader, language or shop.settings.language)


def open_gaps(shop: Shop, number: int) -> "tuple[Gap, ...]":
    """What a careful foreman would ask before signing."""
    return gaps_of(shop, case_of(shop, number))


def gaps_of(shop: Shop, case: Case, account: "Account | None" = None) -> "tuple[Gap, ...]":
    """The same of a case that is at hand; its account is worked out where it is not."""
    from ticket.gaps.find import find_gaps
    from ticket.shop.journal_context import with_ahead, with_clocks
    from ticket.shop.met_phrases import with_met
    from ticket.shop.money import account_of

    if shop.hidden:  # asked of the ticket as it is: a mask would be a name, a number or an answer of its own
        bare, number = replace(shop, hidden=False), case.ticket.number
        mask = Mask(shop.store.ticket(number))
        asked = gaps_of(bare, case_of(bare, number))
        return tuple(replace(gap, question=mask.text(gap.question)) for gap in asked)
    around = with_met(shop.store, with_ahead(shop.store, with_clocks(shop.store, case)))
    return find_gaps(around, account or account_of(shop, case.ticket))


def call_about(shop: Shop, number: int) -> "Call":
    """What is on the table for a call about a ticket. Raises :class:`~ticket.job.errors.NotFoundError`."""
    from ticket.assist.phone_call import call_of
    from ticket.shop.money import account_of, pack, prices

    case = case_of(shop, number)
    return call_of(case, account_of(shop, case.ticket), prices(shop, case.ticket), pack(shop))


def unanswered(shop: Shop, number: int) -> "tuple[Gap, ...]":
    """The blocking gaps of a ticket whose work has ended: what signing has to answer.

    Some questions make no sense while the work goes on, such as when a running clock ended. Whoever signs says that
    it has ended, so they are asked now: once the ticket is signed, nobody could answer them any more.
    """
    from ticket.gaps.find import blocking

    case = case_of(shop, number)
    if case.ticket.status != "signed":
        case = replace(case, ticket=replace(case.ticket, status="ready"))
    return blocking(gaps_of(shop, case))


def audit_shop(path: Path, *, deep: bool = False) -> Audit:
    """Prove a shop's file without opening it for writing. Raises :class:`~ticket.job.errors.StoreError`."""
    from ticket.shop.indexer import index_rows
    from ticket.shop.job_row import job_row
    from ticket.shop.vehicle_rows import vehicle_rows
    from ticket.store.audit import audit_file

    return audit_file(path, index_rows, vehicle_rows, job_row, deep=deep)


def kept_verdicts(path: Path, kept: Sequence[str]) -> "list[Verdict]":
    """What a shop's file says to what was kept elsewhere. Raises :class:`~ticket.job.errors.TicketError`."""
    if not kept:
        return []
    from ticket.shop.against import verdicts

    return verdicts(path, kept, audit_shop)


def witnesses_of(path: Path) -> tuple[list[str], list[str]]:
    """The witnesses a shop's file names that can be read now, and a sentence for each that cannot."""
    from ticket.shop.witness import reachable
    from ticket.store.kept_heads import named_witnesses

    return reachable(named_witnesses(path))


def rescue_shop(damaged: Path, new: Path, person: str) -> "Rescued":
    """A new shop from what can be read of a damaged one. Raises :class:`~ticket.job.errors.TicketError`."""
    from ticket.machine import environment
    from ticket.shop.indexer import index_rows
    from ticket.shop.job_row import job_row
    from ticket.shop.vehicle_rows import vehicle_rows
    from ticket.store.rescuing import rescue

    by = environment.person_name(person)
    return rescue(
        damaged, new, by, indexer=index_rows, of_vehicle=vehicle_rows, of_job=job_row, now=environment.now
    )  # fmt: skip


def signed_head(shop: Shop) -> "Head | None":
    """The newest row of the journal, signed where the key of this login is one of the shop's."""
    from ticket.machine.signing_key import signer

    head = shop.store.proofs.head()
    own = signer(shop.store.proofs.uid(), make=False, ended=shop.store.proofs.ended_keys())
    if head is None or own is None or own.id not in shop.store.proofs.public_keys():
        return head
    return replace(head, key=own.id, sig=b64encode(own.sign(head.signed)).decode())


def code_table(shop: Shop) -> "CodeTable":
    """The code table: what ships with the program, and the shop's own rows."""
    from ticket.faults.table import with_own

    return with_own(shop.kept.codes)


def understand(
    shop: Shop, ticket: Ticket, text: str, sticky: str = "", *, live: bool = False, asked: bool = False,
    retyped: int = 0,
) -> tuple[Settled, ...]:  # fmt: skip
    """What typed text would become on a ticket; writes nothing.

    Args:
        shop: the open shop.
        ticket: as it stands.
        text: one or several lines.
        sticky: the concern in the prompt; empty means the last opened.
        live: the text is still being typed: what is only unfinished is no mistake yet.
        asked: a new ticket asked what the customer says: a first line that says no kind answers that.
        retyped: the entry that the text stands in for.

    What the limits book offers comes along only where the text is not being typed any more: it reads the line again
    for every form of limit, which no key need wait for (:func:`with_limits`).
    """
    if not live:
        check_size(text)
    names = tuple(person.name for person in shop.people)
    drafts = read(text, people=names, rates=shop.settings.rates, live=live)
    drafts = as_first(drafts, ticket) if asked else drafts
    settled = settled_on(shop, ticket, drafts, sticky, retyped)
    return settled if live else with_limits(shop, ticket, settled)


def with_limits(shop: Shop, ticket: Ticket, settled: Sequence[Settled]) -> tuple[Settled, ...]:
    """The same with what the limits book has for readings without limits."""
    from ticket.assist.limits_offered import with_limits_offered
    from ticket.assist.limits_shelf import law_of, shelf

    book, vehicle, law = shelf(document(shop, LIMITS)), ticket.header.vehicle.label, law_of(shop.settings.rules)
    return tuple(replace(item, draft=with_limits_offered(item.draft, book, vehicle, law)) for item in settled)


def settled_on(
    shop: Shop, ticket: Ticket, drafts: Sequence[Draft], sticky: str, retyped: int = 0
) -> tuple[Settled, ...]:
    """Drafts with all that only the ticket and the shop's past know."""
    from ticket.gaps.ticket_lookup import bad_values

    return settle(
        drafts, ticket, sticky, lambda part: _part_known(shop, part), lambda entry: bool(bad_values(ticket, entry)),
        retyped=retyped,
    )  # fmt: skip


def _part_known(shop: Shop, part: str) -> str | None:
    if not any(char.isdecimal() for char in part):
        return None
    for ticket in readable(shop, shop.store.find(Query.of(parts=(part,), limit=1)).numbers):
        for entry in ticket.entries:
            if isinstance(entry.fact, Used) and entry.fact.part == part:
                return entry.fact.text
    return None
