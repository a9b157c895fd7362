"""Whether the words in front of a value name a thing of their own or say more of the one named before."""

import re

from ticket.notes.finding.carried import OPPOSITES
from ticket.notes.finding.circumstances import FLUIDS
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.part_order import in_another_unit
from ticket.notes.finding.part_words import COLOURS, DOINGS, SYSTEMS
from ticket.notes.finding.stated import Progress, Reading, is_moment, is_run_at, is_whole_state
from ticket.notes.finding.tokens import Token


def other_end_of(walk: Progress, words: tuple[Token, ...]) -> tuple[Token, ...] | None:
    """``coil positive 26 ohm, negative 41``: the other end of the thing named before."""
    named = {token.text for token in walk.subject}
    mates = {one for pair in OPPOSITES if words[0].text in pair for one in pair - {words[0].text}} & named
    if len(words) > 1 or not mates or len(named) == 1 or walk.subject is walk.carried:
        return None
    return (*(token for token in walk.subject if token.text not in mates), *words)


def is_another_thing(walk: Progress, words: tuple[Token, ...]) -> bool:
    """``pin bore 61.8 mm, pin 59.7``: a noun in front of the last one of a name is a thing of its own."""
    last = next((t for t in reversed(walk.subject) if t.letter in "wn"), None)
    return last is not None and is_noun(words[-1].text) and is_noun(last.text) and last.text != words[-1].text


def unnamed(
    walk: Progress, run: list[Token], made: list[Reading], lead: list[Token], when: list[Token]
) -> tuple[Token, ...]:
    """The subject that goes on where no word stands with the value, or the condition that stands for one."""
    leading = [one for one in (*lead, *when) if not is_moment(one)]
    system = [token for token in leading if token.text in SYSTEMS]
    if system and walk.subject and walk.done.readings and not made:
        return (*walk.subject, *system)  # "battery 12.5 V, charging 13.1 V": another thing was read
    if leading and (not walk.subject or (when and (not made and in_another_unit(walk, run)))):
        walk.stand_in = tuple(token for token in leading if not token.held)
        return walk.stand_in
    if not walk.subject and walk.heading:
        return tuple(token for token in walk.heading if not token.held)  # "charging: 14.6 V"
    return walk.subject or walk.stand_in


def said_behind(walk: Progress, others: Token | None, condition: Token) -> list[Reading]:
    """The readings before a part that holds nothing but a condition: the last with its list, or all with "both".

    How fast an engine ran or how warm it was is of all that was read and says nothing of the kind itself.
    """
    readings = walk.done.readings
    ran = any(one.letter == "q" and one.amount.dimension == "rotation" for one in condition.held or ())
    if is_whole_state(condition) and others is None:
        stood = [one for one in readings if one.clause == walk.clause and all(t.held for t in one.when)]
        return stood or [readings[-1]]
    if ran and readings[-1].part == len(walk.done.parts) - 2:
        every = [one for one in readings if one.clause == walk.clause and not is_run_at(one)]
        return every if readings[-1] in every else [readings[-1]]
    if others is not None:
        return [r for r in readings if r.clause == walk.clause]
    last = readings[-1]
    same = [r for r in readings if last.series and r.series == last.series] or [last]
    if last.pair in ("after", "before") and len(same) == 1:
        same = [r for r in readings[-2:] if r.pair]  # "0.9 V before, 0.1 after, cranking"
    alike = [r for r in readings if r.part == last.part and r.when == last.when]
    return alike if last.when and len(alike) > len(same) else same


def is_new(walk: Progress, subject: tuple[Token, ...]) -> bool:
    """``hose crimped 40 %, temp climbs to 240``: no word of the name was said of what was read before."""
    last = walk.done.readings[-1:]
    known = {token.text for one in last for token in one.subject}
    return bool(last) and known.isdisjoint(token.text for token in subject)


def is_of_another(made: list[Reading], value: Token, subject: tuple[Token, ...]) -> bool:
    """``starter pulls 240 A battery drops to 8.9 V``: a noun and a dimension of its own make it no change."""
    before = made[-1].amount.dimension if made else ""
    apart = before not in ("", value.amount.dimension) and not value.amount.bare
    known = {token.text for one in made[-1:] for token in one.subject}
    return apart and any(is_noun(token.text) for token in subject if token.text not in known)


def is_of_fluid(words: list[Token], condition: Token) -> bool:
    """``outlet 96 F, engine at 185 F``: how warm a fluid was while all that was read."""
    warm = any(one.amount.dimension == "temperature" for one in condition.held or () if one.letter == "q")
    return warm and all(word.text in FLUIDS for word in words)


def ends_a_list(walk: Progress, subject: tuple[Token, ...]) -> bool:
    """Several places were told one by one, and the thing told next was read at none of them."""
    placed = [one for one in walk.done.readings if one.clause == walk.clause and one.places]
    known = {token.text for one in placed for token in one.name}
    return len({one.places for one in placed}) > 1 and known.isdisjoint(token.text for token in subject)


def goes_on(walk: Progress, made: list[Reading], words: tuple[Token, ...]) -> bool:
    """``contactor pulls in 22.1 V, drops out 14.6``: words for what happens leave the thing named before."""
    said = {word for token in words for word in re.split("[ -]", token.text)}
    same = not walk.done.readings or made or walk.done.readings[-1].clause == walk.clause
    return bool(same) and said <= DOINGS | COLOURS and any(token.letter in "wn" for token in walk.subject)
