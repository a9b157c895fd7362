"""Two reservoirs that share a seal: the amounts as typed, and which explanation they fit."""

from ticket.job.entry import Entry
from ticket.job.kinds import Found
from ticket.job.values import Quantity
from ticket.language.figures import size
from ticket.readings.reservoir_balance import Balance, Outcome, Reservoir, weigh
from ticket.readings.reservoir_balance_line import balance_of
from ticket.story.context import sources
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Lit, Phrase


def tell_balance(talk: Talk, entry: Entry, fact: Found, writer: Writer) -> None:
    """The amounts of both sides, what was seen outside, and what the amounts fit."""
    balance = balance_of(fact)
    if balance is None:
        return
    names = (balance.first.name, balance.second.name)
    if not talk.english and not all(talk.leaves.thing(name, "the") for name in names):
        writer.add(sources(entry), talk.note(entry, "what", fact.what), form=NOTE)
        return
    sides = [_side(talk, entry, side) for side in (balance.first, balance.second)]
    writer.add(sources(entry), stop(joined(sides, "; ")))
    if balance.outside:
        writer.add(sources(entry), talk.say(f"balance.outside.{balance.outside}"))
    writer.add(sources(entry), _fit(talk, entry, balance, weigh(balance)))


def _named(talk: Talk, entry: Entry, name: str, kind: str = "the") -> Phrase:
    """A side by its name, as typed where it is no certain thing."""
    found = talk.thing(entry, "what", name, kind)
    typed = talk.typed(entry, "what", name)
    return found or (typed if kind == "the" else (Lit(f"{kind} "), *typed))


def _amount(talk: Talk, entry: Entry, quantity: Quantity, pm: str) -> Phrase:
    amount = talk.measure(entry, "what", quantity.number, quantity.unit)
    return talk.say("balance.pm", amount=amount, pm=talk.measure(entry, "what", pm, quantity.unit)) if pm else amount


def _side(talk: Talk, entry: Entry, side: Reservoir) -> Phrase:
    name = _named(talk, entry, side.name)
    if side.measure == "level":
        v = side.amount.value or 0
        shown = talk.measure(entry, "what", size(side.amount.number), side.amount.unit, "size")
        stood = talk.say("level.at") if v == 0 else talk.say("level.below" if v < 0 else "level.above", v=shown)
        return talk.say("balance.level", name=name, v=stood)
    amount = _amount(talk, entry, side.amount, side.amount_pm)
    if side.measure == "drained" and side.expected is not None:
        expected = _amount(talk, entry, side.expected, side.expected_pm)
        return talk.say("balance.drained.of", of=_named(talk, entry, side.name, "of"), amount=amount, expected=expected)
    kind = side.measure.replace(" ", ".")
    return talk.say(f"balance.{kind}", name=name, of=_named(talk, entry, side.name, "of"), amount=amount)


def _fit(talk: Talk, entry: Entry, balance: Balance, outcome: Outcome) -> Phrase:
    if outcome.state == "normal":
        return talk.say("balance.normal")
    first, second = balance.first.name, balance.second.name

    def of(name: str) -> Phrase:
        return _named(talk, entry, name, "of")

    single = outcome.single
    if single in ("first to second", "second to first"):
        one, two = (first, second) if single == "first to second" else (second, first)
        kind = "balance.across" if outcome.by == "amounts" else "balance.across.levels"
        out, into = ("from", "into") if talk.english else ("of", "to")
        return talk.say(kind, of=_named(talk, entry, one, out), to=_named(talk, entry, two, into))
    if single.endswith((" lost", " over")):
        kind = "balance.lost" if single.endswith(" lost") else "balance.over"
        name = first if single.startswith("first") else second
        return talk.say(kind, of=of(name), at=_named(talk, entry, name, "in"))
    return talk.say("balance.none" if outcome.state == "none alone" else "balance.several")
