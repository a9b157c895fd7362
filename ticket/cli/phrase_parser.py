"""The flags of the command for the phrasebook, with its help and its examples."""

import argparse
from collections.abc import Callable


def phrase_command(command: "Callable[..., argparse.ArgumentParser]") -> None:
    """Add ``ticket phrases``."""
    made = command(
        "phrases", "phrasebook_commands", "phrases",
        "the phrasebook: notes that wait for plain words, worst first; take, teach, search, take back, trade",
        "ticket phrases", "ticket phrases 31", "ticket phrases take 31/4 'The pump held 118 psi.' --clause",
        "ticket phrases word swivel thing --plural swivels", "ticket phrases find growl", "ticket phrases back 17",
        "ticket phrases export book.po --language es", "ticket phrases import book.po", "ticket phrases take 18",
    )  # fmt: skip
    made.add_argument(
        "words", nargs="*", metavar="WORDS",
        help="nothing, a ticket number, or take N/ENTRY TEXT, take NO, word WORD CLASS, find WORDS, back NO,"
        " export FILE, import FILE",
    )  # fmt: skip
    width = made.add_mutually_exclusive_group()
    width.add_argument("--clause", action="store_true", help="with take: keep it for every line with such a phrase")
    width.add_argument("--line", action="store_true", help="with take: keep it for every such whole line")
    made.add_argument("--keep", action="store_true", help="with take: also words that the entries do not prove")
    made.add_argument("--told", default="", metavar="WORDS", help="with word: how it is told, where not as typed")
    made.add_argument("--plural", default="", metavar="WORD", help="with word: its plural as typed, where irregular")
    made.add_argument("--told-plural", default="", metavar="WORDS", help="with word: the plural of what is told")
    made.add_argument("--past", default="", metavar="WORD", help="with word: the past of a doing, where irregular")
    made.add_argument("--gender", default="", choices=("m", "f"), help="with word: in languages that have it")
    made.add_argument("--language", default="", help="of the wording, such as es; left out, the shop's")
    made.add_argument("--force", action="store_true", help="with export: let it take the place of a file")
