"""How many keys the demo jobs cost to enter with completion, against the same facts as bare prose.

``python benchmarks/keystrokes.py`` prints one line a job and exits with 1 where a job is above the goal.
``python benchmarks/keystrokes.py FOLDER`` takes the ``.notes`` files of a folder instead, typed one after the other
into an empty shop and held against their shorthand (``shorthand.py``); it exits with 1 where all together are above
that goal.

*Keys.* Each entry is typed as its shortest line that gives the same fact (short or no lead, references left out where
the program proposes the very same ones and Enter takes them). One key for each character, one for Enter, one for ``→``
(takes the completion), one for Ctrl+→ (takes one word of it), one for each step to another completion; a capital letter
and Shift count as one key, as a character of prose does. The line is judged by what the program makes of it, not by
how it looks. The simulated typist looks at every completion and takes one where it saves a key.

*Past.* The shop holds the demo jobs with lower numbers, as it would have when the job came in; the ticket holds the
header (vehicle, customer) and the entries typed before. The first job of all has no past to complete from.

*Bare prose.* What a careful person would write by hand, one sentence a fact: every field value in words as the entry
holds it, a comma and a space between values, a full stop and a space at the end; a reading's limits in brackets. Kinds,
labels and the entries a fact rests on are left out altogether, so prose is measured as short as it can be.
"""

import argparse
import json
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from shorthand import jobs_in, shorthand, ways_to_type

from ticket.assist.completing import complete, next_word
from ticket.assist.typing_context import TypingContext, codes_of, gather
from ticket.data import data_folder
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import KINDS, Fact, Used
from ticket.job.ticket import Person, Ticket
from ticket.job.ticket_document import from_document
from ticket.notes.filled import on_form
from ticket.notes.lead import SHORT
from ticket.notes.write import write
from ticket.scratch_shop import SHOP_FILE
from ticket.shop.opening import Shop, add_person, set_setting
from ticket.shop.reading import ticket_of, understand

GOAL = 1.10
SHORTHAND_GOAL = 1.25
_LEADS = {kind: short for short, kind in SHORT.items()}
_NO_PROSE = ("refs", "of")  # what a fact rests on: prose leaves it to the reader


def prose(fact: Fact) -> str:
    """A fact as the shortest sentence that holds its values."""
    return ", ".join(text for spec, text in on_form(fact) if text and spec.name not in _NO_PROSE) + ". "


@dataclass(frozen=True, slots=True)
class Way:
    """A line, and whether the entries proposed for it must be dropped with a key of their own."""

    line: str
    drop: bool = False


def lines_of(shop: Shop, ticket: Ticket, entry: Entry, sticky: str, raw: str = "") -> list[Way]:
    """Lines that the program would make into this very entry, shortest first; ``raw`` is the line it came from."""
    bare = replace(entry.fact, refs=()) if getattr(entry.fact, "refs", ()) else entry.fact  # type: ignore[call-arg]
    lead, short = f"{entry.kind}: ", f"{_LEADS[entry.kind]}: "
    typed: set[str] = set(ways_to_type(raw)) if raw else set()
    for fact in (entry.fact, bare):
        for concern in (entry.concern, ""):
            line = write(fact, concern=concern, shop_only=entry.shop_only)
            typed |= {line, line.replace(lead, short, 1), line.replace(lead, "", 1)}
    ways = [
        way for line in typed for way in (Way(line), Way(line, drop=True)) if _gives(shop, ticket, entry, way, sticky)
    ]
    return sorted(ways, key=lambda way: (len(way.line) + way.drop, way.line))


def _gives(shop: Shop, ticket: Ticket, entry: Entry, way: Way, sticky: str) -> bool:
    settled = understand(shop, ticket, way.line, sticky)
    if len(settled) != 1 or way.drop > bool(settled[0].proposed):
        return False
    draft = settled[0].draft
    fact = draft.fact if way.drop else settled[0].accepted
    return (fact, draft.concern, draft.shop_only) == (entry.fact, entry.concern, entry.shop_only)


def around(shop: Shop, ticket: Ticket, case: Case) -> TypingContext:
    """What completion knows at this moment."""
    beside = [(code, shop.store.phrases_beside(code, sub)) for code, sub in codes_of(ticket)]
    return gather(replace(case, ticket=ticket), beside)


def keys_for(shop: Shop, known: TypingContext, wanted: Way, detours: Iterable[str]) -> list[str]:
    """The keys of the cheapest way to a line, Enter included: a shortest path over its beginnings.

    A completion may also rewrite what was typed (put hours or a part number in front), so the beginnings of the
    detours are tried too.
    """
    target = wanted.line
    best: dict[str, list[str]] = {"": []}
    for detour in detours:
        for end in range(1, len(detour) + 1):
            _complete(shop, known, target, best, detour[:end], list(detour[:end]))
    for at in range(len(target)):
        line = target[:at]
        if line in best:
            _offer(best, target[: at + 1], [*best[line], target[at]])
            _complete(shop, known, target, best, line, best[line])
    return [*best[target], *["alt+j"] * wanted.drop, "enter"]


def _complete(
    shop: Shop, known: TypingContext, target: str, best: dict[str, list[str]], line: str, way: list[str]
) -> None:  # fmt: skip
    for steps, candidate in enumerate(complete(line, known, shop.store.phrases)):
        for key, taken in (("right", candidate.line), ("ctrl+right", next_word(line, candidate.line))):
            if target.startswith(taken) and taken != line:
                _offer(best, taken, [*way, *["alt+down"] * steps, key])


def _offer(best: dict[str, list[str]], line: str, way: list[str]) -> None:
    if line not in best or len(way) < len(best[line]):
        best[line] = way


def detours_of(fact: Fact, line: str) -> list[str]:
    """Lines that begin with the words of the fact, with and without the amount in front of them."""
    lead = line[: line.find(": ") + 2] if ": " in line else ""
    text, part = getattr(fact, "text", ""), getattr(fact, "part", "")
    amount = f"{fact.amount} {fact.unit} " if isinstance(fact, Used) else ""
    if fact.kind not in ("did", "used"):
        return []
    return [lead + start + words for start in {"", amount} for words in (text, part) if words]


@dataclass(frozen=True, slots=True)
class Count:
    """What one job cost.

    Attributes:
        name: of the job.
        keys: the keys of each line.
        plain: keys without any completion.
        prose: characters of the same facts as bare prose.
        odd: entries for which no line was found that the program makes into the very same entry.
        entries: kind and characters of each, beside its ``keys``.
    """

    name: str
    keys: list[list[str]]
    plain: int
    prose: int
    odd: list[str]
    entries: list[tuple[str, int]]

    @property
    def pressed(self) -> int:
        """Keys of the whole job."""
        return sum(len(keys) for keys in self.keys)

    @property
    def ratio(self) -> float:
        """Keys for each character of prose."""
        return self.pressed / self.prose


def count(shop: Shop, name: str, ticket: Ticket, raw: Sequence[str] = ()) -> Count:
    """Type a job into a shop that holds its past, and count; ``raw`` are lines that it was made from, if any."""
    vehicle = ticket.header.vehicle
    earlier = tuple(ticket_of(shop, number) for number in shop.store.visits(vehicle.vin, vehicle.plate))
    case = Case(ticket, shop.settings, shop.today, earlier, shop.people)
    sticky = ""
    keys: list[list[str]] = []
    odd: list[str] = []
    entries: list[tuple[str, int]] = []
    plain = 0
    for at, entry in enumerate(ticket.entries):
        if entry.struck or entry.amended or (raw and not raw[at]):
            continue
        so_far = replace(ticket, status="open", entries=ticket.entries[:at])
        known = around(shop, so_far, case)
        lines = lines_of(shop, so_far, entry, sticky, raw[at] if raw else "")
        if not lines:
            odd.append(f"{entry.no} {entry.kind}")
            lines = [Way(write(entry.fact, concern=entry.concern, shop_only=entry.shop_only))]
        ways = [keys_for(shop, known, way, detours_of(entry.fact, way.line)) for way in lines[:3]]
        keys.append(min(ways, key=len))
        plain += len(lines[0].line) + 1 + lines[0].drop
        entries.append((entry.kind, len(shorthand(raw[at]) if raw else prose(entry.fact))))
        sticky = entry.concern.split("+")[0] or sticky
    return Count(name, keys, plain, sum(length for _, length in entries), odd, entries)


def counts() -> Iterator[Count]:
    """Every demo job in the order of its number, each typed into a shop that holds those before it."""
    folder = data_folder("demo_jobs")
    about = json.loads((folder / SHOP_FILE).read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as scratch, Shop.open(Path(scratch) / "shop.db", "K. Orlo") as shop:
        for key, value in about["settings"].items():
            set_setting(shop, key, value)
        set_setting(shop, "rates", [rate["name"] for rate in about["prices"]["rates"]])
        for person in about["people"]:
            add_person(shop, Person(person["name"], person["role"]))
        for file in sorted(folder.glob("[0-9]*.json")):
            ticket = from_document(json.loads(file.read_text(encoding="utf-8")))
            yield count(shop, file.stem, ticket)
            shop.store.load([ticket], shop.person, file.name)


def counts_of_folder(folder: Path) -> Iterator[Count]:
    """Every job of a folder, each typed into a shop that was empty and holds those before it."""
    with tempfile.TemporaryDirectory() as scratch:
        made, typed = (Shop.open(Path(scratch) / name, "K. Orlo") for name in ("made.db", "typed.db"))
        with made, typed:
            for job in jobs_in(folder, made):
                yield count(typed, job.name, job.ticket, job.lines)
                typed.store.load([job.ticket], typed.person, job.name)


def _as_text(keys: list[str]) -> str:
    return "".join(key if len(key) == 1 else f"<{key}>" for key in keys)


def _of_kind(kind: str, done: Sequence[Count]) -> str:
    """What the entries of a kind cost."""
    costs = [
        (len(keys), length)
        for job in done
        for (one, length), keys in zip(job.entries, job.keys, strict=True)
        if one == kind
    ]
    keys, characters = sum(keys for keys, _ in costs), sum(length for _, length in costs)
    ratio = keys / characters if characters else 0
    return f"  {kind:<26} {keys:5} keys {characters:5} characters  {ratio:5.2f}  on {len(costs)} lines"


def main() -> int:
    """Count every job."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, help="a folder of .notes files, held against their shorthand")
    parser.add_argument("--lines", action="store_true", help="print the keys of each line")
    options = parser.parse_args()
    goal, what = (SHORTHAND_GOAL, "over all") if options.folder else (GOAL, "a job")
    done = []
    for job in counts_of_folder(options.folder) if options.folder else counts():
        done.append(job)
        mark = "" if job.ratio <= goal else "  above the goal"
        odd = f"  not reached: {', '.join(job.odd)}" if job.odd else ""
        print(
            f"{job.name:<28} {job.pressed:5} keys {job.prose:5} characters  {job.ratio:5.2f}"
            f"  ({job.plain / job.prose:4.2f} without completion){mark}{odd}",
            flush=True,
        )
        if options.lines:
            for (kind, length), keys in zip(job.entries, job.keys, strict=True):
                print(f"  {kind:<6} {length:3} {len(keys):3}  {_as_text(keys)}")
    for kind in KINDS if options.folder else ():
        print(_of_kind(kind, done))
    keys, characters = sum(job.pressed for job in done), sum(job.prose for job in done)
    print(f"{'all':<28} {keys:5} keys {characters:5} characters  {keys / characters:5.2f}   goal {goal:.2f} {what}")
    return int(keys / characters > goal if options.folder else any(job.ratio > goal for job in done))


if __name__ == "__main__":
    sys.exit(main())
