"""``ticket serve``: nothing shows before a PIN, one authority and one origin are answered, nothing comes from outside.

The pages are asked by aiohttp's client as a browser would ask; the screens behind the socket are the real program.
"""

import asyncio
import re
from pathlib import Path

import pytest

from support.pins import PIN, make_cheap, with_pin
from ticket.cli.main import main
from ticket.cli.serve_command import is_loopback
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

pytest.importorskip("textual_serve")
pytest.importorskip("aiohttp")
from aiohttp import ClientSession, CookieJar, WSServerHandshakeError
from yarl import URL

from support.served import running
from ticket.cli.web_server import COOKIE

SECRET = "Ivo Tammel"
WIDE = "0.0.0.0"  # noqa: S104 - it is refused


@pytest.fixture
def served(database: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop whose one person has a PIN, with a customer nobody may see without it."""
    make_cheap(monkeypatch)
    with Shop.open(database, "K. Orlo") as shop:
        new_ticket(shop, Header(Vehicle("Corvane Alder", plate="FEN-204"), Customer(SECRET)))
        with_pin(shop)
    return database


def client() -> ClientSession:
    return ClientSession(cookie_jar=CookieJar(unsafe=True))


async def log_in(session: ClientSession, url: str, pin: str = PIN, person: str = "K. Orlo") -> int:
    async with session.post(f"{url}/pin", data={"person": person, "pin": pin}, allow_redirects=False) as answer:
        text = await answer.text()
        assert SECRET not in text
        return int(answer.status)


async def test_nothing_shows_before_a_pin(served: Path) -> None:
    async with running(served) as url, client() as session:
        async with session.get(url) as answer:
            page = await answer.text()
            assert answer.status == 200
            assert 'type="password"' in page
            assert "websocket" not in page
        for path in ("/ws", "/static/js/textual.js", "/download/x", "/nothing"):
            async with session.get(f"{url}{path}", headers={"Origin": url}) as answer:
                assert answer.status == 403, path
        assert await log_in(session, url, "000000x") == 403
        assert await log_in(session, url, person="<b>nobody</b>") == 403
        async with session.get(f"{url}/ws", headers={"Origin": url}) as answer:
            assert answer.status == 403


async def test_the_page_loads_from_its_own_origin_alone(served: Path) -> None:
    async with running(served) as url, client() as session:
        assert await log_in(session, url) == 303
        (cookie,) = session.cookie_jar
        assert cookie["httponly"]
        assert cookie["samesite"] == "Strict"
        async with session.get(url) as answer:
            page, policy = await answer.text(), answer.headers["Content-Security-Policy"]
            assert (
                answer.headers["Referrer-Policy"] == "same-origin"
            )  # else a browser hides where its own form comes from
        addresses = re.findall(r'(?:href|src|url)="?([^"\s>]+)', page)
        assert addresses
        assert all(one.startswith(("/", url, url.replace("http:", "ws:"))) for one in addresses), addresses
        assert "default-src 'none'" in policy
        async with session.get(f"{url}/own/page.css") as answer:
            (font,) = re.findall(r'src: url\("(.+?)"\)', await answer.text())
        async with session.get(f"{url}{font}") as answer:
            assert answer.status == 200, "the font is shipped"


@pytest.mark.parametrize("origin", ["http://evil.example", "http://localhost", "null", None])
async def test_a_foreign_origin_opens_no_socket(served: Path, origin: str | None) -> None:
    async with running(served) as url, client() as session:
        assert await log_in(session, url) == 303
        headers = {} if origin is None else {"Origin": origin}
        with pytest.raises(WSServerHandshakeError) as refused:
            await session.ws_connect(f"{url}/ws", headers=headers)
        assert refused.value.status == 403


async def test_another_name_for_this_machine_is_not_answered(served: Path) -> None:
    """A name of somebody else that leads here (DNS rebinding) is refused by the Host it brings."""
    async with running(served) as url, client() as session:
        async with session.get(url, headers={"Host": "evil.example"}) as answer:
            assert answer.status == 421
            assert SECRET not in await answer.text()
        async with session.post(f"{url}/pin", headers={"Origin": "http://evil.example"}, data={}) as answer:
            assert answer.status == 403


async def test_a_cookie_of_ones_own_making_is_nobodys(served: Path) -> None:
    async with running(served) as url, client() as session:
        session.cookie_jar.update_cookies({COOKIE: "x" * 43}, response_url=URL(url))
        async with session.get(f"{url}/static/js/textual.js") as answer:
            assert answer.status == 403


@pytest.mark.slow
async def test_a_fact_typed_in_the_page_is_seen_at_another_terminal(served: Path) -> None:
    async with running(served) as url, client() as session:
        assert await log_in(session, url) == 303
        async with session.ws_connect(f"{url}/ws?width=100&height=30", headers={"Origin": url}) as page:
            shown = b""
            while b"Corvane Alder" not in shown:
                message = await asyncio.wait_for(page.receive(), 60)
                shown += message.data if isinstance(message.data, bytes) else b""
            await asyncio.sleep(2)  # the line gets its focus a moment behind the first paint
            for keys in ("\r", "found: LF pad 1.9 mm (min 3.0)", "\r"):
                await page.send_json(["stdin", keys])
                await asyncio.sleep(4)
            with Shop.open(served, "Ona Vell") as beside:
                for _ in range(40):
                    if ticket_of(beside, 1).living:
                        break
                    await asyncio.sleep(0.5)
                (entry,) = ticket_of(beside, 1).living
            assert (entry.kind, entry.person) == ("found", "K. Orlo")


def test_without_a_pin_it_does_not_start(database: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["serve", "--db", str(database)]) == 2
    assert "ticket shop pin" in capsys.readouterr().err


def test_a_wider_address_needs_the_name_people_type(served: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["serve", "--db", str(served), "--host", WIDE]) == 2
    assert "--name" in capsys.readouterr().err
    assert [is_loopback(one) for one in ("127.0.0.1", "::1", "localhost", "127.8.8.8")] == [True] * 4
    assert [is_loopback(one) for one in (WIDE, "192.168.1.2", "shop-pc", "::")] == [False] * 4


def test_another_wrapper_gets_no_screens(
    served: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TEXTUAL_DRIVER", "textual.drivers.web_driver:WebDriver")
    assert main(["--db", str(served)]) == 2
    assert "ticket serve" in capsys.readouterr().err
