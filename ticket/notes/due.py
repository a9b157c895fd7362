"""When deferred work falls due, in ordinary words: distance, time, hours, a date, an event, an odometer reading."""

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ticket.job.entry import Remark
from ticket.job.regex import Regex
from ticket.job.values import Due, Quantity
from ticket.language.lexicon import look
from ticket.notes.asking import ask, place, unread
from ticket.notes.due_days import day_at, month_at
from ticket.notes.due_found import DueFound, lead_of_due
from ticket.notes.hours import part_end, part_start
from ticket.notes.phrases import means, phrase_at, swapped
from ticket.notes.shapes import LONGEST_NUMBER, METER_FROM, is_number
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, plain_number, tokens_of

ODOMETER_FROM = 20_000
"""From here on ``at 250,000 mi`` is a reading of the odometer; below it may be a distance, and is asked about."""

LONGEST_INTERVAL = 100_000
"""From here on ``180,000 km`` by itself is as likely a reading of the odometer as a distance, and is asked about."""

_LEADS = frozenset({"in", "within", "at", "@", "after", "every", "by", "before", "around", "about"})
"""A bare figure behind one of these says when, in a unit that nobody typed."""
_SMALL = frozenset(
    {
        "the",
        "a",
        "an",
        "or",
        "and",
        "/",
        "&",
        ",",
        "whichever",
        "first",
        "comes",
        "is",
        "sooner",
        "earlier",
        "due",
        "again",
        "(",
        ")",
        ".",
        "from",
        "now",
        "time",
        "'",
        "-",
        "–",
        "on",
        "tires:",
    }
)
_UNIT = {"days": "days", "weeks": "weeks", "months": "months", "years": "years"}
_RUNNING = frozenset("eng engine running run machine operating op pto".split())
_AS_TYPED = frozenset("day days week weeks month months year years".split())
_LONGEST = 120
_UP_TO = frozenset({"before", "once", "until", "till"})
_WHO = frozenset("it he she they we you customer owner".split())
_ARRIVES = frozenset(
    "come comes came arrive arrives arrived stock in back due land lands landed here ready delivered".split()
)
_STATES = ("state", "quality", "degree")


def due_of(text: str) -> Due | None:
    """The due a whole text names, such as ``1500 km`` or ``next service``; ``None`` where words are left."""
    found = _whole(text)
    return found.due if found and not found.date and found.due != Due() else None


def day_of(text: str) -> str:
    """The one day a whole text names, such as ``back by 14/03/2026``; empty where words are left."""
    found = _whole(text.strip().casefold().removeprefix("come ").removeprefix("back "))
    return found.date if found and found.due == Due() else ""


def _whole(text: str) -> DueFound | None:
    tokens = tokens_of(text) if len(text) <= _LONGEST else []
    found = find_due(Body(text, text), tokens)
    left = (token.low for at, token in enumerate(tokens) if at not in found.taken and token.low not in _SMALL)
    return None if found.remarks or not all(means("due lead", low) for low in left) else found


def event_of(text: str) -> Due | None:
    """The event a whole text names as the time for it: ``before it is towed again``, ``Thurs when the parts come``."""
    tokens = tokens_of(text)
    if len(text) > _LONGEST or not tokens:
        return None
    first = tokens[0].low
    if len(tokens) < 2:
        return Due(event=text.strip()) if means("weekday", first) else None
    comes = first == "when" and (tokens[1].low in _WHO or _comes_about(tokens[1:]))
    return Due(event=text.strip()) if comes or first in _UP_TO or means("weekday", first) else None


def _comes_about(tokens: Sequence[Token]) -> bool:
    """Words of a "when" that tell of a moment to come; "when hot", "when braking hard" tell under what something is so.

    Behind a semicolon "when the new drums land" is of the work, never of what may happen without it.
    """
    if any(token.low in _ARRIVES or means("weekday", token.low) or means("time", token.low) for token in tokens):
        return True
    named = len(tokens) > 2 and any(one.cls == "thing" for one in look(tokens[1].low))
    return len(tokens) > 1 and not _tells_state(tokens[-1]) and (named or not _tells_state(tokens[0]))


def _tells_state(token: Token) -> bool:
    return token.low.endswith("ing") or any(one.cls in _STATES for one in look(token.low))


_FIRST_COME = frozenset("comes is first sooner earlier occurs turns up falls due".split())


def find_due(body: Body, tokens: Sequence[Token]) -> DueFound:
    """Everything in a text that says when work falls due."""
    found = DueFound()
    at = 0
    while at < len(tokens):
        at = max(_step(body, tokens, at, found), at + 1)
    if found.taken:
        for at, token in enumerate(tokens):
            if token.low == "whichever":
                end = at + 1
                while end < len(tokens) and tokens[end].low in _FIRST_COME:
                    end += 1
                found.taken.update(range(at, end))
    return found


def _step(body: Body, tokens: Sequence[Token], at: int, found: DueFound) -> int:
    token = tokens[at]
    if token.kind == "day":
        return day_at(body, tokens, at, found)
    if token.kind in ("number", "name"):
        return _figure(body, tokens, at, found)
    if token.kind == "word":
        return _numeral(body, tokens, at, found) or _event(tokens, at, found) or month_at(body, tokens, at, found)
    return at + 1


def _bare_amount(tokens: Sequence[Token], at: int) -> bool:
    """``in 6`` at the end of its part: nobody can know whether weeks, months or thousands are meant."""
    token = tokens[at]
    whole = token.kind == "number" and not token.glued and token.text.isdecimal() and len(token.text) <= _DIGITS
    whole = whole or (token.kind == "name" and _SPAN.fullmatch(token.text) is not None)
    behind = at + 2 if at + 1 < len(tokens) and tokens[at + 1].low == "k" else at + 1
    return whole and (behind >= len(tokens) or tokens[behind].low in (",", ".", ";", "or"))


_DIGITS = 4
_SPAN = Regex(r"[0-9]{1,3}-[0-9]{1,3}k?", re.I)  # "in 5-6k"


def _meter_behind(tokens: Sequence[Token], at: int) -> int:
    """``350 on the hr meter``: the token behind a named hour meter; 0 where none is named."""
    at += 1
    if at >= len(tokens) or tokens[at].low not in ("on", "by", "per"):
        return 0
    words = [token.low for token in tokens[at + 1 : at + 4]]
    words = words[1:] if words[:1] == ["the"] else words
    skipped = at + 1 + (tokens[at + 1].low == "the" if at + 1 < len(tokens) else 0)
    if words[:2] in (["hr", "meter"], ["hour", "meter"], ["hours", "meter"], ["hrs", "meter"], ["hour", "clock"]):
        return skipped + 2
    return skipped + 1 if words[:1] in (["hobbs"], ["hourmeter"]) else 0


def _on_the_clock(tokens: Sequence[Token], at: int) -> bool:
    """``at 210 000 on the clock``: a reading of a meter, in a unit that nobody named."""
    words = [token.low for token in tokens[at : at + 3]]
    return words[:1] == ["on"] and words[-1] in ("clock", "meter", "odo", "odometer", "speedo", "dash")


def _service_of(tokens: Sequence[Token], behind: int) -> int:
    """``at the 500 h service``: a service that is named by its distance or hours; the token behind, or 0."""
    named = behind < len(tokens) and tokens[behind].low in ("service", "svc", "pm", "inspection", "check")
    return behind + 1 if named else 0


def _reached(tokens: Sequence[Token], at: int) -> int:
    """``when it gets to 120,000 miles``, ``once it hits 90k mi``: where those words begin, or 0."""
    if at > 1 and tokens[at - 1].low == "to" and tokens[at - 2].low in ("gets", "get", "comes", "rolls", "up"):
        at -= 2
    elif at and tokens[at - 1].low in ("reaches", "hits", "reach", "hit", "turns", "clocks"):
        at -= 1
    else:
        return 0
    while at and tokens[at - 1].low in ("it", "when", "once", "until", "till", "til", "truck", "she", "he"):
        at -= 1
    return at


def _stands_as_due(tokens: Sequence[Token], first: int, at: int, behind: int) -> bool:
    """An amount is due where a word leads it or it fills its comma part; ``dead for 2 weeks`` is neither."""
    alone = part_start(tokens, at) >= first and _closes(tokens, behind)
    waits = at > 0 and tokens[at - 1].low == "wait"
    from_now = [token.low for token in tokens[behind : behind + 2]] == ["from", "now"]
    return _led(tokens, first, at) or alone or waits or from_now


def _led(tokens: Sequence[Token], first: int, at: int) -> bool:
    """Whether one of the small words in front says that what follows is due."""
    return any(tokens[i].low not in _NO_LEAD for i in range(first, at))


_NO_LEAD = frozenset("( the - / about approx approx. approximately roughly ~ around".split())


def _closes(tokens: Sequence[Token], behind: int) -> bool:
    end = part_end(tokens, behind)
    end = next((i for i in range(behind, end) if tokens[i].low == "whichever"), end)  # "whichever turns up first"
    coming = next((i for i in range(behind, end) if tokens[i].low in _COMING and _thing_at(tokens, i)), None)
    if coming is not None:  # "20,000 km or next PM"
        return _closes(tokens[:coming], behind)
    return all(
        tokens[i].low in _SMALL
        or means("due lead", tokens[i].low)
        or tokens[i].kind in ("number", "name")
        or means("distance", tokens[i].low)
        or means("time", tokens[i].low)
        or means("season", tokens[i].low)
        for i in range(behind, end)
    )


def _figure(body: Body, tokens: Sequence[Token], at: int, found: DueFound) -> int:
    token = tokens[at]
    unit, slot, behind, slip = _unit_behind(tokens, at)
    thousands, slot = slot == "thousands", slot.replace("thousands", "distance")  # "10 thou miles"
    first = lead_of_due(tokens, at)
    at_mark = any(tokens[i].low in ("at", "@", "by", "before") for i in range(first, at))
    reached = _reached(tokens, at)
    if reached:
        first, at_mark = reached, True
    if not slot:
        return _unit_unsaid(body, tokens, at, found, first=first, at_mark=at_mark)
    if (event := _service_of(tokens, behind)) and not found.due.event:
        named = at - 1 if at and tokens[at - 1].low == "next" else at
        words = " ".join(body.raw[tokens[named].start : tokens[event - 1].end].split())
        found.due = replace(found.due, event=words)
        found.taken.update(range(first, event))
        return event
    where = place(tokens, at, behind)
    if at > 1 and tokens[at - 1].low == "or" and tokens[at - 2].kind == "number" and not tokens[at - 2].glued:
        return _or_another(body, tokens, at, behind, found)
    if slot == "distance" and not _led(tokens, first, at) and (token.value or 0) >= LONGEST_INTERVAL:
        return _without_unit(body, tokens, at, found, led=True, at_mark=True)
    loose = not _stands_as_due(tokens, first, at, behind)
    if loose and not _trails(tokens, at, behind, slot):
        # an age, or when it was done last, is no time to come back, and nothing to ask
        aged = behind < len(tokens) and tokens[behind].low in ("old", "ago")
        if slot == "distance" or not (aged or _past(tokens, first)):
            typed = body.raw[slice(*where)]
            text = f"Is {typed} when to come back? Write in {typed} behind a semicolon."
            found.remarks.append(unread(body, where, text))
        return behind
    number = plain_number(token.text)
    number = f"{number}000" if thousands and number.isdecimal() else number
    if token.kind == "name" or not is_number(number) or len(number) > LONGEST_NUMBER:
        text = f"{body.raw[slice(*where)]} is a range; write one amount, such as in 2 months."
        found.remarks.append(unread(body, where, text, blocks=True))
        return behind
    if at and first < at and not reached and tokens[at - 1].low in ("-", "to", "–"):
        return behind
    if loose:
        text = (
            f"{body.raw[slice(*where)]} was read as when to come back. Write in {body.raw[slice(*where)]} to be sure."
        )
        found.remarks.append(ask(body, where, text, f"in {body.raw[slice(*where)]}"))
    found.remarks += _ask_how_often(body, tokens[first:at], where)
    if slip:
        found.remarks.append(
            ask(body, place(tokens, behind - 1, behind), f"{tokens[behind - 1].text} was read as {unit}.", unit)
        )
    return _put(body, tokens, found, slot, Quantity(number, unit), (first, at, behind), at_mark)


def _ask_how_often(body: Body, led: Sequence[Token], where: tuple[int, int]) -> list[Remark]:
    """``every 10 h``: it is kept as due once."""
    if not any(token.low == "every" for token in led):
        return []
    amount = body.raw[slice(*where)]
    text = f"It is kept as due once, in {amount}; what comes every {amount} is written again when it was done."
    return [ask(body, where, text, f"in {amount}")]


def _unit_unsaid(body: Body, tokens: Sequence[Token], at: int, found: DueFound, *, first: int, at_mark: bool) -> int:
    """A figure without a unit: of an hour meter that is named, else asked about where it may be due."""
    token = tokens[at]
    if at and tokens[at - 1].low in _LEADS and _bare_amount(tokens, at):
        lead = tokens[at - 1].low
        text = f"{lead.capitalize()} {token.text} of what? Write the unit, such as {lead} {token.text} km, h or months."
        soon = len(token.text) < 3 and lead in ("in", "within")
        answers = tuple(f"{token.text} {unit}" for unit in (("weeks", "months") if soon else ("km", "h", "mi")))
        found.remarks.append(unread(body, place(tokens, at - 1, at + 1), text, *answers, blocks=True))
        return at + 1
    if behind := _meter_behind(tokens, at):
        if found.due.odometer:
            found.remarks.append(
                unread(body, place(tokens, at, behind), "This is given twice; write one.", blocks=True)
            )
            return behind
        found.due = replace(found.due, odometer=Quantity(plain_number(token.text), "h"))
        found.taken.update(range(first, behind))
        return behind
    return _without_unit(body, tokens, at, found, led=first < at, at_mark=at_mark)


def _without_unit(body: Body, tokens: Sequence[Token], at: int, found: DueFound, *, led: bool, at_mark: bool) -> int:
    """A large figure that nobody gave a unit is asked about; the token behind it."""
    token = tokens[at]
    where = place(tokens, at, at + 1)
    if _on_the_clock(tokens, at + 1):
        text = f"In which unit is {token.text}? Write at {token.text} mi, km or h."
        answers = tuple(f"{token.text} {one}" for one in ("mi", "km", "h"))
        found.remarks.append(unread(body, where, text, *answers, blocks=True))
        return at + 1
    value = token.value if token.kind == "number" else None
    big = value is not None and value >= 1000 and ("," in token.text or token.text[-1:] in "kK")
    if (at_mark and value is not None and (big or value >= ODOMETER_FROM)) or (big and led):
        text = f"Is {token.text} a reading of the odometer, or a distance from now? "
        text += f"Write its unit: at {token.text} mi, or in {token.text} mi."
        found.remarks.append(unread(body, where, text, f"{token.text} mi", f"{token.text} km", blocks=True))
    return at + 1


def _or_another(body: Body, tokens: Sequence[Token], at: int, behind: int, found: DueFound) -> int:
    """``in 2 or 3 months``: which of the two is asked; what was asked about the first alone goes."""
    where = place(tokens, lead_of_due(tokens, at - 2), behind)
    text = f"Two amounts stand here: {body.raw[slice(*where)]}. Write one, such as in 3 months."
    found.remarks = [one for one in found.remarks if one.start - body.at < where[0]]
    found.remarks.append(unread(body, where, text, blocks=True))
    return behind


def _trails(tokens: Sequence[Token], at: int, behind: int, slot: str) -> bool:
    """An amount that closes its comma part, behind words that tell no past; or beside a word for looking again."""
    start, end = part_start(tokens, at), part_end(tokens, behind)
    again = any(phrase_at("recheck", tokens, i) for i in range(start, end))
    if again and (behind == end or (tokens[behind].kind == "word" and bool(phrase_at("recheck", tokens, behind)))):
        return at == start or not _past(tokens, at) or tokens[at - 1].low == "after"
    value = tokens[at].value
    small = slot != "distance" or (value is not None and value < ODOMETER_FROM)
    return behind == len(tokens) and small and not _past(tokens, at) and slot != "hours"


def _past(tokens: Sequence[Token], first: int) -> bool:
    return first > 0 and tokens[first - 1].low in (
        "for",
        "since",
        "after",
        "last",
        "x",
        "over",
        "past",
        "ago",
        "every",
        "lasted",
        "at",
        "only",
        "with",
        "w/",
        "has",
        "got",
        "old",
        "under",
        "than",
        "good",
        "on",
        "of",
    )


def _unit_behind(tokens: Sequence[Token], at: int) -> tuple[str, str, int, bool]:
    """Unit, slot, the token behind, and whether the unit was mistyped."""
    token = tokens[at]
    low, behind = (
        (token.glued.lower(), at + 1) if token.glued else (tokens[at + 1].low if at + 1 < len(tokens) else "", at + 2)
    )
    typed = token.glued or (tokens[at + 1].text if at + 1 < len(tokens) else "")
    if not token.glued and low in _AS_TYPED:
        return typed, "time", behind, False
    if not token.glued and low in _RUNNING and at + 2 < len(tokens) and means("hour", tokens[at + 2].low):
        return means("hour", tokens[at + 2].low), "hours", at + 3, False
    if (
        low in ("thou", "thousand")
        and not token.glued
        and at + 2 < len(tokens)
        and means("distance", tokens[at + 2].low)
    ):
        return tokens[at + 2].text, "thousands", at + 3, False
    for table, slot in (("distance", "distance"), ("time", "time"), ("hour", "hours")):
        if unit := means(table, low):
            return (
                (unit if slot != "distance" or typed not in ("mi", "km", "miles", "mile") else typed),
                slot,
                behind,
                False,
            )
    slip = swapped("time", low)
    return (slip, "time", behind, True) if slip else ("", "", at + 1, False)


def _put(
    body: Body,
    tokens: Sequence[Token],
    found: DueFound,
    slot: str,
    amount: Quantity,
    where: tuple[int, int, int],
    at_mark: bool,
) -> int:
    first, at, behind = where
    if amount.unit == "fortnight":
        amount = Quantity(str((Quantity(amount.number, "").value or Fraction(1)) * 2), "weeks")
    value = amount.value
    if slot == "distance" and at_mark and value is not None:
        if value < ODOMETER_FROM:
            span = place(tokens, at, behind)
            text = f"Is {body.raw[slice(*span)]} a reading of the odometer, or a distance from now? "
            text += f"Write in {amount}, or the whole reading."
            found.remarks.append(unread(body, place(tokens, first, behind), text, f"in {amount}", blocks=True))
            return behind
        slot = "odometer"
    if slot == "hours" and not first < at:
        span = place(tokens, at, behind)
        text = f"Is {body.raw[slice(*span)]} when it falls due? Write in {amount}, or at {amount} of the meter."
        found.remarks.append(unread(body, span, text, f"in {amount}"))
        return behind
    if slot == "hours" and at_mark and value is not None:
        metered = _meter_behind(tokens, behind - 1)
        if value < METER_FROM and not metered:
            span = place(tokens, first, behind)
            text = f"Is {body.raw[slice(*span)]} a reading of the hour meter, or hours from now? Write in {amount}."
            found.remarks.append(unread(body, span, text, f"in {amount}", blocks=True))
            return behind
        slot, behind = "odometer", metered or behind
    if getattr(found.due, slot) is not None:
        span = place(tokens, first, behind)
        found.remarks.append(unread(body, span, "This is given twice; write one.", blocks=True))
        return behind
    if slot == "distance":
        found.due = replace(found.due, distance=amount)
    elif slot == "odometer":
        found.due = replace(found.due, odometer=amount)
    elif slot == "time":
        found.due = replace(found.due, time=amount)
    else:
        found.due = replace(found.due, hours=amount)
    found.taken.update(range(first, behind))
    return behind


def _numeral(body: Body, tokens: Sequence[Token], at: int, found: DueFound) -> int:
    """``two weeks``, ``a month``; ``a couple of weeks`` is asked about."""
    vague = phrase_at("vague", tokens, at)
    if (
        vague
        and vague[1] < len(tokens)
        and (means("time", tokens[vague[1]].low) or means("distance", tokens[vague[1]].low))
    ):
        where = place(tokens, at, vague[1] + 1)
        found.remarks.append(
            unread(
                body, where, f"How long is {body.raw[slice(*where)]}? Write a number, such as in 3 weeks.", blocks=True
            )
        )
        return vague[1] + 1
    if [token.low for token in tokens[at : at + 3]] in (["half", "a", "year"], ["half", "the", "year"]):
        return _put(
            body, tokens, found, "time", Quantity("6", "months"), (lead_of_due(tokens, at), at, at + 3), at_mark=False
        )
    number = means("numeral", tokens[at].low)
    unit = means("time", tokens[at + 1].low) if number and at + 1 < len(tokens) else ""
    if not unit:
        return 0
    first = lead_of_due(tokens, at)
    if not _stands_as_due(tokens, first, at, at + 2):
        return 0
    return _put(body, tokens, found, "time", Quantity(number, unit), (first, at, at + 2), at_mark=False)


_DAY_OF_A_MONTH = Regex(r"(?:[12]?[0-9]|3[01])(?:st|nd|rd|th)")
_COMING = ("next", "coming", "following", "upcoming")
_BEFORE_EVENTS = ("before", "by", "until", "til", "till", "after", "in", "this", "at", "with", "on")
_JOINED_TO_EVENTS = frozenset("at by on with the due in until til till before or w/ @ - – and".split())


def _thing_at(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """The event that a word such as "next", "before" or "tomorrow" opens, and the token behind it."""
    low = tokens[at].low
    if low in _COMING:
        kinds = ("thing", "weekday", "season")
        named = next((hit for kind in kinds if (hit := phrase_at(kind, tokens, at + 1))), None)
        return named or (_coming(tokens, at) if low == "next" else None)
    if low in _BEFORE_EVENTS:
        return _thing_behind(tokens, at)
    if low == "tomorrow":
        return "weekday", at + 1
    if low in ("winter", "summer", "autumn", "christmas", "xmas") and _alone(tokens, at):
        return "season", at + 1
    if low in ("fall", "spring") and at and tokens[at - 1].low == "or" and _alone(tokens, at):
        return "season", at + 1  # "5000 miles or fall"; alone they are things
    return None


def _thing_behind(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """The event behind a preposition: a season, a day of the week, or a thing such as the next service."""
    low = tokens[at].low
    skip = at + 2 if at + 1 < len(tokens) and tokens[at + 1].low in ("the", "this") else at + 1
    thing = phrase_at("season", tokens, at + 1) or phrase_at("season", tokens, skip)
    if low in ("by", "on", "this", "before"):
        dated = part_end(tokens, at) == skip + 1 and _DAY_OF_A_MONTH.fullmatch(tokens[skip].low)  # no "3rd axle"
        thing = thing or phrase_at("weekday", tokens, at + 1) or (("day", skip + 1) if dated else None)
    if low == "before" and not thing and _is_work_to_come(tokens, at):
        return "thing", at + 2
    if (low in ("at", "with") and not thing) or (low == "before" and not thing and skip > at + 1):
        thing = phrase_at("thing", tokens, skip)
    return None if low == "after" and thing and thing[0] == "season" else thing


def _is_work_to_come(tokens: Sequence[Token], at: int) -> bool:
    """``do before seeding``: behind a word that puts off, or first in its part, what is done then, and its end."""
    follows = tokens[at + 1].low if at + 1 < len(tokens) else ""
    led = part_start(tokens, at) == at or (at > 0 and phrase_at("put off", tokens, at - 1) is not None)
    return led and follows.endswith("ing") and part_end(tokens, at) == at + 2


def _event(tokens: Sequence[Token], at: int, found: DueFound) -> int:
    """``next PM``, ``at the next oil change``, ``before winter``, ``by Friday``."""
    low = tokens[at].low
    thing = _thing_at(tokens, at)
    if thing is None and not found.due.event and low == "after":
        return _after_event(tokens, at, found)
    if thing is None or found.due.event:
        return 0
    behind = thing[1]
    while behind < len(tokens) and (more := phrase_at("thing", tokens, behind)) and low == "next":
        behind = more[1]
    first = at
    while first > 0 and tokens[first - 1].low in _JOINED_TO_EVENTS:
        first -= 1
    words = [token.text for token in tokens[at:behind]]
    if first < at and any(tokens[i].low == "before" for i in range(first, at)):
        words = ["before", *words]
    found.due = replace(found.due, event=" ".join(words))
    found.taken.update(range(first, behind))
    return behind


def _is_to_come_back(tokens: Sequence[Token], at: int) -> bool:
    """``come back after calving``; "noise is back after a wash" tells of no coming."""
    led = [token.low for token in tokens[part_start(tokens, at) : at]]
    return led[-1:] == ["back"] and {*led[:-1]} <= {"to", "come"}


def _after_event(tokens: Sequence[Token], at: int, found: DueFound) -> int:
    """``till after seeding``: what it waits for, in up to four words that close their part."""
    end = at + 1
    while end < len(tokens) and end - at <= 4 and tokens[end].kind == "word":
        end += 1
    if any(tokens[i].low in ("wants", "want", "wanted") for i in range(part_start(tokens, at), at)):
        return 0  # what somebody wishes is no day that the work is due
    led = tokens[at - 1].low in ("till", "til", "until") if at else end == len(tokens)  # alone it is all that is said
    led = led or _is_to_come_back(tokens, at)
    if not led or end == at + 1 or not (end >= len(tokens) or tokens[end].low in (",", ";", ".", ")")):
        return 0
    found.due = replace(found.due, event=" ".join(token.text for token in tokens[at:end]))
    found.taken.update(range(max(0, at - 1), end))
    return end


def _coming(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """``do with the next front tyre``: up to three words, closed by a mark, ``or`` or the end."""
    if not at or tokens[at - 1].low not in ("w/", "with", "at", "@", "the", "or", "due"):
        return None
    at += 1
    end = at
    while end < len(tokens) and end - at < 4 and tokens[end].kind == "word" and tokens[end].low not in ("or", "and"):
        end += 1
    closed = end >= len(tokens) or tokens[end].low in (",", ";", ".", "or", "and", ")")
    return ("thing", end) if closed and at < end <= at + 3 else None


def _alone(tokens: Sequence[Token], at: int) -> bool:
    before = part_start(tokens, at) == at or tokens[at - 1].low in ("or", "/")
    return before and part_end(tokens, at) == at + 1
