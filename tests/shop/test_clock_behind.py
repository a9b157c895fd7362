"""A clock that stands before what was written: its rows say so and signing wants a reason; how a day begins."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.job.errors import ConflictError
from ticket.shop.changing import add_lines, amend_ticket, begin_day, new_ticket, sign_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import audit_shop, kept_verdicts, unanswered
from ticket.store import driver


class Hands:
    """A clock somebody may turn."""

    def __init__(self) -> None:
        self.at = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=20)
        return self.at


@pytest.fixture
def hands() -> Hands:
    return Hands()


@pytest.fixture
def shop(tmp_path: Path, hands: Hands) -> Iterator[Shop]:
    with Shop.open(tmp_path / "shop.db", "Ona Writer", now=hands) as opened:
        set_setting(opened, "zone", "UTC")
        yield opened


def bodies(shop: Shop, verb: str) -> list[dict[str, object]]:
    rows = shop.store._session.db.execute("SELECT body FROM journal WHERE verb = ? ORDER BY seq", [verb]).fetchall()
    return [json.loads(body) for (body,) in rows]


def signed(shop: Shop, **words: str) -> int:
    number = new_ticket(shop)
    add_lines(shop, number, "says: fan roars")
    sign_ticket(shop, number, overruled={gap.id: "waits" for gap in unanswered(shop, number)}, **words)  # type: ignore[arg-type]
    return number


def test_a_row_written_behind_says_so_and_later_ones_are_measured_by_the_newest(shop: Shop, hands: Hands) -> None:
    number = new_ticket(shop)
    hands.at -= timedelta(minutes=4)
    add_lines(shop, number, "note: within five minutes")
    hands.at -= timedelta(days=300)
    for text in ("note: one", "note: two"):
        add_lines(shop, number, text)
    hands.at += timedelta(days=301)
    add_lines(shop, number, "note: right again")
    assert [body.get("clock", "") for body in bodies(shop, "add")] == ["", "back", "back", ""]
    found = shop.store.audit(deep=True)
    assert found.ok
    assert "2 rows stand behind newer ones" in found.times[0]


def test_nothing_is_signed_behind_without_a_reason(shop: Shop, hands: Hands) -> None:
    first = signed(shop)
    hands.at -= timedelta(days=30)
    with pytest.raises(ConflictError, match=r"the journal was at 2026-03-02 08:3\d before: nothing was signed"):
        signed(shop)
    with pytest.raises(ConflictError, match="--clock 'WHY'"):
        amend_ticket(shop, first, "note: x", "left out")
    signed(shop, clock="battery of the board is empty, Ada Fenn knows")
    amend_ticket(shop, first, "note: x", "left out", clock="the same")
    (_, row), (body,) = bodies(shop, "sign"), bodies(shop, "amend")
    assert row["clock"] == body["clock"] == "back"
    assert "Ada" not in json.dumps(row), "why is a text that can be forgotten"
    assert shop.store.audit(deep=True).ok


def test_a_shop_for_practice_may_stand_still(tmp_path: Path, hands: Hands) -> None:
    with Shop.open(tmp_path / "practice.db", "Ona Writer", now=hands, scratch=True) as shop:
        signed(shop)
        hands.at -= timedelta(days=30)
        signed(shop)
        assert shop.clock_words() == ""


def test_whoever_opens_the_shop_is_told(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    """The command's own clock is the machine's, which a journal of the year 2190 has left behind."""
    path = shop.store.path
    shop._kept = None
    shop.now = shop.store._session.now = lambda: datetime(2190, 1, 1, tzinfo=UTC)
    number = new_ticket(shop)
    shop.close()
    assert main(["show", str(number), "--db", str(path)]) == 0
    assert "and this journal was at 2190-01-01 00:00 before" in capsys.readouterr().err
    assert main(["sign", str(number), "--db", str(path), "--overrule", "complaint-missing=x"]) == 2


# -- the first start of a day -------------------------------------------------------------------------------------


def test_a_day_begins_with_one_signed_row_that_witnesses_hear_of(shop: Shop, hands: Hands, tmp_path: Path) -> None:
    witness = tmp_path / "heads.jsonl"
    set_setting(shop, "witness", [str(witness)])
    begin_day(shop)
    assert bodies(shop, "shop.day") == [], "nobody has signed yet: an unsigned row would show nothing"
    signed(shop)
    begin_day(shop)
    assert bodies(shop, "shop.day") == [], "the day is under way"
    hands.at += timedelta(days=1)
    begin_day(shop)
    begin_day(shop)
    (body,) = bodies(shop, "shop.day")
    (key,) = shop.store.proofs.public_keys()
    assert {name: body[name] for name in ("tickets", "signed", "key")} == {"tickets": 1, "signed": 1, "key": key}
    last = json.loads(witness.read_text().splitlines()[-1])
    head = shop.store.proofs.head()
    assert head is not None
    assert last["seq"] == head.seq == int(str(body["rows"])) + 1
    assert shop.store.audit(deep=True).ok
    assert all(one.ok for one in kept_verdicts(shop.store.path, [str(witness)]))


def test_a_row_of_a_day_whose_signature_is_gone_is_named(shop: Shop, hands: Hands) -> None:
    signed(shop)
    hands.at += timedelta(days=1)
    begin_day(shop)
    path = shop.store.path
    shop.close()
    connection = driver.sqlite3.connect(str(path), isolation_level=None)
    connection.execute("DROP TRIGGER signature_keep")
    connection.execute("DELETE FROM signature WHERE seq = (SELECT max(seq) FROM signature)")
    connection.close()
    assert any("its signature is missing" in one.says for one in audit_shop(path).differences)


def test_no_day_begins_in_a_shop_for_practice(tmp_path: Path, hands: Hands) -> None:
    with Shop.open(tmp_path / "practice.db", "Ona Writer", now=hands, scratch=True) as shop:
        signed(shop)
        hands.at += timedelta(days=2)
        begin_day(shop)
        assert bodies(shop, "shop.day") == []
