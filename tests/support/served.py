"""The pages of a shop, served on a free port of this machine."""

import socket
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from aiohttp import web

from ticket.cli.web_server import ShopServer


@asynccontextmanager
async def running(database: Path) -> AsyncIterator[str]:
    """The server on a free port; where it is."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    url = f"http://localhost:{port}"
    server = ShopServer(database, "127.0.0.1", port, url)
    runner = web.AppRunner(await server._make_app())
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", port).start()
    try:
        yield url
    finally:
        await runner.cleanup()
