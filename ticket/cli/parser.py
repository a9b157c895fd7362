"""Every command with its flags, its help and an example. Nothing is imported for a command before it runs."""

import argparse
import importlib
import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, NoReturn

from ticket import __version__
from ticket.cli.desk_parser import desk_commands
from ticket.cli.due_parser import due_commands
from ticket.cli.learn_parser import learn_commands
from ticket.cli.money_parser import money_commands
from ticket.cli.paper_flags import FORMS, READERS, names_flag, number, output_flags, paper_flags
from ticket.cli.past_parser import past_commands
from ticket.cli.phrase_parser import phrase_command
from ticket.cli.proof_parser import proof_commands
from ticket.job.header_fields import CORRECTABLE, HEADER_FIELDS

if TYPE_CHECKING:
    from _typeshed import SupportsWrite


class Parser(argparse.ArgumentParser):
    """An argument parser whose complaint is one clear line."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the usage and where to read more. Raises :class:`UsageError`."""
        from ticket.job.errors import UsageError
        from ticket.job.text import sentence

        raise UsageError(f"{self.prog}: {sentence(message)}; see {self.prog} --help")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        """Of the many commands the one that was likely meant, not all of them."""
        known = list(action.choices or ())
        if action.nargs != argparse.PARSER or value in known:
            super()._check_value(action, value)
            return
        from difflib import get_close_matches

        near = get_close_matches(str(value), known, 1)
        meant = f"did you mean {self.prog} {near[0]}?" if near else f"{self.prog} --help names all"
        raise argparse.ArgumentError(None, f"there is no command {value!r}: {meant}")

    def _print_message(self, message: str, file: "SupportsWrite[str] | None" = None) -> None:
        """Help goes out like any answer: where it cannot be written, that is told."""
        if message and file is not sys.stderr:
            from ticket.cli.output import say

            say(message.rstrip("\n"))
        elif message:
            super()._print_message(message, file)


def _later(module: str, name: str) -> Callable[[argparse.Namespace], int]:
    """A command that is imported when it runs."""

    def run(options: argparse.Namespace) -> int:
        command = getattr(importlib.import_module(f"ticket.cli.{module}"), name)
        return int(command(options) or 0)

    return run


def _descriptor(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or int(text[:18]) >= 2**16:
        raise argparse.ArgumentTypeError(f"{text[:40]!r} is no file descriptor")
    return int(text)


def _common() -> Parser:
    common = Parser(add_help=False, argument_default=argparse.SUPPRESS)
    common.add_argument("--db", metavar="PATH", help="database file (else TICKET_DB, else your data folder)")
    common.add_argument("--by", metavar="NAME", help="who is working (else TICKET_PERSON, else your login name)")
    common.add_argument("--json", action="store_true", help="print facts as JSON")
    common.add_argument(
        "--pin-fd",
        type=_descriptor,
        metavar="N",
        help="read a PIN that is asked for from this file descriptor, one a line",
    )
    return common


def build_parser() -> Parser:
    """The whole command line."""
    parser = Parser(
        prog="ticket",
        description="A job ticket for vehicle repair. Without a command it opens the screens.",
        epilog="Exit codes: 0 done; 1 the answer is no; 2 wrong usage or input; 3 a fault of the program.\n\n"
        "examples:\n  ticket demo\n  ticket new --vehicle '2019 Corvane Alder'\n"
        "  ticket add 1 'found: LF pad 1.9 mm (min 3.0 per maker)'\n  ticket story 1\n  ticket cheat",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"ticket {__version__}")
    parser.add_argument("--db", metavar="PATH", default=None, help="database file")
    parser.add_argument("--by", metavar="NAME", default=None, help="who is working")
    parser.add_argument("--json", action="store_true", default=False, help=argparse.SUPPRESS)
    parser.set_defaults(run=_later("screens_command", "open_screens"), screen=True)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
    common = _common()

    def command(name: str, module: str, function: str, text: str, *examples: str) -> Parser:
        made = commands.add_parser(
            name,
            parents=[common],
            help=text,
            description=text[0].upper() + text[1:] + ".",
            epilog="examples:\n" + "\n".join(f"  {line}" for line in examples),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        made.set_defaults(run=_later(module, function))
        return made

    _jobs(command)
    _telling(command)
    _decoding(command)
    _closing(command)
    proof_commands(command, number)
    money_commands(command, number)
    desk_commands(command)
    learn_commands(command)
    _shop(command)
    return parser


def _header(made: Parser, names: Iterable[str] = tuple(HEADER_FIELDS)) -> None:
    for name in names:
        field = HEADER_FIELDS[name]
        flags = dict.fromkeys((field.flag, f"--{name}"))  # the second is what the flag was called before
        made.add_argument(
            *flags, dest=name.replace("-", "_"), metavar=field.metavar, default=None, help=field.help.replace("%", "%%")
        )


Command = Callable[..., Parser]


def _jobs(command: Command) -> None:
    made = command(
        "demo", "demo_command", "demo", "a scratch shop filled with invented jobs, opened on screen",
        "ticket demo", "ticket demo --no-screen", "ticket demo --keep practice.db",
    )  # fmt: skip
    made.add_argument("--no-screen", action="store_true", help="print the list and one story instead")
    made.add_argument("--keep", metavar="FILE", help="keep the shop, for practice; one kept before is opened again")
    made = command(
        "new", "ticket_commands", "new", "open a ticket; what you leave out is asked later",
        "ticket new",
        "ticket new --vehicle '2019 Corvane Alder' --plate FEN-204 --odometer-in '100214 mi' --customer 'Ada Fenn'",
    )  # fmt: skip
    _header(made)
    made = command(
        "set", "ticket_commands", "change_header", "set vehicle, customer, odometer or status of an open ticket",
        "ticket set 12 --odometer-out '100226 mi' --waits-for ready",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    _header(made)
    made.add_argument(
        "--waits-for", "--status", dest="status", metavar="WORDS",
        help="open, 'waiting for approval', 'waiting for parts' or ready",
    )  # fmt: skip
    made = command(
        "add", "ticket_commands", "add", "add entries: one line each, or - for lines on standard input",
        "ticket add 12 'found: LF inner pad 1.9 mm (min 3.0 per maker)'",
        "ticket add 12 - < lines.txt",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("lines", nargs="+", metavar="LINE", help="a line of the notation, or - for standard input")
    made.add_argument("--concern", default="", metavar="LETTER", help="the concern of lines that name none")
    made.add_argument("--accept", action="store_true", help="adopt the references that are proposed")
    made = command(
        "edit", "ticket_commands", "edit", "put another line in place of an entry of an open ticket",
        "ticket edit 12 3 'found: LF inner pad 1.8 mm (min 3.0 per maker)'",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("no", type=number, metavar="ENTRY", help="entry number")
    made.add_argument("line", metavar="LINE", help="the new line")
    made = command(
        "read", "read_command", "read_lines",
        "what lines mean, without a ticket; 1 where something is asked or not read",
        "ticket read 'did: replaced hose, 1 hr 20 min'", "ticket read --json - < lines.txt",
    )  # fmt: skip
    made.add_argument(
        "lines", nargs="+", metavar="LINE", help="a line of the notation, or - for lines on standard input"
    )
    made = command(
        "talk", "talk_command", "talk", "type a ticket line by line, each answered in a line; nothing is drawn",
        "ticket talk 12", "ticket talk", "ticket talk --json < lines.txt",
    )  # fmt: skip
    made.set_defaults(undrawn=True)  # its answers are read as they come: no bar is drawn over them
    made.add_argument("number", nargs="?", type=number, metavar="N", help="ticket number; left out, a new ticket")
    made = command(
        "strike", "ticket_commands", "strike", "take an entry back; it stays visible, struck", "ticket strike 12 3"
    )
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("no", type=number, metavar="ENTRY", help="entry number")
    made = command(
        "list", "list_command", "list_tickets", "the open tickets", "ticket list", "ticket list --all --json"
    )
    made.add_argument("--all", action="store_true", help="signed tickets too")
    names_flag(made)
    made = command(
        "show", "ticket_commands", "show", "one ticket with its entries", "ticket show 12", "ticket show 12 --json"
    )
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    names_flag(made)


def _telling(command: Command) -> None:
    made = command(
        "story", "story_commands", "story", "the story of a ticket for one reader",
        "ticket story 12", "ticket story 12 --as markdown -o story.md", "ticket story 12 --json",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("--for", dest="reader", default="customer", choices=READERS, help="who reads it")
    made.add_argument("--sources", action="store_true", help="show the entries each sentence rests on")
    made.add_argument("--numbers", action="store_true", help="show the place of each sentence, for ticket reword")
    made.add_argument("--entry", type=number, metavar="NO", help="only the sentences that rest on this entry")
    paper_flags(made, FORMS)
    names_flag(made)
    made = command(
        "paper", "paper_commands", "paper", "the whole copy of a ticket for one reader, to hand out or to print",
        "ticket paper 12 --as pdf -o ticket-12.pdf", "ticket paper 12 --for payer --as html -o ticket-12.html",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("--for", dest="reader", default="customer", choices=READERS, help="who reads it")
    made.add_argument("--sources", action="store_true", help="show the entries each sentence rests on")
    made.add_argument("--today", action="store_true", help="of a signed ticket, what today's settings would make of it")
    paper_flags(made)
    names_flag(made)
    made = command(
        "reword", "reword_command", "reworded",
        "put a sentence of a story into your own words; refused where they say more",
        "ticket story 12 --numbers", "ticket reword 12 3.2 'We also put back the cover.' --for customer",
        "ticket reword 12 3.2 'The cap held 9 psi, so we replaced it.' --with 17 --merge 3.3",
        "ticket reword 12 3.2 --undo", "ticket reword 12 --list",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("place", nargs="?", metavar="PLACE", help="place of the sentence, or the sentence itself")
    made.add_argument("text", nargs="?", metavar="TEXT", help="its new words")
    made.add_argument("--for", dest="reader", default="customer", choices=READERS, help="whose story")
    made.add_argument("--language", default="en", help=argparse.SUPPRESS)
    made.add_argument(
        "--with", dest="cites", nargs="+", default=[], metavar="ENTRY", help="further entries the new words draw on"
    )
    made.add_argument(
        "--merge",
        dest="merges",
        nargs="+",
        default=[],
        metavar="PLACE",
        help="further sentences of the same section that the new words stand in for",
    )
    made.add_argument("--keep", action="store_true", help="keep words the entries do not prove; the reason is kept")
    made.add_argument("--undo", action="store_true", help="take the rewording back")
    made.add_argument("--list", action="store_true", help="every rewording of the ticket")
    phrase_command(command)
    made = command("gaps", "story_commands", "gaps",
                   "what is missing or contradicts itself; 1 while a blocking gap stands",
                   "ticket gaps 12")  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    names_flag(made)
    past_commands(command)
    due_commands(command)


def _decoding(command: Command) -> None:
    made = command(
        "code", "decoding_commands", "code", "what fault codes mean, in any written form; also a pasted scan report",
        "ticket code P0562-16", "ticket code SPN 102 FMI 18", "ticket code - < report.txt",
        "ticket code --import our-codes.csv",
    )  # fmt: skip
    made.add_argument("text", nargs="*", metavar="TEXT", help="codes as written, or - for a report on standard input")
    made.add_argument("--import", dest="table", metavar="FILE", help="take in the shop's own list of codes (CSV)")
    made.add_argument(
        "--accept", action="append", default=[], metavar="CODE", help="let the new row replace the old one"
    )
    made = command(
        "check", "decoding_commands", "check_reading", "hold a reading against its limits; 1 unless within",
        "ticket check '4.0 mm (min 3.0)'", "ticket check 'LF 1.9 RF 4.4 mm (min 3.0)' --gauge 0.5",
    )  # fmt: skip
    made.add_argument("text", metavar="TEXT", help="a reading as in a finding")
    made.add_argument("--gauge", metavar="STEP", help="the smallest difference the gauge shows, in the reading's unit")
    made.add_argument("--uncertainty", metavar="U", help="the gauge's standard uncertainty, from its certificate")
    made = command("vin", "decoding_commands", "vin", "check a vehicle identification number; 1 when it is wrong",
                   "ticket vin 11111111111111111")  # fmt: skip
    made.add_argument("vin", metavar="VIN", help="as typed or scanned")


_CLOCK = "why it is right though the clock stands before what was written"


def _closing(command: Command) -> None:
    made = command(
        "sign", "closing_commands", "sign", "close a ticket for good",
        "ticket sign 12", "ticket sign 12 --overrule 'customer-missing=walked in, paid in cash'",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("--rev", type=number, help="the state that was read; refused if the ticket changed since")
    made.add_argument("--overrule", action="append", default=[], metavar="GAP=REASON", help="sign in spite of a gap")
    made.add_argument("--clock", default="", metavar="WHY", help=_CLOCK)
    made = command(
        "amend", "closing_commands", "amend", "correct a signed ticket openly",
        "ticket amend 12 --reason 'typed the wrong side' --replaces 5 'found: RF caliper pin seized'",
        "ticket amend 12 --reason 'plate misread' --plate 'RKM 318'",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    lines = made.add_argument(
        "lines", nargs="+", default=(), metavar="LINE",
        help="a line of the notation, or - for standard input; none where the header is corrected",
    )  # fmt: skip
    lines.required = False  # as "*" it would be taken as none where an option stands in front of it
    _header(made, CORRECTABLE)
    made.add_argument("--reason", required=True, metavar="TEXT", help="why the record changes")
    made.add_argument("--replaces", type=number, metavar="ENTRY", help="the entry the line stands in for")
    made.add_argument("--clock", default="", metavar="WHY", help=_CLOCK)
    made = command("load", "closing_commands", "load", "take tickets in from JSON documents or plain ticket files",
                   "ticket load job.json", "ticket load - < job.txt")  # fmt: skip
    made.add_argument("files", nargs="+", metavar="FILE", help="a file, or - for standard input")
    made = command(
        "dump", "closing_commands", "dump", "tickets as JSON documents", "ticket dump > all.json", "ticket dump 12",
        "ticket dump --customer 'Ada Fenn' -o ada-fenn.json", "ticket dump --since 2026-11-01 --as jsonl",
    )  # fmt: skip
    made.add_argument("numbers", nargs="*", type=number, metavar="N", help="ticket numbers; all if none")
    made.add_argument(
        "--as", dest="form", default="json", choices=("json", "jsonl", "lines"),
        help="JSON, JSON lines that name the shop, or plain ticket lines",
    )  # fmt: skip
    made.add_argument("--since", metavar="DAY", help="only tickets changed on this day or later")
    made.add_argument("--customer", default="", metavar="NAME", help="all that is kept of a customer; it is journaled")
    output_flags(made)
    names_flag(made)
    made = command(
        "picture", "paper_commands", "picture",
        "show the picture of an entry with the system's viewer, or write it to a file",
        "ticket picture 12 4", "ticket picture 12 4 -o fan-housing.jpg",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("no", type=number, metavar="ENTRY", help="number of the entry")
    output_flags(made)
    names_flag(made)


def _shop(command: Command) -> None:
    made = command(
        "shop", "shop_command", "shop", "the shop's settings and staff; name one to read it, add a value to set it",
        "ticket shop --start 'Wrenfold Garage'", "ticket shop", "ticket shop distance km",
        "ticket shop person 'K. Orlo' technician",
        "ticket shop prices our-prices.json", "ticket shop rules US-FL", "ticket shop pack our-rules.json",
        "ticket shop limits our-limits.json", "ticket shop limits --proposed", "ticket shop limits --keep 1",
        "ticket shop synonyms 'blinks = flickers'", "ticket shop checks 'worn pads = 10 min'",
        "ticket shop check our-prices.json", "ticket shop example prices > our-prices.json",
        "ticket shop keys", "ticket shop glossary 'VGT = turbo with moving vanes'", "ticket shop group bay",
        "ticket shop group bay --readable",
        "ticket shop key --new", "ticket shop key end 62zb-6rn7-keze-dy2i --why lost",
        "ticket shop pin", "ticket shop pin 'Ona Writer' --pin-fd 3 3< pins.txt",
    )  # fmt: skip
    made.add_argument(
        "key",
        nargs="?",
        metavar="NAME",
    )
    made.add_argument("value", nargs="*", metavar="VALUE", help="its new value")
    made.add_argument("--proposed", action="store_true", help="with limits: what was typed often enough to be kept")
    made.add_argument("--keep", type=number, metavar="N", help="with limits: take in a proposal by its number")
    made.add_argument("--readable", action="store_true", help="with group: every login here may read it, as an auditor")
    made.add_argument("--remove", action="store_true", help="with pin: take a person's PIN away")
    made.add_argument("--recover", action="store_true", help="with pin: set an owner's lost PIN by the recovery code")
    made.add_argument("--reset", action="store_true", help="with pin: take all PINs away, as the file's own login")
    made.add_argument("--new", action="store_true", help="with key: another key of this login that signs")
    made.add_argument("--why", default="", metavar="WHY", help="with key end KEY: lost, leaver or old")
    made.add_argument("--start", nargs="?", const="", metavar="NAME", help="make a shop where there is none")


if __name__ == "__main__":
    build_parser().print_help(sys.stdout)
