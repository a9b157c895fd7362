"""Two reservoirs that share a seal: the amounts as typed, and which explanation they fit. Never "so it leaks"."""

from ticket.job.entry import Entry
from ticket.job.kinds import Found
from ticket.job.values import Quantity
from ticket.readings.balance import Balance, Outcome, Reservoir, weigh
from ticket.readings.balance_line import balance_of
from ticket.story.catalogue import say
from ticket.story.context import sources, told
from ticket.story.lists import phrase_list
from ticket.story.sentence import Phrase
from ticket.story.words.figures import size
from ticket.story.words.groups import group
from ticket.story.words.spell import measure, spell
from ticket.story.words.things import thing
from ticket.story.writer import Writer


def tell_balance(entry: Entry, writer: Writer) -> bool:
    """The balance a finding states; false where it states none."""
    balance = balance_of(entry.fact) if isinstance(entry.fact, Found) else None
    if balance is None:
        return False
    sides = [_side(entry, side) for side in (balance.first, balance.second)]
    writer.add(sources(entry), say("balance.all", items=phrase_list(sides, mark=";")))
    if balance.outside:
        writer.add(sources(entry), say("balance.outside", how=told(entry, "seen", balance.outside, "typed")))
    writer.add(sources(entry), _fit(entry, balance, weigh(balance)))
    return True


def _name(entry: Entry, name: str) -> Phrase:
    pieces = spell(name)
    found = group(pieces, 0) if pieces else None
    known = thing(name, "")
    if found is not None and pieces is not None and found.end == len(pieces):
        return (told(entry, "what", found.thing()),)
    return (told(entry, "what", known.name if known else f"“{name}”", "told" if known else "quoted"),)


def _amount(entry: Entry, quantity: Quantity, pm: str = "") -> Phrase:
    amount: Phrase = (told(entry, "what", measure(quantity.number, quantity.unit), "number"),)
    if not pm:
        return amount
    return say("balance.pm", amount=amount, pm=told(entry, "what", measure(pm, quantity.unit), "number"))


def _side(entry: Entry, side: Reservoir) -> Phrase:
    name = _name(entry, side.name)
    if side.measure == "level":
        value = side.amount.value or 0
        shown = told(entry, "what", measure(size(side.amount.number), side.amount.unit), "size")
        level = say("level.at") if value == 0 else say("level.below" if value < 0 else "level.above", v=shown)
        return say("balance.level", name=name, v=level)
    amount = _amount(entry, side.amount, side.amount_pm)
    if side.measure == "drained" and side.expected is not None:
        expected = _amount(entry, side.expected, side.expected_pm)
        return say("balance.drained.of", amount=amount, name=name, expected=expected)
    return say(f"balance.{side.measure}", amount=amount, name=name)


def _fit(entry: Entry, balance: Balance, outcome: Outcome) -> Phrase:
    first, second = _name(entry, balance.first.name), _name(entry, balance.second.name)
    if outcome.state == "normal":
        return say("balance.normal")
    single = outcome.single
    if single in ("first to second", "second to first"):
        one, two = (first, second) if single == "first to second" else (second, first)
        return say("balance.across" if outcome.by == "amounts" else "balance.across.levels", one=one, two=two)
    if single.endswith(" lost"):
        return say("balance.lost", one=first if single.startswith("first") else second)
    if single.endswith(" over"):
        return say("balance.over", one=first if single.startswith("first") else second)
    return say("balance.none" if outcome.state == "none alone" else "balance.several")
