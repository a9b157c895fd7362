"""How long records of a job are kept at the least, as local rules say, and where they say so."""

from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

from ticket.rules.pack import Pack, first, source
from ticket.rules.pack_rows import RetentionRow


@dataclass(frozen=True, slots=True)
class KeptFor:
    """One period.

    Attributes:
        what: repair or tax records.
        months: at the least; 0 where no period is set.
        longer_of: what makes it longer: an open complaint, a longer warranty.
        source: where that is said.
    """

    what: str
    months: int
    longer_of: tuple[str, ...]
    source: str

    @property
    def words(self) -> str:
        """In one phrase."""
        years, months = divmod(self.months, 12)
        term = f"{years} years" if years > 1 and not months else f"{self.months} months"
        longer = f", longer with a {' or a '.join(self.longer_of)}" if self.longer_of else ""
        return f"{self.what}: {term if self.months else 'no period is set'}{longer} ({self.source})"


def kept_for(pack: Pack) -> tuple[KeptFor, ...]:
    """The periods for repair and tax records."""
    found = []
    for what in ("repair records", "tax records"):
        held = first(pack, "retention", fits=lambda row, what=what: row.what == what)
        if held is not None:
            row: RetentionRow = held[1]
            months = int(row.years or 0) * 12 + int(row.months or 0)
            found.append(KeptFor(what, months, row.longer_of, source(*held).words))
    return tuple(found)


def may_go_before(pack: Pack, today: date) -> date | None:
    """Jobs that ended before this day are past every period; ``None`` where the rules set none."""
    months = max((one.months for one in kept_for(pack)), default=0)
    return today - relativedelta(months=months) if months else None
