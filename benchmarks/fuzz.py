"""Feeds the readers of lines, codes, queries, JSON, rule packs, price lists and settings what nobody would type.

``python benchmarks/fuzz.py SECONDS [SEED] [-o FILE]``. Each try is a mutation of a good text, drawn from a seed of its
own that is printed with a failure. A failure is: an error that is none of the program's own, more than a second of the
processor, or more than 300 MB of memory. Prints one line of JSON; leaves with 1 where anything failed. ``--again
TARGET`` with a seed does one try once more and shows its whole trace; ``--only`` names the readers to try.
"""

import argparse
import json
import random
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from ticket.data import data_folder
from ticket.job.errors import TicketError
from ticket.job.read_json import read_json

MOST_CPU = 1.0  # seconds of the processor for one try
MOST_MEMORY = 300  # MB
HANGS = 20  # seconds on the wall after which a try is stopped
LONGEST = 20_000  # characters of a try: what a terminal or a file may well bring
SHORTEST_LONG = 1_500  # a line above this is a block for its reader

ODD = (
    *("\0", "\x1b[2J", "\u202e", "\u200b", "\U000e0041", "\u3164", "\ufeff", "\ud800", "²", "٣", "½", "−", "°"),
    *("9" * 40, "9" * 5000, "0." + "0" * 400 + "1", " " * 300, "a" * 3000, "\u0300" * 50, "\n", "\r\n", "\t", "; "),
    *"NaN 1e400 -0 (((( [[[[ {} \\ \" ' '' ; : :: @ # +- ± % <= > ~ to per min max of e 0x U none null".split(" "),
    *("for 1 2 3", "from 9999", "in 0 mi", "by 9999-12-31", "at 24:61", "25:00", "12:00-11:00", "est -1"),
    *("total 1.2.3", "P0562-16", "SPN 102 FMI 31", "1/2/3", "1 1/2 1/0", "LF RF LR RR", "mm mm", "kPa/psi"),
)


@dataclass(frozen=True, slots=True)
class Target:
    """One reader.

    Attributes:
        samples: good texts.
        run: gives it a text.
    """

    samples: tuple[str, ...]
    run: Callable[[str], object]


@dataclass(frozen=True, slots=True)
class Failed:
    """One try that failed."""

    target: str
    seed: int
    why: str
    where: str
    text: str


# -- good texts, and how they are spoilt ---------------------------------------------------------------------------


def mutated(dice: random.Random, samples: tuple[str, ...]) -> str:
    """A good text with a few things wrong."""
    text = dice.choice(samples)
    if len(text) > LONGEST // 4 and dice.random() < 0.5:
        start = dice.randrange(len(text))
        text = text[start : start + dice.randrange(1, LONGEST // 4)]
    for _ in range(dice.choice((1, 1, 2, 3, 5, 12))):
        text = dice.choice(_WAYS)(dice, text, samples)
    return text[:LONGEST]


def _insert(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    at = dice.randrange(len(text) + 1)
    return text[:at] + dice.choice(ODD) + text[at:]


def _drop(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    at = dice.randrange(len(text) + 1)
    return text[:at] + text[at + dice.choice((1, 2, 9, 60)) :]


def _swap(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    words = text.split(" ")
    i, j = dice.randrange(len(words)), dice.randrange(len(words))
    words[i], words[j] = words[j], words[i]
    return " ".join(words)


def _repeat(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    at, size = dice.randrange(len(text) + 1), dice.choice((1, 3, 20, 200))
    return text[:at] + text[at : at + size] * dice.choice((2, 8, 60)) + text[at + size :]


def _splice(dice: random.Random, text: str, samples: tuple[str, ...]) -> str:
    other = dice.choice(samples)
    return text[: dice.randrange(len(text) + 1)] + other[dice.randrange(len(other) + 1) :]


def _letter(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    if not text:
        return chr(dice.randrange(32, 0x2FF))
    at = dice.randrange(len(text))
    return text[:at] + chr(dice.choice((dice.randrange(32, 127), dice.randrange(0xA0, 0x3000)))) + text[at + 1 :]


def _digits(dice: random.Random, text: str, _: tuple[str, ...]) -> str:
    return "".join(dice.choice("0123456789.,/-") if one.isdigit() and dice.random() < 0.4 else one for one in text)


_WAYS = (_insert, _insert, _drop, _swap, _repeat, _splice, _letter, _digits)


# -- JSON is spoilt by value, so that it stays JSON ------------------------------------------------------------------

_VALUES: tuple[Any, ...] = (
    *(None, True, 0, -1, 10**17, 1e308, -0.0, [], {}, [[]], {"": {}}, ["a", 1], {"value": None}),
    *("", "x", "\0", "9" * 5000, "2026-02-30", "0001-01-01", "NaN", "\u202e", "1/0", "١"),
)


def mutated_json(dice: random.Random, samples: tuple[str, ...]) -> str:
    """A document with a few of its values, keys or lists changed; now and then one that is no JSON any more."""
    if dice.random() < 0.2:
        return mutated(dice, samples)
    value = json.loads(dice.choice(samples))
    for _ in range(dice.choice((1, 1, 2, 4))):
        _spoil(dice, value)
    return json.dumps(value)[: 4 * LONGEST]


def _spoil(dice: random.Random, value: Any) -> None:
    places = list(_places(value))
    if not places:
        return
    holder, key = dice.choice(places)
    way = dice.randrange(5)
    if way == 0:
        del holder[key]
    elif way == 1 and isinstance(holder, dict):
        holder[dice.choice(("", "no", "kind", "x" * 400, "\0", str(key).upper()))] = holder.pop(key)
    elif way == 2 and isinstance(holder, list):
        holder.extend([holder[key]] * dice.choice((1, 40)))
    elif way == 3 and isinstance(holder[key], str):
        holder[key] = mutated(dice, (holder[key],))[:2000]
    else:
        holder[key] = deepcopy(dice.choice(_VALUES))


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    if not isinstance(value, dict | list):
        return
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        yield from _places(value[key])


# -- the readers -----------------------------------------------------------------------------------------------------


def targets(folder: Path) -> Mapping[str, Target]:
    """Every reader, with a shop of its own where it needs one."""
    from ticket.faults.report import parse_report
    from ticket.faults.table import load_csv
    from ticket.faults.written import parse
    from ticket.language.po import read_book
    from ticket.money.prices import read_prices
    from ticket.notes.file import read_file, write_file
    from ticket.rules.pack import load, pack_document, packaged, read_pack
    from ticket.shop.changing import add_lines, load_documents, new_ticket
    from ticket.shop.opening import Shop
    from ticket.shop.past import find_jobs
    from ticket.shop.reading import story_of, ticket_of
    from ticket.shop.settings import flaw, items

    prices = json.dumps(json.loads((data_folder("demo_jobs") / "shop.json").read_text(encoding="utf-8"))["prices"])
    documents = tuple(path.read_text(encoding="utf-8") for path in sorted(data_folder("demo_jobs").glob("*.json")))
    shop = Shop.open(folder / "fuzz.db", "K. Orlo", now=lambda: datetime(2026, 3, 2, 14, tzinfo=UTC))
    load_documents(
        shop, [("demo", text) for text in documents if text.lstrip().startswith("{") and '"entries"' in text]
    )
    numbers = shop.store.numbers()
    lines = tuple(line for number in numbers for line in write_file(ticket_of(shop, number)).splitlines() if line)
    files = tuple(write_file(ticket_of(shop, number)) for number in numbers)
    codes = tuple(line.removeprefix("code:").strip() for line in lines if line.startswith("code:"))
    codes += ("P0562-16", "SPN 102 FMI 18", "U0100", "0x056216", "P1A30-7B fan control, stored", "59 02 FF 05 62 16 2F")
    queries = ("P0562 flickers since:2026-03", "part:4410-77", "plate:FEN-204 vehicle:alder", '"wheel hum" until:2026')

    def whole(text: str) -> None:
        number = new_ticket(shop)
        add_lines(shop, number, text, accept=True)
        story_of(shop, number, "customer")

    def document(text: str) -> None:
        data = read_json(text)
        if isinstance(data, dict):
            data["number"] = (
                max(shop.store.numbers()) + 1 if isinstance(data.get("number"), int) else data.get("number")
            )
        (number,) = load_documents(shop, [("fuzz.json", json.dumps(data))]).numbers
        story_of(shop, number, "shop")

    keys = [item.key for item in items(shop)]

    def setting(text: str) -> None:
        key, _, typed = text.partition("\t")
        flaw(shop, key if key in keys else keys[len(text) % len(keys)], typed)

    return {
        "lines": Target(lines, read_lines),
        "files": Target(files, read_file),
        "tickets": Target(files, whole),
        "codes": Target(codes, parse),
        "reports": Target(("\n".join(codes), *codes), parse_report),
        "code tables": Target(("code,plain,trade,area,source\nP1A30,fan drive,fan,body,maker\n",), load_csv),
        "queries": Target(queries, lambda text: find_jobs(shop, text)),
        "documents": Target(documents, document),
        "packs": Target(tuple(json.dumps(pack_document(load(one))) for one in packaged()), read_pack),
        "prices": Target((prices,), read_prices),
        "settings": Target(tuple(f"{item.key}\t{item.value or item.hint}" for item in items(shop)), setting),
        "phrases": Target((_PO,), lambda text: read_book(text, "fuzz.po")),
    }


def read_lines(text: str) -> object:
    """A line as it is read at every key."""
    from ticket.notes.read import read

    return read(text[:SHORTEST_LONG], people=("K. Orlo",), live=True)


_PO = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\\n"

msgid "loose heat shield"
msgstr "the heat shield was loose"
"""

JSON_TARGETS = ("documents", "packs", "prices")


def spoilt(name: str, target: Target, seed: int) -> str:
    """The text of one try."""
    dice = random.Random(f"{name}/{seed}")
    return (mutated_json if name in JSON_TARGETS else mutated)(dice, target.samples)


class HangError(Exception):
    """A try took too long."""


def one_try(name: str, target: Target, seed: int) -> Failed | None:
    """Give one spoilt text to its reader."""
    text = spoilt(name, target, seed)
    began = time.process_time()
    signal.setitimer(signal.ITIMER_REAL, HANGS)
    why = where = ""
    try:
        target.run(text)
    except TicketError:
        pass
    except Exception as error:  # noqa: BLE001 - every other error is what is looked for
        last = traceback.extract_tb(error.__traceback__)[-1]
        why, where = f"{type(error).__name__}: {str(error)[:200]}", f"{Path(last.filename).name}:{last.lineno}"
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
    took = time.process_time() - began
    if not why and took > MOST_CPU:
        why = f"slow: {took:.1f} s of the processor for {len(text)} characters"
    return Failed(name, seed, why, where, text[:400]) if why else None


def _stop(_signal: int, _frame: object) -> None:
    raise HangError


def main() -> int:
    """Try for so many seconds; each reader gets the same time."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("seconds", type=float)
    parser.add_argument("seed", type=int, nargs="?", default=1)
    parser.add_argument("-o", "--output", type=Path)
    parser.add_argument("--again", metavar="TARGET", help="do one try again, by its seed, and show its trace")
    parser.add_argument("--only", nargs="+", default=[], metavar="TARGET", help="the readers to try; all if none")
    parser.add_argument("--show", type=int, default=40, help="how many failures are printed")
    options = parser.parse_args()
    signal.signal(signal.SIGALRM, _stop)
    with TemporaryDirectory() as folder:
        known = targets(Path(folder))
        if options.again:
            text = spoilt(options.again, known[options.again], options.seed)
            print(repr(text))
            known[options.again].run(text)
            return 0
        known = {name: one for name, one in known.items() if not options.only or name in options.only}
        failed, counts = _run(known, options.seconds, options.seed, options.output)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    kinds = Counter(f"{one.target}: {one.why.split(':')[0]} {one.where}" for one in failed)
    print(json.dumps({"tries": counts, "failed": len(failed), "kinds": kinds, "memory_mb": memory}))
    for one in failed[: options.show]:
        print(
            json.dumps({"target": one.target, "seed": one.seed, "why": one.why, "where": one.where, "text": one.text})
        )
    return 1 if failed or memory > MOST_MEMORY else 0


def _run(
    known: Mapping[str, Target], seconds: float, seed: int, output: Path | None
) -> tuple[list[Failed], dict[str, int]]:
    failed: list[Failed] = []
    counts = dict.fromkeys(known, 0)
    spent = dict.fromkeys(known, 0.0)
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        name = min(known, key=spent.__getitem__)
        began = time.process_time()
        found = one_try(name, known[name], seed + counts[name])
        counts[name] += 1
        spent[name] += time.process_time() - began + 1e-5
        if found is not None:
            failed.append(found)
            if output is not None:
                with output.open("a", encoding="utf-8") as stream:
                    stream.write(
                        json.dumps({"target": name, "seed": found.seed, "why": found.why, "where": found.where}) + "\n"
                    )
    return failed, counts


if __name__ == "__main__":
    sys.exit(main())
