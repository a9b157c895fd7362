"""Three terminals on two tickets do anything in any order; the journal always leads to what the tables hold."""

import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule
from store_bench import KIM, MORNING, fill, living, open_store

from ticket.job.entry import Entry
from ticket.job.errors import TicketError
from ticket.job.kinds import Cause, Code, Fact, Found, Later, Note, Says, Told
from ticket.job.reworded_sentence import Basis, Rewording
from ticket.job.ticket import STATUSES, Customer, Header, Ticket, Vehicle
from ticket.job.values import Ref
from ticket.store.store import NewEntry, Store

WORDS = st.sampled_from(("hose", "clamp torn", "quiet", "Fenn says so", "\ud83d", "'; --"))
REFS = st.lists(st.integers(1, 14).map(Ref), max_size=2).map(tuple)
FACTS: st.SearchStrategy[Fact] = st.one_of(
    st.builds(Says, text=WORDS),
    st.builds(Found, what=WORDS, seen=WORDS),
    st.builds(Cause, text=WORDS, refs=REFS),
    st.builds(Code, code=st.sampled_from(("P0562", "P1A30", "none")), sub=st.sampled_from(("", "7B"))),
    st.builds(Told, who=WORDS, address=st.sampled_from(("", "555-0134")), words=WORDS),
    st.builds(Later, text=WORDS, date=st.sampled_from(("", "2026-06-30")), refs=REFS),
    st.builds(Note, text=WORDS),
)
HEADERS = st.builds(
    Header,
    vehicle=st.builds(Vehicle, label=WORDS, plate=st.sampled_from(("", "GRN 04"))),
    customer=st.builds(Customer, name=WORDS, phone=st.sampled_from(("", "555-0134"))),
)
WHO, WHICH, NO = st.integers(0, 2), st.integers(1, 2), st.integers(1, 14)


def bare(ticket: Ticket) -> Ticket:
    """A ticket without the count of its changes."""
    return replace(ticket, rev=0)


def rows(store: Store) -> int:
    """How long the journal is."""
    return int(store._session.db.execute("SELECT max(seq) FROM journal").fetchone()[0])


class ThreeTerminals(RuleBasedStateMachine):
    """Every rule may be refused; then nothing may have changed."""

    @initialize()
    def start(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        path = Path(self.folder.name, "shop.db")
        with open_store(path, 9) as earlier:
            for _ in range(2):
                fill(earlier, Header())
        self.stores = [open_store(path, seed) for seed in range(3)]
        # Living entries before each deed, per terminal and ticket, while nobody else did anything there.
        self.before: dict[tuple[int, int], list[tuple[int, list[Entry], Header, str]]] = {}

    def deed(self, who: int, which: int, do: Callable[[Store], object]) -> bool:
        store = self.stores[who]
        old, events = store.ticket(which), rows(store)
        try:
            do(store)
        except TicketError:
            assert rows(store) == events
            assert store.ticket(which) == old
            return False
        if rows(store) > events:
            self.remember(who, which, (old.rev, living(old), old.header, old.status))
        return True

    def remember(self, who: int, which: int, snapshot: tuple[int, list[Entry], Header, str]) -> None:
        for other in range(3):
            if other != who:
                self.before.pop((other, which), None)
        self.before.setdefault((who, which), []).append(snapshot)

    @rule(who=WHO, which=WHICH, facts=st.lists(FACTS, min_size=1, max_size=3), shop_only=st.booleans())
    def add(self, who: int, which: int, facts: list[Fact], shop_only: bool) -> None:
        self.deed(who, which, lambda s: s.add(which, [NewEntry(fact, shop_only=shop_only) for fact in facts], KIM))

    @rule(who=WHO, which=WHICH, no=NO, fact=FACTS)
    def edit(self, who: int, which: int, no: int, fact: Fact) -> None:
        self.deed(who, which, lambda s: s.edit(which, no, fact, KIM))

    @rule(who=WHO, which=WHICH, no=NO, fact=FACTS, stale=FACTS)
    def edit_what_was_seen(self, who: int, which: int, no: int, fact: Fact, stale: Fact) -> None:
        self.deed(who, which, lambda s: s.edit(which, no, fact, KIM, expected=stale))

    @rule(who=WHO, which=WHICH, no=NO, concern=st.sampled_from(("A", "B", "A+C", "")))
    def move(self, who: int, which: int, no: int, concern: str) -> None:
        self.deed(who, which, lambda s: s.move(which, no, concern, KIM))

    @rule(who=WHO, which=WHICH, no=NO, shop_only=st.booleans())
    def mark(self, who: int, which: int, no: int, shop_only: bool) -> None:
        self.deed(who, which, lambda s: s.mark_shop_only(which, no, KIM, shop_only=shop_only))

    @rule(who=WHO, which=WHICH, no=NO)
    def strike(self, who: int, which: int, no: int) -> None:
        self.deed(who, which, lambda s: s.strike(which, no, KIM))

    @rule(who=WHO, which=WHICH, no=NO)
    def unstrike(self, who: int, which: int, no: int) -> None:
        self.deed(who, which, lambda s: s.unstrike(which, no, KIM))

    @rule(who=WHO, which=WHICH, header=HEADERS)
    def header(self, who: int, which: int, header: Header) -> None:
        self.deed(who, which, lambda s: s.set_header(which, header, KIM))

    @rule(who=WHO, which=WHICH, status=st.sampled_from(STATUSES[:-1]))
    def status(self, who: int, which: int, status: str) -> None:
        self.deed(who, which, lambda s: s.set_status(which, status, KIM))

    @rule(who=WHO, which=WHICH, no=NO, what=st.sampled_from(("call", "done", "declined")))
    def follow(self, who: int, which: int, no: int, what: str) -> None:
        self.deed(who, which, lambda s: s.follow(which, no, what, KIM, note="as agreed"))

    @rule(who=WHO, which=WHICH, no=NO, text=WORDS, was=WORDS, seen=st.booleans())
    def reword(self, who: int, which: int, no: int, text: str, was: str, seen: bool) -> None:
        new = Rewording("shop", was, text, "", MORNING, (Basis(str(no % 3)),))
        held = {one.sentence: one for one in self.stores[who].ticket(which).rewordings}
        self.deed(who, which, lambda s: s.reword(which, new, KIM, expected=held.get(new.sentence) if seen else None))

    @rule(who=WHO, which=WHICH, at=st.integers(0, 3))
    def unreword(self, who: int, which: int, at: int) -> None:
        held = self.stores[who].ticket(which).rewordings
        if at < len(held):
            self.deed(who, which, lambda s: s.unreword(which, held[at], KIM))

    @rule(who=WHO, which=WHICH)
    def undo(self, who: int, which: int) -> None:
        store, events = self.stores[who], rows(self.stores[who])
        try:
            store.undo(which, KIM)
        except TicketError:
            assert rows(store) == events
            return
        now = store.ticket(which)
        for other in range(3):
            if other != who:
                self.before.pop((other, which), None)
        if stack := self.before.get((who, which)):
            _, entries, header, status = stack.pop()
            assert (living(now), now.header, now.status) == (entries, header, status)

    @rule(who=WHO, which=WHICH)
    def undo_and_redo(self, who: int, which: int) -> None:
        """``redo(undo(x)) == x``."""
        store = self.stores[who]
        old, followed = store.ticket(which), store.followed(which)
        try:
            undone = store.undo(which, KIM)
        except TicketError:
            return
        for other in range(3):
            if other != who:
                self.before.pop((other, which), None)
        assert store.redo(which, KIM) == undone
        assert bare(store.ticket(which)) == bare(old)
        assert store.followed(which) == followed

    @rule(who=WHO, which=WHICH, luck=st.booleans())
    def look_at_both(self, who: int, which: int, luck: bool) -> None:
        """What is kept from the last look is what reading it anew gives, whoever did something since."""
        store = self.stores[who]
        asked = (1, 2) if luck else (which,)
        assert store.tickets(asked) == tuple(map(store.ticket, asked))

    @rule(who=WHO, which=WHICH)
    def redo(self, who: int, which: int) -> None:
        self.before.pop((who, which), None)
        self.deed(who, which, lambda s: s.redo(which, KIM))
        self.before.pop((who, which), None)

    @rule(who=WHO, which=WHICH, luck=st.integers(1, 6))
    def sign(self, who: int, which: int, luck: int) -> None:
        if luck == 6 and self.deed(who, which, lambda s: s.sign(which, s.ticket(which).rev, KIM, {"gap": "none"})):
            self.before = {key: stack for key, stack in self.before.items() if key[1] != which}

    @rule(who=WHO, which=WHICH, fact=FACTS, no=NO)
    def amend(self, who: int, which: int, fact: Fact, no: int) -> None:
        if self.deed(who, which, lambda s: s.amend(which, [NewEntry(fact, replaces=no)], "typing error", KIM)):
            self.before = {key: stack for key, stack in self.before.items() if key[1] != which}

    @rule(who=WHO, which=WHICH, plate=st.sampled_from(("RKM 318", "RKM 381", "")))
    def correct(self, who: int, which: int, plate: str) -> None:
        held = self.stores[who].ticket(which).header
        header = replace(held, vehicle=replace(held.vehicle, plate=plate))
        if self.deed(who, which, lambda s: s.correct_header(which, header, "misread", KIM)):
            self.before = {key: stack for key, stack in self.before.items() if key[1] != which}

    def teardown(self) -> None:
        if not getattr(self, "stores", None):
            return
        found: Any = self.stores[1].audit(deep=True)
        tickets = [[store.ticket(number) for number in (1, 2)] for store in self.stores]
        for store in self.stores:
            store.close()
        self.folder.cleanup()
        assert found.ok, found
        assert tickets[0] == tickets[1] == tickets[2]


TestThreeTerminals = pytest.mark.slow(ThreeTerminals.TestCase)
TestThreeTerminals.settings = settings(settings.get_profile("suite"), max_examples=30, stateful_step_count=25)
