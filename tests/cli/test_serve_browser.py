"""``ticket serve`` in a real browser: a fact typed there stands, nothing comes from outside, no other page gets in."""

import asyncio
import gc
import shutil
from asyncio.base_subprocess import BaseSubprocessTransport
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("textual_serve")
pytest.importorskip("playwright")
from aiohttp import web
from playwright.async_api import Browser, Page, async_playwright

from support.pins import PIN, make_cheap, with_pin
from support.served import running
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
pytestmark = [pytest.mark.slow, pytest.mark.skipif(BROWSER is None, reason="no browser is installed")]


@pytest.fixture
def served(database: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with one ticket, and one person who has a PIN."""
    make_cheap(monkeypatch)
    with Shop.open(database, "K. Orlo") as shop:
        new_ticket(shop, Header(Vehicle("Corvane Alder", plate="FEN-204"), Customer("Ivo Tammel")))
        with_pin(shop)
    return database


@asynccontextmanager
async def browser() -> AsyncIterator[Browser]:
    async with async_playwright() as made:
        # The superuser of a container has no sandbox to give; the pages are our own.
        opened = await made.chromium.launch(executable_path=BROWSER, args=["--no-sandbox", "--disable-gpu"])
        try:
            yield opened
        finally:
            await opened.close()
    for one in gc.get_objects():
        if isinstance(one, BaseSubprocessTransport):
            one.close()  # the library leaves it to the collector, which would warn in whatever comes next


async def enter(page: Page, url: str) -> None:
    """The PIN page, then the screens."""
    await page.goto(url)
    await page.fill("[name=person]", "K. Orlo")
    await page.fill("[name=pin]", PIN)
    await page.keyboard.press("Enter")
    await page.wait_for_selector("textarea.xterm-helper-textarea", state="attached", timeout=30_000)


async def until(done: Any) -> bool:
    """Whether something becomes so; looked at ten times a second, for as long as a slow machine may need."""
    for _ in range(300):
        if done():
            return True
        await asyncio.sleep(0.1)
    return False


async def test_a_fact_typed_in_a_browser_stands_in_the_shop_and_nothing_comes_from_outside(
    served: Path, tmp_path: Path
) -> None:
    def typed() -> bool:
        with Shop.open(served, "K. Orlo") as shop:
            return any("tie rod loose" in str(entry.fact) for entry in ticket_of(shop, 1).entries)

    async with running(served) as url, browser() as chrome:
        page = await chrome.new_page(viewport={"width": 1100, "height": 700})
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.on("websocket", lambda socket: asked.append(socket.url))
        await enter(page, url)
        await asyncio.sleep(4)  # the screens start in a process of their own
        await page.screenshot(path=tmp_path / "jobs.png")
        await page.click(".xterm-screen")
        await page.keyboard.press("Enter")  # the one ticket opens
        await asyncio.sleep(2)
        await page.screenshot(path=tmp_path / "open.png")
        await page.keyboard.type("found: tie rod loose", delay=20)
        await page.keyboard.press("Enter")
        found = await until(typed)
        await page.screenshot(path=tmp_path / "ticket.png")
        assert found
        own = (url, url.replace("http:", "ws:"), "data:", "blob:")
        assert asked
        assert [one for one in asked if not one.startswith(own)] == []


async def test_a_page_of_another_origin_gets_no_socket_though_the_browser_is_logged_in(served: Path) -> None:
    async def stranger(_: web.Request) -> web.Response:
        return web.Response(text="<title>stranger</title>", content_type="text/html")

    app = web.Application()
    app.router.add_get("/", stranger)
    runner = web.AppRunner(app)
    await runner.setup()
    site = web.TCPSite(runner, "127.0.0.1", 0)
    await site.start()
    port = site._server.sockets[0].getsockname()[1]  # type: ignore[union-attr]
    try:
        async with running(served) as url, browser() as chrome:
            page = await (await chrome.new_context()).new_page()
            await enter(page, url)
            other = await page.context.new_page()
            await other.goto(f"http://localhost:{port}/")
            opened = await other.evaluate(
                """address => new Promise(done => {
                    const socket = new WebSocket(address);
                    socket.onopen = () => done("open"); socket.onerror = () => done("refused");
                })""",
                url.replace("http:", "ws:") + "/ws",
            )
            assert opened == "refused"
            read = await other.evaluate("address => fetch(address).then(r => r.text(), () => 'refused')", url)
            assert read == "refused"
    finally:
        await runner.cleanup()
