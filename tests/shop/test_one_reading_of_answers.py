"""Estimate, bill, gaps, proposals and the story in every language agree about who said what to which offer.

What is right is worked out here from the events themselves, by the rules a shop would state (common practice, no
source, but for the consent of the customer to each piece of work: Cal. Bus. & Prof. Code 9884.9(a)).
"""

import dataclasses
import re
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.faithful import check_story
from support.tickets import ticket_of
from ticket.assist.line_settling import settle
from ticket.assist.typing_context import gather
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.job.entry import Draft, Entry
from ticket.job.kinds import Did, Fact, Later, Offer, Says, Told
from ticket.job.ticket import Cover, Customer, Header, Ticket, Vehicle
from ticket.job.values import Answer, Ref
from ticket.money.prices import PriceList
from ticket.money.terms_of import terms_of
from ticket.rules.account import Account, account
from ticket.rules.estimate import estimate
from ticket.rules.pack import load
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.sentence import Sentence

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
HEADER = Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134"), contract=Cover("Harrow Cover"))
WORKS = ("replace oil pump", "replace drive belt", "replace thermostat", "replace wheel bearing", "replace fuel cap")
WAITS = ("replace brake hoses", "replace cabin filter")
PEOPLE = {"customer": "Ada Fenn", "contract": "Harrow Cover, claims"}
WORDS = ("yes", "no", "thinks", "left message", "no answer", "asked")
DECIDED = ("yes", "no", "thinks")
SAYS = {
    "en": {"": "not heard from you", "no": "[Yy]ou said no", "thinks": "[Yy]ou want to think", "yes": "You said yes"},
    "es": {
        "": "no (?:tenemos|sabemos) su respuesta", "no": "[Uu]sted dijo que no", "thinks": "[Uu]sted quiere pensarlo",
        "yes": "Usted (?:aprobó|dijo que sí)",
    },
}  # fmt: skip
"""How each language tells a decision of the customer, or that there is none."""


@dataclasses.dataclass(slots=True)
class Job:
    """A ticket as it grows, and beside it what was answered: ``said`` maps payer and offer to the last decision."""

    entries: list[Entry] = dataclasses.field(default_factory=list)
    prices: dict[int, int] = dataclasses.field(default_factory=dict)
    offers: list[int] = dataclasses.field(default_factory=list)
    waits: list[int] = dataclasses.field(default_factory=list)
    contacts: list[tuple[int, str, tuple[tuple[str, tuple[int, ...]], ...], tuple[int, ...]]] = dataclasses.field(
        default_factory=list
    )
    struck: set[int] = dataclasses.field(default_factory=set)

    def add(self, fact: Fact) -> int:
        no = len(self.entries) + 1
        self.entries.append(Entry(no, fact, "W.", AT, "" if isinstance(fact, Told) else "A"))
        return no

    def item(self, fact: Offer | Later) -> None:
        no = self.add(fact)
        (self.offers if isinstance(fact, Offer) else self.waits).append(no)
        self.prices[no] = int(fact.estimate) * 100

    def contact(self, payer: str, answers: tuple[tuple[str, tuple[int, ...]], ...]) -> None:
        given = tuple(Answer(word, tuple(Ref(no) for no in to)) for word, to in answers)
        no = self.add(Told(who=PEOPLE[payer], way="phone", answers=given))
        self.contacts.append((no, payer, answers, tuple(self.offers)))

    @property
    def ticket(self) -> Ticket:
        entries = tuple(dataclasses.replace(entry, struck=entry.no in self.struck) for entry in self.entries)
        return Ticket(12, AT, header=HEADER, entries=entries)

    def decided(self, payer: str) -> dict[int, str]:
        """The last decision of one payer on each offer and item, contact by contact."""
        now: dict[int, str] = {}
        for no, who, answers, offered in self.contacts:
            if no in self.struck or who != payer:
                continue
            named = {one for _, to in answers for one in to}
            still = [one for one in offered if now.get(one) not in ("yes", "no") and one not in named]
            for word, to in answers:
                now |= {one: word for one in to or still if word in DECIDED}
        return now


@st.composite
def jobs(draw: Any) -> Job:
    """Offers, deferred items and contacts in any order; now and then a contact is taken back."""
    job = Job()
    job.add(Says(text="noise from front"))
    works, waits = list(WORKS), list(WAITS)
    for step in draw(st.lists(st.sampled_from(("offer", "offer", "later", "bare", "named", "back")), max_size=9)):
        everything = [*job.offers, *job.waits]
        payer = draw(st.sampled_from(("customer", "customer", "customer", "contract")))
        if step == "offer" and works:
            job.item(Offer(text=works.pop(), estimate=str(draw(st.integers(1, 900)))))
        elif step == "later" and waits:
            job.item(Later(text=waits.pop(), estimate=str(draw(st.integers(1, 900)))))
        elif step == "bare":
            job.contact(payer, ((draw(st.sampled_from(WORDS)), ()),))
        elif step == "named" and everything:
            chosen = draw(st.lists(st.sampled_from(everything), min_size=1, max_size=3, unique=True))
            cut = draw(st.integers(0, len(chosen)))
            one, two = draw(st.sampled_from(WORDS)), draw(st.sampled_from(WORDS))
            both = ((one, tuple(chosen[:cut])), (two, tuple(chosen[cut:])))
            job.contact(payer, tuple((word, to) for word, to in both if to))
        elif step == "back" and job.contacts:
            job.struck.add(draw(st.sampled_from(job.contacts))[0])
    return job


def accounted(ticket: Ticket) -> Account:
    return account(ticket, PriceList(), load("neutral"), terms_of(ticket), zone=UTC)


@given(job=jobs())
def test_estimate_and_bill_hold_what_the_customer_said(job: Job) -> None:
    ticket, decided = job.ticket, job.decided("customer")
    told = estimate(ticket, accounted(ticket), PriceList(), zone=UTC)
    answers = {offer.no: offer.answer if offer.answer in DECIDED else "" for offer in told.offers}
    assert answers == {no: decided.get(no, "") for no in (*job.offers, *job.waits)}
    agreed = sum(job.prices[no] for no, word in decided.items() if word == "yes")
    assert (told.approved or 0) == agreed


@given(job=jobs())
def test_gaps_ask_for_the_answers_that_are_missing_and_for_no_other(job: Job) -> None:
    heard = {**job.decided("contract"), **job.decided("customer")}
    asked = {gap.entry for gap in find_gaps(Case(job.ticket, Settings(), AT.date())) if gap.id == "offer-unanswered"}
    assert asked == {no for no in job.offers if no not in heard}


@given(job=jobs())
def test_work_is_proposed_for_a_yes_and_asked_about_after_a_no(job: Job) -> None:
    ticket = job.ticket
    customer = job.decided("customer")
    heard = {**job.decided("contract"), **customer}
    texts = {no: fact.text for no in job.offers if isinstance(fact := ticket.entries[no - 1].fact, Offer)}
    case = Case(ticket, Settings(), AT.date())
    called_for = next(origin.phrases for origin in gather(case, ()).origins if origin.why == "this ticket")
    phrases = {kind: {phrase.text for _, phrase in called_for.get(kind, ())} for kind in ("did", "later")}
    assert phrases["later"] == {text for no, text in texts.items() if heard.get(no) == "no"}
    for no, text in texts.items():
        line = Draft(fact=Did(text=text), line=f"did: {text}")
        proposed = settle([line], ticket, "A", lambda _: None, lambda _: False)[0].proposed
        assert proposed == ((Ref(no),) if heard.get(no) == "yes" else ())
        done = Entry(len(ticket.entries) + 1, Did(text=text, refs=(Ref(no),)), "W.", AT, "A")
        after = dataclasses.replace(ticket, entries=(*ticket.entries, done))
        gaps = {gap.id for gap in find_gaps(Case(after, Settings(), AT.date()))}
        assert ("declined-yet-done" in gaps) == (customer.get(no) == "no")


def _cited(sentences: list[Sentence], says: str) -> set[int]:
    """The entries of this ticket behind the sentences that say so."""
    return {ref.no for one in sentences if re.search(says, one.text) for ref in one.sources if isinstance(ref, Ref)}


@pytest.mark.parametrize("language", sorted(SAYS))
@given(job=jobs())
def test_the_story_tells_the_decision_that_counts_in_every_language(language: str, job: Job) -> None:
    customer, contract = job.decided("customer"), job.decided("contract")
    case = Case(job.ticket, Settings(), AT.date())
    story = build(case, language=language)
    judged = [flaw for flaw in check_story(to_document(story), case) if flaw.finding.rule in ("F17", "F23")]
    assert not judged  # no answer nobody gave, and nothing left out
    sentences = [sentence for section in story.sections for sentence in section.sentences]
    told = {word: _cited(sentences, says) for word, says in SAYS[language].items()}
    items = {*job.offers, *job.waits}
    assert told["no"] & items == {no for no in items if customer.get(no) == "no"}
    assert told["thinks"] & items == {no for no in items if customer.get(no) == "thinks"}
    assert told[""] & items == {no for no in job.offers if no not in customer and contract.get(no) != "yes"}
    assert {no for no in items if customer.get(no) == "yes"} <= told["yes"]
    once = {
        one for _, payer, answers, offered in job.contacts if payer == "customer"
        for word, to in answers if word == "yes" for one in to or offered
    }  # fmt: skip
    assert told["yes"] & items <= once


SAME, OTHER = Offer(text="replace oil pump", estimate="180"), Offer(text="replace oil pump", estimate="260")


@pytest.mark.parametrize(("reworded", "holds"), [(SAME, True), (OTHER, False)])
def test_a_yes_holds_for_a_new_wording_only_where_work_and_price_are_the_same(reworded: Offer, holds: bool) -> None:
    told = Told(who="Ada Fenn", way="phone", answers=(Answer("yes", (Ref(2),)),))
    facts: tuple[Fact, ...] = (Says(text="noise"), SAME, told)
    entries = [Entry(no, fact, "W.", AT, "A") for no, fact in enumerate(facts, 1)]
    entries.append(Entry(4, reworded, "W.", AT, "A", replaces=2, reason="typed on the wrong line", amended=True))
    ticket = Ticket(12, AT, header=HEADER, entries=tuple(entries))
    (offer,) = estimate(ticket, accounted(ticket), PriceList(), zone=UTC).offers
    case = Case(ticket, Settings(), AT.date())
    text = " ".join(one.text for section in build(case).sections for one in section.sentences)
    asked = "offer-unanswered" in {gap.id for gap in find_gaps(case)}
    assert (offer.answer, "not heard from you" in text, asked) == (("yes", False, False) if holds else ("", True, True))


def test_a_bare_no_by_telephone_is_told_as_the_answer_to_the_offer() -> None:
    ticket = ticket_of(
        ["says: noise from front", "offer: replace oil pump; est 180", "told: Ada Fenn by phone 555-0134, no"],
        customer="Ada Fenn",
    )
    case = Case(ticket, Settings(), date(2026, 3, 2))
    text = " ".join(one.text for section in build(case).sections for one in section.sentences)
    assert "not heard" not in text
    assert "Replace the oil pump. You said no to this by phone." in text


@pytest.mark.parametrize("answers", ["no", "no 2", "thinks"])
def test_an_answer_kept_inside_the_shop_is_not_told_as_silence(answers: str) -> None:
    lines = ["says: noise from front", "offer: replace oil pump; est 180", f"told: Ada Fenn by phone, {answers}"]
    ticket = ticket_of(lines, customer="Ada Fenn")
    ticket = dataclasses.replace(
        ticket, entries=tuple(dataclasses.replace(one, shop_only=one.kind == "told") for one in ticket.entries)
    )
    case = Case(ticket, Settings(), date(2026, 3, 2))
    story = build(case)
    assert "not heard" not in " ".join(one.text for section in story.sections for one in section.sentences)
    assert not check_story(to_document(story), case)
