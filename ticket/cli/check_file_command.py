"""``ticket shop check FILE``: a file the shop wrote, looked at before it is taken in; where its mistakes are."""

import argparse
import re
from collections.abc import Callable, Iterator
from pathlib import PurePath
from typing import NamedTuple

from ticket.cli.output import read_text, say, say_as_it_is, say_json
from ticket.data import data_folder
from ticket.job.errors import DataError, InputError
from ticket.job.json_places import line_of, uncommented
from ticket.job.read_json import read_json
from ticket.job.regex import Regex
from ticket.job.text import one_line

EXAMPLES = {
    "prices": "price-list.json", "pack": "rule-pack.json", "limits": "limits-book.json", "codes": "codes.csv",
    "glossary": "glossary.txt", "phrasebook": "phrasebook.po", "keys": "keys.toml",
}  # fmt: skip


class Fault(NamedTuple):
    """What is wrong with a file: on which line (0 where that cannot be said), in which field, and why."""

    line: int
    field: str
    reason: str

    @property
    def words(self) -> str:
        """As it is told behind the name of the file."""
        spots = (f"line {self.line}" if self.line else "", self.field)
        return ": ".join(part for part in (", ".join(spot for spot in spots if spot), self.reason) if part)


class Kind(NamedTuple):
    """A sort of file: what it is called, how it is taken in, and what finds its faults."""

    name: str
    taken: str
    faults: Callable[[str, str], Iterator[Fault]]


def check(options: argparse.Namespace) -> int:
    """Look at a file; 1 where something in it is wrong. Nothing is taken in."""
    if len(options.value) != 1:
        raise InputError("Name one file: ticket shop check our-prices.json.")
    (name,) = options.value
    text = read_text(name, short=True)
    kind = kind_of(name, text)
    found = list(kind.faults(text, name))
    if options.json:
        said = [{"line": one.line or None, "field": one.field, "reason": one.reason} for one in found]
        say_json({"file": name, "kind": kind.name, "faults": said})
    else:
        for one in found:
            say(f"{name}, {one.words}.")
        if not found:
            say(f"{name} is a {kind.name} without a fault. Take it in: {kind.taken.format(file=name)}")
    return 1 if found else 0


def example(options: argparse.Namespace) -> None:
    """Print a complete, commented example of a file."""
    (name,) = options.value or ("",)
    if name not in EXAMPLES:
        raise InputError(f"Name the sort of file: ticket shop example {' | '.join(EXAMPLES)}.")
    text = (data_folder("examples") / EXAMPLES[name]).read_text(encoding="utf-8")
    if options.json:
        say_json({"file": EXAMPLES[name], "text": text})
    else:
        say_as_it_is(text.rstrip("\n"))


def kind_of(name: str, text: str) -> Kind:
    """What sort of file it is: by the format it names, else by the ending of its name."""
    ending = PurePath(name).suffix.lower()
    if ending in _BY_ENDING:
        return _BY_ENDING[ending]
    found = _FORMAT.search(text)
    if ending == ".json" or found:
        return _BY_FORMAT.get(found[1] if found else "", _BY_FORMAT["price-list-1"])
    raise InputError(
        f"{one_line(name)}: its name says nothing of what it is; a price list, rule pack or limits book ends in .json,"
        " a list of codes in .csv, a glossary in .txt, a phrasebook in .po, keys in .toml."
    )


# -- the sorts of files ------------------------------------------------------------------------------------------


def _document(text: str, name: str) -> Iterator[Fault]:
    """A JSON document, by the format it names."""
    from ticket.assist.limits_shelf import read_book, reads_back
    from ticket.money.prices import read_prices
    from ticket.rules.pack import field_words, read_pack

    bare = uncommented(text)
    try:
        data = read_json(bare)
        fmt = data.get("format", "") if isinstance(data, dict) else ""
        if fmt == "price-list-1":
            known = field_words()
            for i, one in enumerate(read_prices(text, name).details.statements):
                if one.field not in known:
                    spot = f"details/statements/{i}/field"
                    yield Fault(line_of(bare, spot), spot, f"no field {one.field!r} of a paper is known")
        elif fmt == "rule-pack-1":
            read_pack(text, name)
        elif fmt == "limits-book-1":
            for i, row in enumerate(read_book(text, name).limits):
                if not reads_back(row):
                    spot = f"limits/{i}"
                    yield Fault(line_of(bare, spot), spot, "its limits cannot be read behind a reading")
        else:
            formats = "price-list-1, rule-pack-1 or limits-book-1"
            yield Fault(line_of(bare, "format"), "format", f"it names none that a shop takes in: {formats}")
    except DataError as error:
        yield _in_document(bare, error, name)


def _in_document(text: str, error: DataError, name: str) -> Fault:
    spot = error.path.removeprefix(name).removeprefix(": ")
    told = re.search(r" in line (\d+)", error.reason)
    if told:  # it is no JSON: the reader has said where
        return Fault(int(told[1]), spot, error.reason.replace(told[0], ""))
    try:
        return Fault(line_of(text, spot), spot, error.reason)
    except ValueError:
        return Fault(0, spot, error.reason)


def _codes(text: str, name: str) -> Iterator[Fault]:
    from ticket.faults.table import load_csv

    try:
        load_csv(text)
    except DataError as error:
        line, _, field = error.path.partition("/")
        no = line.removeprefix("line ")
        yield Fault(int(no) if no.isdecimal() else 0, field if no.isdecimal() else error.path, error.reason)


def _glossary(text: str, name: str) -> Iterator[Fault]:
    from ticket.language.term_line import lines_of, read_term

    for no, line in lines_of(text):
        try:
            read_term(line)
        except InputError as error:
            yield Fault(no, "term", str(error).rstrip("."))


def _phrasebook(text: str, name: str) -> Iterator[Fault]:
    from ticket.language.po import read_book

    try:
        read_book(text, name)
    except InputError as error:
        said = str(error).removeprefix(name).lstrip(":, ").removesuffix("; nothing was taken in.").rstrip(".")
        told = re.match(r"line (\d+)(?:: |, )?", said)
        yield Fault(int(told[1]) if told else 0, "entry", said[told.end() :] if told else said)


def _keys(text: str, name: str) -> Iterator[Fault]:
    from ticket.screens.keys import read_keys

    for sentence in read_keys(text, name).refused:
        said = sentence.removeprefix(f"{name}: ").removeprefix(f"{name} ").rstrip(".")
        action, stays, why = said.partition(" stays as it came: ")
        if not stays:  # it is no TOML: the reader has said where, if it knew
            told = re.search(r"\(at line (\d+)", said)
            yield Fault(int(told[1]) if told else 0, "", said.removesuffix("; every key stays as it came"))
            continue
        lines = text.splitlines()
        at = next((no for no, line in enumerate(lines, 1) if re.match(rf"\s*{re.escape(action)}\s*=", line)), 0)
        yield Fault(at, action, why)


_FORMAT = Regex(r'"format"\s*:\s*"([a-z0-9-]+)"')
_BY_FORMAT = {
    "price-list-1": Kind("price list", "ticket shop prices {file}", _document),
    "rule-pack-1": Kind("rule pack", "ticket shop pack {file}", _document),
    "limits-book-1": Kind("limits book", "ticket shop limits {file}", _document),
}
_BY_ENDING = {
    ".csv": Kind("list of codes", "ticket code --import {file}", _codes),
    ".tsv": Kind("list of codes", "ticket code --import {file}", _codes),
    ".txt": Kind("glossary", "ticket shop glossary {file}", _glossary),
    ".po": Kind("phrasebook", "ticket phrases import {file}", _phrasebook),
    ".toml": Kind("file of keys", "put it where ticket shop keys says", _keys),
}
