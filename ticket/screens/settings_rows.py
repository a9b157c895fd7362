"""What a shop may set, and local rules side by side, as rows. Pure."""

from collections.abc import Mapping, Sequence

from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.job.case import Settings
from ticket.money.amount import cents, grouped
from ticket.rules.overrun import allowed
from ticket.rules.pack import Pack, chain, first
from ticket.rules.pack_rows import STATUSES
from ticket.screens.terminal import DRAWN_AS, WANTED, told_choices
from ticket.shop.settings import Changed, Item

_TITLE = 28  # columns of a name
COLOURS, DRAWN = "look/colours", "look/signs"
LOOKS = {COLOURS: WANTED, DRAWN: DRAWN_AS}
"""How the screens may look at this login; a key takes the next one."""


def look_items() -> tuple[Item, ...]:
    """The look of this login as two more things to set."""
    colours, signs = told_choices()
    group, hint = "How it looks here", "Enter takes the next"
    return Item(COLOURS, group, "colours", colours, hint), Item(DRAWN, group, "signs", signs, hint)


def settings_rows(items: Sequence[Item], changed: Mapping[str, Changed], extra: Sequence[str], width: int) -> list[Row]:
    """Every item under its heading, with its value and who changed it last.

    Args:
        items: as :func:`ticket.shop.settings.items` gives them.
        changed: by the journal's key.
        extra: sentences on what is set elsewhere, such as the keys.
        width: in cells.
    """
    rows = [Row()]
    group = ""
    for item in items:
        if item.group != group:
            rows += [Row()] if group else []
            rows.append(row(cut(item.group, width), "strong"))
            group = item.group
        last = changed.get(item.journal)
        title = f"{item.title}: "
        if width > 2 * _TITLE:
            title = f"{item.title} ".ljust(_TITLE)
        spans = [Span(title, "quiet")]
        spans += [Span(item.value, "strong")] if item.value else [Span("—", "quiet")]
        if last is not None and item.value:
            spans.append(Span(f"  {last.by}, {last.at.astimezone():%Y-%m-%d}", "quiet"))
        rows += wrap(spans, width, rest="    ", key=item.key)
    for sentence in extra:
        rows += [Row(), *wrap([Span(sentence, "quiet")], width)]
    return rows


def compare_rows(packs: Sequence[Pack], chosen: str, estimate: str, width: int) -> list[Row]:
    """What the packs say to one estimate, the strictest first, each with its citation and standing.

    Args:
        packs: the packs.
        chosen: identity of the shop's own.
        estimate: a sum as typed; 400.00 where it is none.
        width: in cells.
    """
    sum_of = cents(estimate) or 40_000
    rows = wrap([Span(f"When {grouped(sum_of)} was agreed, the most that may be charged without asking:")], width)
    names = {pack.id: pack for pack in packs}
    by_id = {pack.id: allowed(sum_of, pack) for pack in packs}
    for pack_id in sorted(by_id, key=lambda one: (by_id[one].allowed, one)):
        most, pack = by_id[pack_id], names[pack_id]
        mine = " (the shop's own choice)" if pack_id == chosen else ""
        spans = [Span(f"{pack.name} [{pack.id}]{mine}: ", "strong"), Span(f"{grouped(most.allowed)}. ")]
        spans.append(Span(f"{most.source}. {_consent(pack)} {_standing(pack)}", "quiet"))
        rows += [Row(), *wrap(spans, width, rest="  ", key=pack_id)]
    return [*rows, Row(), *wrap([Span(packs[0].notice if packs else "")], width)]


def _consent(pack: Pack) -> str:
    found = first(pack, "consent", fits=lambda one: one.case == "extra")
    record = ", ".join(found[1].record) if found else ""
    return f"With a yes to record: {record}." if record else "What to record with a yes is not told."


def _standing(pack: Pack) -> str:
    """How far the pack's own rows may be relied on."""
    rows = [one for _, group in pack.sections() for one in group]
    counts = [(words, sum(one.status == status for one in rows)) for status, words in STATUSES.items()]
    told = ", ".join(f"{count} {words}" for words, count in counts if count)
    asks = " and ".join(one.id for one in list(chain(pack))[1:])
    behind = f"; where it is silent {asks} answers" if asks else ""
    return f"Rows: {told or 'none of its own'}{behind}; compare with the law again by {pack.recheck}."


def default_note(settings: Settings) -> str:
    """What holds while nothing was set, in one sentence; empty once the shop has a name."""
    return "" if settings.shop else "The shop has no name yet: papers are printed without one."
