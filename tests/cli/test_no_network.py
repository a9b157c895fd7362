"""The main job, from typed lines to a signed paper and its proof, with every way to the network blocked.

CPython raises an audit event before each call of its socket module (PEP 578); a hook that refuses them cannot be taken
away again, so it is set in processes of their own.
"""

import asyncio
import os
import shutil
import socket
import subprocess
import sys
import traceback
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.screens.app import TicketApp
from ticket.shop.opening import Shop

REFUSED = (
    "socket.connect", "socket.bind", "socket.sendto", "socket.sendmsg", "socket.getaddrinfo", "socket.gethostbyname",
    "socket.gethostbyaddr", "socket.getnameinfo", "socket.getservbyname", "urllib.Request", "http.client.connect",
    "smtplib.connect", "ftplib.connect", "imaplib.open", "webbrowser.open",
)  # fmt: skip

JOB = (
    ("new", "--vehicle", "Corvane Alder", "--customer", "Ivo Tammel", "--odometer-in", "91804 mi"),
    ("add", "1", "says: battery light flickers", "code: P0562-16 engine computer, stored"),
    ("add", "1", "found: voltage drop stud to B+ 2.1 V (max 0.2)", "cause: corroded cable eyelet; from 3"),
    ("add", "1", "told: Ivo Tammel by phone 555-0171, yes; total 138.00", "did: 0.9 h clean cable eyelet"),
    ("add", "1", "proof: 3 now 0.06 V", "proof: codes read again, none stored", "later: pads; in 500 mi; because thin"),
    ("read", "did: replaced hose, 1 hr 20 min"), ("gaps", "1"), ("story", "1"), ("story", "1", "--language", "es"),
    ("bill", "1"), ("before", "P0562"), ("past", "cable"), ("due",), ("due", "--as", "ics"), ("list",), ("show", "1"),
    ("sign", "1", "--overrule", "code-not-read-again=read", "--overrule", "customer-missing=x"),
    ("paper", "1", "--as", "pdf", "-o", "paper.pdf"), ("paper", "1", "--as", "html"), ("dump", "1", "-o", "job.json"),
    ("head",), ("audit", "--deep"), ("audit", "--against", "paper.pdf"), ("backup", "copy.db"),
)  # fmt: skip


def blocked(work: Callable[[], object]) -> int:
    """Do something in a process that cannot reach any network; its exit code, 99 where it tried."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    code = 98

    def refuse(event: str, _: tuple[object, ...]) -> None:
        if event in REFUSED:
            traceback.print_stack()
            os._exit(99)

    try:
        sys.addaudithook(refuse)
        work()
        code = 0
    finally:
        if code:
            traceback.print_exc()
        os._exit(code)


def test_the_block_blocks() -> None:
    assert blocked(lambda: None) == 0
    assert blocked(lambda: socket.create_connection(("127.0.0.1", 9)).close()) == 99
    assert blocked(lambda: bool(socket.getaddrinfo("localhost", 80))) == 99


def job() -> None:
    """The whole of it, in this process."""
    for words in JOB:
        assert main(words) in (0, 1), words


@pytest.mark.slow
def test_the_main_job_needs_no_network(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "shop.db"))
    monkeypatch.setenv("TICKET_PERSON", "K. Orlo")
    folders = [str(Path(__file__).parent), str(Path(__file__).parents[1]), os.environ["PYTHONPATH"]]
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(folders))
    # a new interpreter: what makes PDFs has threads in this one by now, which a copy of it would wait for
    script = "import sys, test_no_network as here; sys.exit(here.blocked(here.job))"
    done = subprocess.run([sys.executable, "-c", script], cwd=tmp_path, check=False, capture_output=True, timeout=120)
    assert done.returncode == 0, done.stderr.decode()
    assert (tmp_path / "paper.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "copy.db").exists()


def test_the_screens_need_no_network(database: Path) -> None:
    async def work() -> None:
        app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause(0.3)
            await pilot.press("ctrl+n")
            await pilot.pause(0.2)
            await pilot.press("ctrl+f")
            await pilot.pause(0.2)
            app.close_shop()

    assert blocked(lambda: asyncio.run(work())) == 0


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("unshare") is None, reason="no unshare here")
def test_the_job_is_done_on_a_machine_without_a_network(tmp_path: Path) -> None:
    """The installed program where there is no network at all: what libraries do below Python fails there too."""
    alone = ["unshare", "--net", "--map-root-user"]
    if subprocess.run([*alone, "true"], capture_output=True, check=False).returncode:
        pytest.skip("this login may not make a network of its own")
    program = str(Path(sys.executable).with_name("ticket"))
    for words in JOB:
        run = subprocess.run(
            [*alone, program, "--db", str(tmp_path / "shop.db"), *words],
            cwd=tmp_path, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert run.returncode in (0, 1), (words, run.stderr)
