"""The flags of the commands that prove, copy and mend a shop's file, with their help and their examples."""

import argparse
from collections.abc import Callable

from ticket.cli.paper_flags import FORMS


def proof_commands(
    command: "Callable[..., argparse.ArgumentParser]", number: Callable[[str], int]
) -> None:  # fmt: skip
    """Add ``ticket audit``, ``index`` and ``backup``."""
    made = command(
        "audit", "auditing", "audit", "prove that nothing was altered, and name all that was; 1 if anything was",
        "ticket audit", "ticket audit --deep", "ticket audit --against 40-768b561a16e04062",
        "ticket audit --against ticket-12.pdf --against heads.jsonl",
    )  # fmt: skip
    made.add_argument("--deep", action="store_true", help="also prove every seal anew, and look at all indexes")
    made.add_argument(
        "--against", action="append", default=[], metavar="KEPT",
        help="a record as printed, or a file that was kept elsewhere: a paper, heads, a ticket document, a copy",
    )  # fmt: skip
    made = command(
        "head", "head_command", "head", "the newest row of the journal, signed: kept elsewhere it shows later changes",
        "ticket head", "ticket head -o head.json", "ticket head --keys", "ticket head --as pdf -o head.pdf",
    )  # fmt: skip
    made.add_argument(
        "--as", dest="form", choices=FORMS, help="as a page to print and keep; left out, for programs too"
    )
    made.add_argument("--keys", action="store_true", help="the public keys of the shop, for an auditor to keep")
    made.add_argument("-o", "--output", metavar="FILE", help="write to a new file, or - for standard output")
    made.add_argument("--force", action="store_true", help="let it take the place of a file that is there")
    made = command(
        "index", "auditing", "index", "what makes tickets quick to find: compare it with the entries, or make it anew",
        "ticket index --check", "ticket index --rebuild",
    )  # fmt: skip
    how = made.add_mutually_exclusive_group()
    how.add_argument("--check", action="store_true", help="name what differs from the entries; 1 if anything does")
    how.add_argument("--rebuild", action="store_true", help="throw it away and make it anew")
    made = command(
        "backup", "restore_commands", "backup", "a checked copy of the database while everyone keeps working",
        "ticket backup copy.db", "ticket backup copies --keep 14",
    )  # fmt: skip
    made.add_argument("file", metavar="FILE", help="the copy, or with --keep a folder for copies")
    made.add_argument("--keep", type=number, metavar="N", help="keep so many of the newest copies in the folder")
    made = command(
        "restore", "restore_commands", "restore", "put a checked copy back; the present file is never written over",
        "ticket restore copies/shop-2026-11-29-r412-2760a1.db --aside", "ticket restore copy.db --to other/shop.db",
    )  # fmt: skip
    made.add_argument("copy", metavar="COPY", help="a copy made by ticket backup")
    made.add_argument("--to", metavar="PATH", help="where to put it; left out, the shop's own place")
    made.add_argument("--aside", action="store_true", help="rename the file that stands there and keep it beside")
    made = command(
        "rescue", "restore_commands", "rescue", "make a new shop from what can be read of a damaged file",
        "ticket rescue shop.db new.db",
    )  # fmt: skip
    made.add_argument("damaged", metavar="FILE", help="the damaged file, which is only read")
    made.add_argument("new", metavar="NEW", help="the new shop")
    made = command(
        "forget", "forget_command", "forget",
        "forget a customer: names, and texts that hold them; lists what would go, does it with --yes",
        "ticket forget --customer 'Ada Fenn'", "ticket forget --plate FEN-204 --yes --why 'asked for in writing'",
    )  # fmt: skip
    made.add_argument("number", nargs="?", type=number, metavar="N", help="a ticket of the customer, that one alone")
    made.add_argument("--plate", default="", metavar="TEXT", help="all tickets of that vehicle")
    made.add_argument("--customer", default="", metavar="NAME", help="all tickets of the customer of that name")
    made.add_argument("--also", action="append", default=[], type=number, metavar="ROW",
                      help="a row of another ticket that holds the name")  # fmt: skip
    made.add_argument(
        "--due", action="store_true", help="list customers whose records no local rule asks to keep longer"
    )
    made.add_argument("--open", action="store_true", help="also where a ticket is not signed yet")
    made.add_argument("--copies", action="store_true", help="with --yes: make a new copy and take the older ones away")
    made.add_argument("--yes", action="store_true", help="do it")
    made.add_argument("--why", default="", metavar="TEXT", help="the reason, kept in the journal; no name in it")
