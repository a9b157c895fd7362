"""The language of searches: what each part means, what is wrong with a text and where, and that nothing breaks it."""

import random
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.made_shops import filled_shop
from ticket.job.wall import local_day
from ticket.past.query import FIELDS, Here, QueryFault, completions, parse_query
from ticket.past.word_forms import forms
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, amend_ticket, correct_header, new_ticket
from ticket.shop.code_history import asked
from ticket.shop.opening import Shop
from ticket.shop.pairs import keep_pair
from ticket.shop.past import find_jobs
from ticket.shop.reading import ticket_of
from ticket.store.asked import Query, Term
from ticket.store.briefs import Brief


def first_terms(query: Query) -> list[Term]:
    return [clause[0] for clause in query.clauses]


@pytest.mark.parametrize(
    ("typed", "term"),
    [
        ("P0562-16", Term("code", "P0562", "16")),
        ("SPN 102 FMI 18", Term("code", "SPN 102", "FMI 18")),
        ("-P0562", Term("code", "P0562", without=True)),
        ('"fan roars"', Term("word", "fan roars")),
        ("-fan", Term("word", "fan", without=True)),
        ("plate:kde", Term("plate", "kde")),
        ('plate:"KDE 4102"', Term("plate", "KDE 4102", whole=True)),
        ("part:4410 77", Term("part", "4410 77")),
        ("since:2026-03", Term("since", day=date(2026, 3, 1))),
        ("until:2026-02", Term("until", day=date(2026, 2, 28))),
        ("signed:2026-02", Term("signed", day=date(2026, 2, 1), last=date(2026, 2, 28))),
        ("amended:no", Term("amended", without=True)),
        ("distance:80000..120,000", Term("distance", low=80_000_000, high=120_000_000)),
        ("distance:>1mi", Term("distance", low=1610.344)),
        ("total:>500", Term("total", low=50_001)),
        ("total:<=500.50", Term("total", high=50_050)),
        ("total:99", Term("total", low=9900, high=9900)),
        ("comeback:90d", Term("comeback", low=0, high=90)),
        ("comeback:no", Term("comeback", low=0, high=60, without=True)),
        ("over:yes", Term("over")), ("over:no", Term("over", without=True)),
        ("declined:yes", Term("state", "declined")), ("-declined:yes", Term("state", "declined", without=True)),
        ("tech:Bram", Term("tech", "Bram")), ("status:signed", Term("status", "signed")),
        ("color:red", Term("word", "color:red")),
    ],
)  # fmt: skip
def test_what_a_part_means(typed: str, term: Term) -> None:
    assert first_terms(parse_query(typed, Here(comeback_days=60)))[0] == term


def test_either_of_two_binds_closer_than_both() -> None:
    query = parse_query("wiper or washer P0562")
    assert [{term.text for term in clause} & {"wiper", "washer", "P0562"} for clause in query.clauses] == [
        {"wiper", "washer"}, {"P0562"}
    ]  # fmt: skip
    assert [term.text for term in first_terms(parse_query("status:waiting"))] == ["waiting for approval"]


@pytest.mark.parametrize(
    ("typed", "start", "end", "said"),
    [
        ("", 0, 0, "Search for what?"), ("  -- ,, ", 0, 8, "Search for what?"),
        ("fan since:never", 4, 15, "since: 'never' is no date"),
        ("fan since:2026-030303030303", 4, 27, "since: '2026-030303030303' is no date"),
        ("plate:k", 0, 7, "plate: give at least 3"), ("total:much", 0, 10, "total: write 500"),
        ("distance:5ly", 0, 12, "distance: ly is no unit"), ("over:maybe", 0, 10, "over: write yes or no"),
        ("status:gone", 0, 11, "status: one of open"), ("cause:", 0, 6, None), ("comeback:soon", 0, 13, "comeback:"),
        ("pays:nobody", 0, 11, "pays: one of customer"), ('cause:"--"', 0, 10, "cause: a word belongs"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_place(typed: str, start: int, end: int, said: str | None) -> None:
    if said is None:  # a field that is still being typed is a word until something stands behind its colon
        assert parse_query(typed).clauses
        return
    with pytest.raises(QueryFault) as caught:
        parse_query(typed)
    assert (caught.value.start, caught.value.end) == (start, end)
    assert str(caught.value).startswith(said)


WORDS = st.sampled_from((
    "fan", "-fan", '"', '"fan', "or", "OR", "-", "(", "*", "P0562-16", "part:44", "part:4410", "vin:'; --",
    "since:2026", "total:>1", "total:>1e9", "distance:9..1", "comeback:99999", "tech:%", "customer:_", "status:open",
    "over:yes", "\x00x", "NEAR(a", "a*", "codes:x", 'plate:""', "vehicle:\ud83d", "cause:*", "did:a:b", "-unit:body",
    "declined:no", "\u2028",
))  # fmt: skip


def _place(text: str) -> tuple[int, int]:
    """What is wrong with a search, by its place; all of it where nothing is."""
    try:
        assert parse_query(text).clauses
    except QueryFault as fault:
        return fault.start, fault.end
    return 0, len(text)


@given(st.lists(WORDS | st.text(max_size=8), max_size=7).map(" ".join))
def test_any_text_is_a_query_or_one_remark(text: str) -> None:
    start, end = _place(text)
    assert 0 <= start <= end <= len(text)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    shop = Shop.open(tmp_path_factory.mktemp("asked") / "shop.db", "Bram Tolliver", scratch=True)
    fill(shop)
    return shop


@given(st.lists(WORDS | st.text(max_size=6), min_size=1, max_size=6).map(" ".join))
def test_no_text_breaks_the_database(filled: Shop, text: str) -> None:
    head = filled.store.identity()
    try:
        found, jobs = find_jobs(filled, text, limit=5)
    except QueryFault:
        return
    assert len(jobs) == min(5, found.total) <= found.total <= 23
    assert filled.store.identity() == head


@pytest.fixture
def demo_shop(tmp_path: Path) -> Iterator[Shop]:
    """A copy that a test may write to."""
    with filled_shop(tmp_path / "demo.db", fill, "K. Orlo") as opened:
        yield opened


def _numbers(shop: Shop, typed: str) -> set[int]:
    found, jobs = find_jobs(shop, typed, limit=1000)
    assert found.total == len(jobs)
    return {job.number for job in jobs}


def test_each_field_finds_what_reading_every_job_finds(filled: Shop) -> None:
    every = {job.number: job for job in filled.store.briefs(filled.store.numbers())}

    def held(fits: Callable[[Brief], bool]) -> set[int]:
        return {number for number, job in every.items() if fits(job)}

    assert _numbers(filled, "tech:kaia") == held(lambda job: any("Kaia" in name for name in job.techs)) != set()
    assert _numbers(filled, "total:>300") == held(lambda job: (job.total or 0) > 30_000) != set()
    assert _numbers(filled, "total:>300 -tech:kaia") == held(
        lambda job: (job.total or 0) > 30_000 and not any("Kaia" in name for name in job.techs)
    )
    assert _numbers(filled, "over:yes") == held(lambda job: job.over)
    assert _numbers(filled, "over:yes or total:>300") == held(lambda job: job.over or (job.total or 0) > 30_000)
    assert _numbers(filled, "declined:yes") == held(lambda job: job.state == "declined")
    assert _numbers(filled, "comeback:yes") == held(lambda job: job.back > 0 and job.back_days <= 90) != set()
    assert _numbers(filled, "status:signed") | _numbers(filled, "-status:signed") == set(every)
    assert _numbers(filled, "customer:oastley") == held(lambda job: "Oastley" in job.customer) != set()
    assert _numbers(filled, "cause:purge") == held(lambda job: any("purge" in text for text in job.causes)) != set()


_TERMS = (
    "tech:kaia", "customer:oastley", "total:>300", "status:signed", "since:2026-07", "until:2026-08-15", "hose",
    "part:014", "plate:SMC0", "comeback:yes", "vehicle:haldon",
)  # fmt: skip


def test_days_of_signing_and_amendments_are_asked_for_by_themselves(demo_shop: Shop) -> None:
    filled = demo_shop
    signed = [ticket_of(filled, number) for number in sorted(_numbers(filled, "status:signed"))]
    assert len(signed) > 5
    for span, length in (("2026", 4), ("2026-10", 7), ("2026-10-05", 10)):
        inside = {one.number for one in signed if one.closed and str(local_day(one.closed))[:length] == span}
        assert _numbers(filled, f"signed:{span}") == inside
        assert _numbers(filled, f"signed:{span} or -signed:{span}") >= {one.number for one in signed}
    assert _numbers(filled, "amended:yes") == set()
    assert not _numbers(filled, "signed:2019")
    amend_ticket(filled, 1016, "note: the old coil was kept", "left out")
    header = ticket_of(filled, 1019).header
    correct_header(filled, 1019, replace(header, vehicle=replace(header.vehicle, plate="RKM 318")), "misread")
    assert _numbers(filled, "amended:yes") == {1016, 1019}
    assert not _numbers(filled, "amended:no") & {1016, 1019}


def test_what_finds_the_jobs_does_not_change_which_are_found(filled: Shop) -> None:
    code = filled.store.briefs(filled.store.numbers())[0].codes[0][0]
    terms = [*_TERMS, code]

    def found(typed: str) -> set[int]:
        query = asked(filled, typed)
        every = filled.store.find(replace(query.without_limit(), counted=True))
        assert every.total == len(every.numbers) == filled.store.find(query).total
        assert list(every.numbers) == sorted(every.numbers, key=age.__getitem__)
        return set(every.numbers)

    age = {number: i for i, number in enumerate(filled.store.find(Query(limit=100)).numbers)}
    alone = {term: found(term) for term in terms}
    assert all(alone[term] for term in terms), alone
    for one, other in product(terms, terms):
        assert found(f"{one} {other}") == alone[one] & alone[other], (one, other)
        assert found(f"{one} -{other}") == alone[one] - alone[other], (one, other)
        assert found(f"{one} or {other}") == alone[one] | alone[other], (one, other)


def test_a_page_behind_a_page_leaves_out_and_doubles_nothing(filled: Shop) -> None:
    pages = [find_jobs(filled, "since:2020", limit=5, offset=offset) for offset in range(0, 25, 5)]
    numbers = [job.number for _, jobs in pages for job in jobs]
    assert sorted(numbers) == filled.store.numbers()
    assert {found.total for found, _ in pages} == {23}
    best, _ = find_jobs(filled, "hose", best=True)
    assert set(best.numbers) == _numbers(filled, "hose")


def test_forms_and_synonyms_of_a_word_are_found(shop: Shop) -> None:
    add_lines(shop, new_ticket(shop), "says: lamp flickers")
    add_lines(shop, new_ticket(shop), "says: lamp blinks")
    for word in ("flicker", "flickering", "flickered", "FLICKERS"):
        assert _numbers(shop, word) == {1}
    assert _numbers(shop, '"lamp blink"') == set()
    keep_pair(shop, "synonyms", "blink = flicker")
    assert _numbers(shop, "flicker") == _numbers(shop, "blinks") == {1, 2}


# Regular forms as any grammar of English gives them.
@pytest.mark.parametrize(
    ("word", "others"),
    [
        ("leak", "leaks leaked leaking"), ("slip", "slips slipped slipping"), ("corrode", "corroded corroding"),
        ("dry", "dries dried drying"), ("switches", "switch switched switching"), ("flickering", "flicker flickers"),
        ("cables", "cable"), ("worn", ""), ("glass", "glasses"), ("12v", ""), ("squealing", "squeal squeals squealed"),
    ],
)  # fmt: skip
def test_regular_forms(word: str, others: str) -> None:
    assert forms(word)[0] == word
    assert set(others.split()) <= set(forms(word))


def test_fields_and_values_are_completed() -> None:
    assert completions("fan st") == ("status:",)
    assert completions("over:") == ("over:yes", "over:no")
    assert completions("-over:y") == ("-over:yes",)
    assert completions("status:wait") == ("status:waiting-for-approval", "status:waiting-for-parts")
    assert completions("tech:k", ("Kaia Rothmere", "Dov")) == ('tech:"Kaia Rothmere"',)
    assert completions("fan ") == completions("fan") == completions("nothing:x") == ()
    for field in FIELDS:
        assert f"{field}:" in completions(field[:2])
        for whole in completions(f"{field}:"):
            assert parse_query(whole).clauses


def test_random_words_of_the_language_never_raise() -> None:
    draw = random.Random(8)
    pieces = ["or", "-", '"', ":", *FIELDS, "yes", "2026-03", "80..90", "P0562-16", "fan", " "]
    for _ in range(400):
        text = "".join(draw.choice(pieces) + draw.choice(("", " ", ":")) for _ in range(draw.randint(1, 8)))
        start, end = _place(text)
        assert 0 <= start <= end <= len(text)
