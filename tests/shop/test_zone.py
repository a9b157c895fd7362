"""The shop's own time zone: every terminal tells the same wall time, whatever its machine is set to."""

import time
from datetime import UTC, date, datetime

import pytest

from ticket.job.errors import InputError
from ticket.shop.place import known_zone, local_day
from ticket.shop.setting_up import put
from ticket.shop.shop import Shop

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
