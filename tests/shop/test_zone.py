"""The shop's own time zone: every terminal tells the same wall time, whatever its machine is set to."""

import os
import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from ticket.cli import main
from ticket.job.errors import InputError
from ticket.job.wall import local_day
from ticket.machine.environment import known_zone, use_zone
from ticket.shop.opening import Shop
from ticket.shop.settings import put

# 2026-03-08 is the second Sunday of March: 15 USC 260a(a) moves the clocks of the zone of Chicago (15 USC 263) from
# 2:00 to 3:00 on that day, from 6 to 5 hours behind UTC.
LATE = datetime(2026, 3, 8, 5, 30, tzinfo=UTC)

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="this system keeps its own zone")


def test_the_zone_of_the_shop_decides_the_day(shop: Shop) -> None:
    assert local_day(LATE) == date(2026, 3, 8)
    put(shop, "setting/zone", "America/Chicago")
    assert shop.settings.zone == "America/Chicago"
    assert local_day(LATE) == date(2026, 3, 7)
    assert LATE.astimezone().strftime("%H:%M") == "23:30"
    assert datetime(2026, 3, 8, 8, 0, tzinfo=UTC).astimezone().strftime("%H:%M") == "03:00"


@pytest.mark.parametrize("name", ["Mars/Base", "America", "../etc/passwd", "x" * 300, "a\x00b"])
def test_what_is_no_zone_is_refused_in_one_sentence(shop: Shop, name: str) -> None:
    assert not known_zone(name)
    with pytest.raises(InputError, match="is no time zone"):
        put(shop, "setting/zone", name)
    assert shop.settings.zone == ""


def test_the_list_and_past_jobs_go_by_the_day_on_the_wall(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "zone.db"))
    monkeypatch.setenv("TICKET_NOW", LATE.isoformat())  # half past eleven in the evening of March 7 in Chicago

    def say(*arguments: str) -> str:
        monkeypatch.setenv("TZ", "UTC")  # each command is a terminal of its own
        time.tzset()
        assert main(arguments) in (0, 1)  # 1: nothing fits
        return capsys.readouterr().out

    say("shop", "--start")
    say("shop", "zone", "America/Chicago")
    say("new", "--vehicle", "Corvane Alder")
    assert "2026-03-07" in say("list")
    assert "2026-03-07" in say("past", "alder", "since:2026-03-07", "until:2026-03-07")
    for query in ("since:2026-03-08", "until:2026-03-06"):
        assert say("past", "alder", query).strip() == "No job fits."


@pytest.mark.parametrize("name", ["Mars/Base", "../zoneinfo/America/Chicago", "/etc/passwd", "x" * 300, "a\x00b", ""])
def test_a_name_that_is_no_zone_leaves_the_clock_of_the_machine(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    use_zone(name)
    assert os.environ["TZ"] == "UTC"
    use_zone("America/Chicago")
    assert LATE.astimezone().strftime("%H:%M") == "23:30"
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
