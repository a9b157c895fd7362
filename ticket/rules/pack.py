"""A rule pack: the rows for one jurisdiction, checked against themselves when read."""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

from ticket.job.codec import Json
from ticket.job.errors import NotFoundError
from ticket.job.numbers import exact
from ticket.money import json_shapes
from ticket.money.json_shapes import shaped, twice
from ticket.rules.pack_rows import (
    STATUSES,
    ChargeRow,
    ConsentRow,
    CoreRow,
    DutyRow,
    EstimateRow,
    LimitRow,
    OverrunRow,
    PackRow,
    PaperRow,
    PartsRow,
    RetentionRow,
    RoundingRow,
    ScopeRow,
    TaxRow,
    TermRow,
    WarrantyRow,
)

FORMAT = "rule-pack-1"
NEUTRAL = "neutral"
NOTICE = (
    "Not legal advice: a summary for the shop's own checks. Compare it with the law itself, or ask a lawyer,"
    " before you rely on it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """The local rules of one jurisdiction.

    Attributes:
        id: such as ``US-FL`` or ``CA-ON``.
        inherits: a packaged pack asked where this one has no answer, before the neutral one.
        recheck: the day by which its rows should be compared with the law again.
        notice: that it is no legal advice; printed with everything taken from it.
    """

    id: str = shaped("place")
    name: str = shaped("words")
    notice: str = shaped("words")
    recheck: str = shaped("date")
    currency: str = ""
    inherits: str = shaped("place", default="")
    estimate: tuple[EstimateRow, ...] = ()
    scope: tuple[ScopeRow, ...] = ()
    overrun: tuple[OverrunRow, ...] = ()
    consent: tuple[ConsentRow, ...] = ()
    papers: tuple[PaperRow, ...] = ()
    charges: tuple[ChargeRow, ...] = ()
    parts: tuple[PartsRow, ...] = ()
    warranty: tuple[WarrantyRow, ...] = ()
    retention: tuple[RetentionRow, ...] = ()
    terms: tuple[TermRow, ...] = ()
    duties: tuple[DutyRow, ...] = ()
    limits: tuple[LimitRow, ...] = ()
    tax: tuple[TaxRow, ...] = ()
    rounding: tuple[RoundingRow, ...] = ()
    cores: tuple[CoreRow, ...] = ()

    def sections(self) -> Iterator[tuple[str, tuple[PackRow, ...]]]:
        """Every section that has rows, with its name."""
        for item in fields(self):
            rows = getattr(self, item.name)
            if isinstance(rows, tuple) and rows:
                yield item.name, rows

    def faults(self) -> Iterator[tuple[str, str]]:
        """Rows that ask the same question, share an identity, or name an unknown field."""
        rows = [(f"{name}/{i}", row) for name, group in self.sections() for i, row in enumerate(group)]
        yield from twice((f"{where}/id", row.id) for where, row in rows)
        for name, group in self.sections():
            if name != "papers":
                yield from twice((f"{name}/{i}", one.question()) for i, one in enumerate(group))  # type: ignore[attr-defined]
        if self.inherits and self.inherits not in packaged():
            yield "inherits", f"no packaged rules {self.inherits!r}"
        yield from self._overlaps()
        yield from self._paper_faults()

    def _overlaps(self) -> Iterator[tuple[str, str]]:
        for i, one in enumerate(self.overrun):
            for other in self.overrun[:i]:
                low = max(exact(one.start or "0") or 0, exact(other.start or "0") or 0)
                tops = [exact(row.below) for row in (one, other) if row.below]
                if one.case == other.case and all(top is None or low < top for top in tops):
                    yield f"overrun/{i}", f"holds for the same sums as row {other.id!r}"

    def _paper_faults(self) -> Iterator[tuple[str, str]]:
        known = field_words()
        asked = []
        for i, row in enumerate(self.papers):
            if not row.fields and not row.part_kinds:
                yield f"papers/{i}", "asks for nothing"
            for j, field in enumerate(row.fields):
                if field not in known:
                    yield f"papers/{i}/fields/{j}", f"no field {field!r} is known"
                asked.append((f"papers/{i}/fields/{j}", (row.paper, row.when, field)))
            if row.part_kinds:
                asked.append((f"papers/{i}/part_kinds", (row.paper, row.when, "part_kinds")))
        yield from twice(asked)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where an answer comes from: ``rules`` is pack and row, such as ``US-FL/overrun``."""

    rules: str
    citation: str
    status: str
    as_of: str

    @property
    def words(self) -> str:
        """The citation as it is shown; what was not read in the law says so."""
        if self.status == "C":
            return f"{self.citation} (as of {self.as_of})"
        return f"{self.citation} (unverified: {STATUSES[self.status]}, as of {self.as_of})"


def source(pack: Pack, row: PackRow) -> Source:
    """The source of an answer that a row of a pack gave."""
    return Source(rules=f"{pack.id}/{row.id}", citation=row.citation, status=row.status, as_of=row.as_of)


@cache
def field_words() -> dict[str, str]:
    """What each field of a paper means, by its key; from ``fields.tsv``."""
    lines = (Path(__file__).parent / "fields.tsv").read_text("utf-8").splitlines()
    pairs = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return dict(pairs)


def read_pack(text: str, name: str = "rule pack") -> Pack:
    """A pack from the text of its file; a shop adds its own rules this way.

    Args:
        text: JSON by ``schemas/rule-pack.json``.
        name: of the file, for errors.

    Raises:
        DataError: naming file, row and reason, for a pack that breaks its schema or contradicts itself.
    """
    return json_shapes.read(Pack, text, name, FORMAT)


def pack_document(pack: Pack) -> Json:
    """A pack as its document."""
    return json_shapes.document(pack, FORMAT)


def pack_schema() -> Json:
    """The JSON Schema of a pack."""
    return json_shapes.schema(Pack, FORMAT, "Local rules for vehicle repair")


_FOLDER = Path(__file__).parent / "packs"


@cache
def packaged() -> tuple[str, ...]:
    """The identities of the packs that come with the program, sorted."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.json")))


@cache
def load(identity: str) -> Pack:
    """A pack that comes with the program.

    Raises:
        NotFoundError: when there is none of that identity.
    """
    if identity not in packaged():
        raise NotFoundError(f"there are no local rules {identity!r}; known are {', '.join(packaged())}")
    path = _FOLDER / f"{identity}.json"
    return read_pack(path.read_text("utf-8"), path.name)


def chain(pack: Pack) -> Iterator[Pack]:
    """The packs asked in turn: this one, those it inherits from, the neutral one."""
    yield pack
    asked: set[str] = set()
    while pack.inherits and pack.inherits not in asked:
        asked.add(pack.inherits)
        pack = load(pack.inherits)
        yield pack
    if pack.id != NEUTRAL:
        yield load(NEUTRAL)


def first(pack: Pack, section: str, *, fits: Any = None) -> tuple[Pack, Any] | None:
    """The first row of a section along the chain for which ``fits`` holds, with the pack it stands in."""
    for one in chain(pack):
        for row in getattr(one, section):
            if fits is None or fits(row):
                return one, row
    return None
