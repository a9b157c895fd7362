"""Two reservoirs that share a seal: the amounts as typed, and which explanation they fit."""

from ticket.job.entry import Entry
from ticket.job.kinds import Found
from ticket.job.values import Quantity
from ticket.readings.balance import Balance, Outcome, Reservoir, weigh
from ticket.readings.balance_line import balance_of
from ticket.story.context import sources
from ticket.story.other.talk import Talk, joined, stop
from ticket.story.sentence import Phrase
from ticket.story.words.figures import size
from ticket.story.writer import Writer


def tell_balance(talk: Talk, entry: Entry, fact: Found, writer: Writer) -> None:
    """The amounts of both sides, what was seen outside, and what the amounts fit."""
    balance = balance_of(fact)
    if balance is None:
        return
    sides = [_side(talk, entry, side) for side in (balance.first, balance.second)]
    writer.add(sources(entry), stop(joined(sides, "; ")))
    if balance.outside:
        kind = f"balance.outside.{balance.outside}"
        how = talk.quoted(entry, "seen", balance.outside)
        writer.add(sources(entry), talk.say(kind) if talk.has(kind) else talk.say("balance.outside", how=how))
    writer.add(sources(entry), _fit(talk, entry, balance, weigh(balance)))


def _amount(talk: Talk, entry: Entry, quantity: Quantity, pm: str) -> Phrase:
    amount = talk.measure(entry, "what", quantity.number, quantity.unit)
    return talk.say("balance.pm", amount=amount, pm=talk.measure(entry, "what", pm, quantity.unit)) if pm else amount


def _side(talk: Talk, entry: Entry, side: Reservoir) -> Phrase:
    name = talk.the(entry, "what", side.name)
    if side.measure == "level":
        v = side.amount.value or 0
        shown = talk.measure(entry, "what", size(side.amount.number), side.amount.unit, "size")
        stood = talk.say("level.at") if v == 0 else talk.say("level.below" if v < 0 else "level.above", v=shown)
        return talk.say("balance.level", name=name, v=stood)
    amount = _amount(talk, entry, side.amount, side.amount_pm)
    if side.measure == "drained" and side.expected is not None:
        expected = _amount(talk, entry, side.expected, side.expected_pm)
        return talk.say(
            "balance.drained.of", of=talk.the(entry, "what", side.name, "of"), amount=amount, expected=expected
        )
    kind = side.measure.replace(" ", ".")
    return talk.say(f"balance.{kind}", name=name, of=talk.the(entry, "what", side.name, "of"), amount=amount)


def _fit(talk: Talk, entry: Entry, balance: Balance, outcome: Outcome) -> Phrase:
    if outcome.state == "normal":
        return talk.say("balance.normal")
    first, second = balance.first.name, balance.second.name

    def of(name: str) -> Phrase:
        return talk.the(entry, "what", name, "of")

    single = outcome.single
    if single in ("first to second", "second to first"):
        one, two = (first, second) if single == "first to second" else (second, first)
        kind = "balance.across" if outcome.by == "amounts" else "balance.across.levels"
        return talk.say(kind, of=of(one), to=talk.the(entry, "what", two, "to"))
    if single.endswith((" lost", " over")):
        kind = "balance.lost" if single.endswith(" lost") else "balance.over"
        name = first if single.startswith("first") else second
        return talk.say(kind, of=of(name), at=talk.the(entry, "what", name, "in"))
    return talk.say("balance.none" if outcome.state == "none alone" else "balance.several")
