"""``ticket serve``: the screens in a browser of the shop's own network. It starts only where somebody has a PIN."""

import argparse
import asyncio
import ipaddress
from importlib.util import find_spec

from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark, say, say_json, send
from ticket.job.errors import InputError, extra_words
from ticket.machine.environment import database_path

_WIDER = (
    "Whoever reaches {host} may try PINs, and what is typed goes over the network unencrypted: use it inside the shop's"
    " own network only, or better an SSH tunnel (ssh -L {port}:localhost:{port} MACHINE)."
)


def serve(options: argparse.Namespace) -> None:
    """Serve until Ctrl+C."""
    if find_spec("textual_serve") is None:
        raise InputError(f"Pages are served with {extra_words('serve')}")
    with open_shop(options) as shop:
        if not shop.gate.known():
            raise InputError(
                "Nobody in this shop has a PIN, and a browser is shown nothing without: set one with ticket shop pin."
            )
    name = options.name or ("localhost" if is_loopback(options.host) else "")
    if not name:
        raise InputError("Name what people type into the browser: --name shop-pc, or the address of this machine.")
    public_url = f"http://{name}:{options.port}"
    if not is_loopback(options.host):
        remark(_WIDER.format(host=options.host, port=options.port))
    if options.json:
        say_json({"url": public_url, "host": options.host, "port": options.port})
    else:
        say(f"The shop is at {public_url}. Ctrl+C ends it.")
    send()
    from ticket.cli.web_server import ShopServer

    server = ShopServer(database_path(options.db).absolute(), options.host, options.port, public_url)
    asyncio.set_event_loop(asyncio.new_event_loop())
    try:
        server.serve()
    except OSError as error:
        raise InputError(
            f"{options.host}:{options.port} cannot be listened on: {(error.strerror or '').lower()}."
        ) from error


def is_loopback(host: str) -> bool:
    """Whether an address is this machine's alone."""
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
