"""Where a price list and the local rules speak of the same tax differently."""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.money.prices import Place
from ticket.rules.pack import Pack, Source, chain, first, source


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """One sentence on what the price list does otherwise than the rule, and the rule."""

    text: str
    source: Source


def taxed(pack: Pack, line: str, *, apart: bool = True) -> bool | None:
    """Whether a class of line is taxed there; ``apart`` says it stands on a line of its own. ``None``: not known."""
    found = first(pack, "tax", fits=lambda row: row.line == line)
    if found is None:
        return None
    answer = found[1].taxed
    return answer == "yes" or (answer == "apart" and not apart)


def tax_differences(pack: Pack, place: Place) -> tuple[Differs, ...]:
    """Everything the taxes of a place do otherwise than the rows of a pack say."""
    return tuple(_classes(pack, place)) + tuple(_cores(pack, place)) + tuple(_rounding(pack, place))


def _classes(pack: Pack, place: Place) -> Iterator[Differs]:
    on = {line for tax in place.taxes for line in tax.on}
    for one in chain(pack):
        for row in one.tax:
            should = row.taxed == "yes"
            if place.taxes and should != (row.line in on):
                text = f"{row.line} is {'taxed' if should else 'not taxed'} there, the price list says otherwise"
                yield Differs(text=text, source=source(one, row))


def _cores(pack: Pack, place: Place) -> Iterator[Differs]:
    for one in chain(pack):
        for row in one.cores:
            if place.taxes and row.before_tax != (row.condition in place.core_before_tax):
                when = "before" if row.before_tax else "after"
                text = f"the core of a {row.condition} part comes off {when} tax there"
                yield Differs(text=text, source=source(one, row))


def _rounding(pack: Pack, place: Place) -> Iterator[Differs]:
    found = first(pack, "rounding")
    if found is None or not place.taxes:
        return
    where, row = found
    if row.method == "half up" and place.rounding == "down":
        yield Differs(text="tax is rounded half up there, not down", source=source(where, row))
    if row.rates_are not in ("either", place.rates_are):
        yield Differs(text=f"the rates are {row.rates_are} there", source=source(where, row))
    if row.level not in ("seller", place.per):
        yield Differs(text=f"tax is rounded by {row.level} there", source=source(where, row))
