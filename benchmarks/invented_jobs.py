"""Invented jobs in any number, as documents that ``ticket load`` takes: JSON lines in the order a shop writes them.

    python benchmarks/invented_jobs.py 100000 jobs.jsonl [--seed 7]

As in life: a few codes make most of the work (Zipf), each code has several causes of which some are common, the same
thing is said in several ways, with short forms and slips of the finger, the season brings its own trouble, some
vehicles come back, some customers say no. The same number and seed give the same bytes.
"""

import argparse
import heapq
import itertools
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

Json = dict[str, Any]

_COMPONENTS = """wiper motor|horn relay|seat heater mat|blower resistor|lamp socket|door latch|window lift|washer pump
fan hose|pump seal|thermostat|alternator belt|battery cable|charge sensor|filler cap|vapor valve|mirror motor
hatch strut|heater flap|cabin filter|brake pad|brake hose|steering pump|level sensor|air sensor|idle valve
ground strap|fuse box|radio lead|camera lead|seat switch|sunroof drain|roof rail|trim clip|engine mount|oil cooler
radiator cap|expansion tank|turbo pipe|exhaust clamp""".replace("\n", "|").split("|")
_FAULTS = (
    ("worn", ("worn {}", "{} worn", "{} worn out", "worn out {}")),
    ("corroded", ("corroded {}", "corrosion at {}", "{} corroded", "rust on {}")),
    ("open", ("{} open circuit", "open circuit in {}", "no continuity through {}")),
    ("short", ("{} shorted to ground", "short to ground at {}", "{} short circuit")),
    ("leak", ("{} leaking", "leaking {}", "leak at {}", "{} seeping")),
    ("stuck", ("{} stuck", "{} seized", "seized {}")),
    ("loose", ("loose {}", "{} loose", "{} came loose")),
    ("blocked", ("blocked {}", "{} blocked", "{} plugged")),
)
_SIGNS = (
    ("flickers", "flickering", "flicker now and then", "blinks"), ("rattles", "rattling", "rattle from below"),
    ("does not work", "dead", "inoperative", "no function"), ("squeals", "squealing noise", "squeal when cold"),
    ("smells", "bad smell", "odor inside"), ("leaks water", "water leak", "wet carpet"),
    ("slow to start", "hard to start", "cranks long"), ("runs hot", "temperature high", "overheats uphill"),
    ("pulls to one side", "drifts", "wanders"), ("light on", "warning lamp on", "message on dash"),
)  # fmt: skip
_WHEN = ("since Tuesday", "when cold", "uphill", "after rain", "at idle", "all the time", "now and then", "on bumps")
_SHORT = {"replaced": "repl", "checked": "chk", "battery": "batt", "sensor": "snsr", "circuit": "ckt", "ground": "gnd"}
_MAKES = ("Pellworth Finch 1.2", "Corvane Alder 2.0", "Hallick Tarrow 3.0", "Ostwin Pike 1.4", "Tessaly Marl 1.6",
          "Lumeth Calla 1.8", "Brennock Haldon 9.0", "Pellworth Dunlin 1.8", "Tessaly Wick 2.0")  # fmt: skip
PEOPLE = ("Kaia Rothmere", "Dov Ashgrave", "Jory Pellam", "Nell Ivarsen", "Bram Tolliver", "Wen Harrow")
_NAMES = ("Maren", "Ada", "Ines", "Tove", "Piet", "Lorn"), ("Oastley", "Fenn", "Marrick", "Dray", "Holm", "Quill")
_FIRST = datetime(2019, 1, 2, 7, tzinfo=UTC)
_YEARS = 7


@dataclass(frozen=True, slots=True)
class Trouble:
    """What a code stands for: its causes with how often each is behind it, and when in the year it comes."""

    code: str
    sub: str
    component: str
    signs: tuple[str, ...]
    causes: tuple[tuple[str, int, float], ...]
    winter: bool


def troubles(count: int, seed: int) -> list[Trouble]:
    """The codes of the invented fleet, most frequent first."""
    random = Random(seed)
    made = []
    for i in range(count):
        component = _COMPONENTS[i % len(_COMPONENTS)]
        causes = random.sample(range(len(_FAULTS)), random.randint(2, 5))
        weights = [random.gammavariate(0.7, 1) + 0.02 for _ in causes]
        beside = [component, *random.sample(_COMPONENTS, len(causes) - 1)]
        code = f"{'PBCU'[i % 4]}{(0x100 + i * 37) % 0x4000:04X}"
        made.append(Trouble(
            code, f"{random.choice((0x11, 0x13, 0x16, 0x1C, 0x49, 0x7B)):02X}", component, random.choice(_SIGNS),
            tuple(zip(beside, causes, weights, strict=True)), random.random() < 0.3,
        ))  # fmt: skip
    return made


def slipped(random: Random, text: str) -> str:
    """The text as typed: now and then a short form, now and then a slip of the finger."""
    words = [_SHORT.get(word, word) if random.random() < 0.3 else word for word in text.split()]
    for i, word in enumerate(words):
        if len(word) > 4 and word.isalpha() and random.random() < 0.04:
            at = random.randrange(1, len(word) - 2)
            swapped = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
            words[i] = random.choice((swapped, word[:at] + word[at + 1 :]))
    return " ".join(words)


@cache
def _measured(component: str, low: int) -> Json:
    """A finding with a reading, as the program itself reads its line."""
    from ticket.job.codec import encode_fact
    from ticket.notes.read import read

    line = f"found: voltage at {component} {low / 10:.1f} V (min 11.5 per maker)"
    return encode_fact(read(line)[0].fact)


class _Job:
    """One job while its entries are written down."""

    def __init__(self, number: int, opened: datetime, person: str) -> None:
        self.at, self.person, self.entries = opened, person, list[Json]()
        self.document: Json = {"format": "ticket-1", "number": number, "opened": _stamp(opened)}

    def add(self, kind: str, fact: Json, minutes: int, **more: Any) -> int:
        self.at += timedelta(minutes=minutes)
        no = len(self.entries) + 1
        self.entries.append({"no": no, "person": self.person, "at": _stamp(self.at), "kind": kind, "fact": fact} | more)
        return no


def _stamp(at: datetime) -> str:
    return at.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _ref(no: int) -> list[Json]:
    return [{"no": no}]


def documents(count: int, seed: int = 7, codes: int = 3000) -> Iterator[Json]:
    """So many jobs, oldest first, over seven years."""
    random = Random(seed)
    known = troubles(codes, seed)
    weights = list(itertools.accumulate(1 / (rank + 1) ** 1.05 for rank in range(codes)))
    vehicles = max(count // 3, 1)
    readings: dict[int, tuple[datetime, int]] = {}
    waiting: list[tuple[datetime, int, int, Trouble, int, str]] = []
    step = timedelta(days=365.25 * _YEARS) / count
    for number in range(1, count + 1):
        at = _FIRST + step * number
        if waiting and waiting[0][0] <= at:
            _, earlier, vehicle, trouble, cause, _ = heapq.heappop(waiting)
        else:
            earlier, cause = 0, -1
            vehicle = random.randrange(vehicles)
            trouble = _drawn(random, known, weights, at)
        open_still = number > count - max(count // 50, 1) and random.random() < 0.5
        made, cause, mended = _told(random, number, at, vehicle, trouble, cause, earlier, readings, open_still)
        if mended and not open_still and random.random() < 0.07:
            back = at + timedelta(days=random.expovariate(1 / 45) + 1)
            heapq.heappush(waiting, (back, number, vehicle, trouble, cause, ""))
        yield made


def _drawn(random: Random, known: list[Trouble], weights: list[float], at: datetime) -> Trouble:
    for _ in range(4):
        trouble = random.choices(known, cum_weights=weights)[0]
        if not trouble.winter or at.month in (11, 12, 1, 2, 3) or random.random() < 0.3:
            return trouble
    return trouble


def _told(
    random: Random, number: int, at: datetime, vehicle: int, trouble: Trouble, cause: int, earlier: int,
    readings: dict[int, tuple[datetime, int]], open_still: bool,
) -> tuple[Json, int, bool]:  # fmt: skip
    person = PEOPLE[min(int(random.expovariate(0.5)), len(PEOPLE) - 1)]
    job = _Job(number, at, person)
    own = Random(vehicle * 7919 + 1)
    since, was = readings.get(vehicle, (at, own.randrange(5_000, 190_000)))
    odometer = was + int((at - since).days * own.uniform(15, 60))
    readings[vehicle] = (at, odometer)
    first, last = own.choice(_NAMES[0]), own.choice(_NAMES[1])
    customer = {"name": f"{first} {last}", "phone": f"555-{own.randrange(10_000):04}"}
    letters = own.choice("KLMNR") + own.choice("ABDE") + own.choice("CDEF")
    vin = f"ZZ9INV{own.randrange(10**5):05}A{vehicle % 10**5:05}"
    label = {"label": own.choice(_MAKES), "vin": vin, "plate": f"{letters} {own.randrange(10**4):04}"}
    job.document["header"] = {
        "vehicle": label, "customer": customer, "odometer_in": {"number": f"{odometer:,}", "unit": "km"},
    }  # fmt: skip
    said = f"{trouble.component} {random.choice(trouble.signs)} {random.choice(_WHEN)}"
    says: Json = {"text": slipped(random, said)}
    says |= {"back_from": str(earlier)} if earlier and random.random() < 0.4 else {}
    job.add("says", says, 2, concern="A")
    code = job.add(
        "code", {"code": trouble.code, "sub": trouble.sub, "unit": "body computer", "status": "stored"}, 8, concern="A"
    )
    causes = trouble.causes
    picked = cause if cause >= 0 and random.random() < 0.6 else _picked(random, causes)
    for i in random.sample(range(len(causes)), min(len(causes), 2)):
        if i != picked:
            text = slipped(random, _FAULTS[causes[i][1]][1][0].format(causes[i][0]))
            job.add("ruled", {"text": text, "reason": "dry and tight", "refs": _ref(code)}, own.randrange(4, 25),
                    concern="A")  # fmt: skip
    component, fault, _ = causes[picked]
    proof = job.add("found", _measured(component, random.randrange(90, 114)), 12, concern="A")
    if random.random() < 0.5:
        job.add(
            "found", {"what": slipped(random, f"{component} {random.choice(_WHEN)} looked at by hand")}, 4, concern="A"
        )
    if random.random() < 0.9:
        words = random.choice(_FAULTS[fault][1]).format(component)
        sure = random.choice(("certain", "certain", "likely"))
        job.add("cause", {"text": slipped(random, words), "sure": sure, "refs": _ref(proof)}, 5, concern="A")
    mended = _offered(random, job, component, f"{customer['name']}", customer["phone"])
    if open_still:
        job.document["status"] = "open"
    else:
        closed = job.at + timedelta(minutes=random.randrange(20, 400))
        job.document |= {"status": "signed", "closed": _stamp(closed), "signed_by": person}
    job.document["entries"] = job.entries
    return job.document, picked, mended


def _picked(random: Random, causes: tuple[tuple[str, int, float], ...]) -> int:
    return random.choices(range(len(causes)), [weight for *_, weight in causes])[0]


def _offered(random: Random, job: _Job, component: str, name: str, phone: str) -> bool:
    hours = random.choice((3, 5, 8, 10, 12, 15, 20, 30)) / 10
    price = random.randrange(400, 30_000) / 100
    estimate = round(hours * 95 + price, 2)
    offer = job.add(
        "offer", {"text": f"replace {component}", "judgement": "do soon", "estimate": f"{estimate:.2f}"}, 6, concern="A"
    )
    refused = random.random() < 0.07
    answer = {"answer": "no" if refused else "yes", "to": _ref(offer)}
    told: Json = {"who": name, "way": "phone", "address": phone, "answers": [answer]}
    job.add("told", told | ({} if refused else {"total": f"{estimate:.2f}"}), 15)
    if refused:
        if random.random() < 0.5:
            job.add("later", {"text": f"replace {component}", "because": "customer said no", "risk": "gets worse"}, 3,
                    concern="A")  # fmt: skip
        return False
    verb = random.choice(("replaced", "replaced", "repaired", "cleaned and refitted"))
    over = random.choice((0, 0, 0, 0, 0, 5)) / 10
    done: Json = {"hours": f"{hours + over:.1f}", "text": slipped(random, f"{verb} {component}"), "refs": _ref(offer)}
    if random.random() < 0.3:
        done["by"] = random.choice(PEOPLE)
    if random.random() < 0.06:
        done["pays"] = "warranty"
    job.add("did", done, int(hours * 60), concern="A")
    number = f"{_COMPONENTS.index(component) + 10}-{random.randrange(40):02}-{random.randrange(90) + 10}"
    job.add("used", {"amount": "1", "unit": "x", "part": number, "text": component, "price": f"{price:.2f}"}, 1,
            concern="A")  # fmt: skip
    job.add("proof", {"what": "road test and codes read again, none stored", "result": "passed"}, 20, concern="A")
    return True


def write(path: Path, count: int, seed: int = 7) -> None:
    """Write so many jobs to a file, one document a line."""
    with path.open("w", encoding="utf-8") as out:
        for document in documents(count, seed):
            out.write(json.dumps(document, separators=(",", ":"), ensure_ascii=False) + "\n")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Write invented jobs to a file.")
    parser.add_argument("count", type=int)
    parser.add_argument("file", type=Path)
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    write(given.file, given.count, given.seed)
