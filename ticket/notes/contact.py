"""Who was reached, by which way, at which number and when: the start of a contact's line."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ticket.job.regex import Regex
from ticket.job.wall import calendar_day
from ticket.language.lexicon import look
from ticket.notes.answers import NOT
from ticket.notes.asking import place
from ticket.notes.hours import part_start
from ticket.notes.phrases import means, phrase_at, swapped
from ticket.notes.shapes import time_in
from ticket.notes.spans import Body
from ticket.notes.spoken_times import told_time
from ticket.notes.sums import figure_of
from ticket.notes.tokens import Token

_CLOCK = Regex(r"([0-9]{1,2})(?:[:.]([0-9]{2}))?\s?([ap]?)", re.I)
_SHORT_NUMBER = Regex(r"[0-9]{3}-[0-9]{1,4}|[0-9]{3,5}-[0-9]{4,8}")
_DOTTED = Regex(r"[0-9]{1,2}\.[0-5][0-9]")
_EXTENSION = Regex(r"ext|extn|extension")
_SHORT_EXTENSION = Regex(r"x[0-9]{2,6}")
_DATED = Regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WITH = frozenset(
    {
        "w/",
        "with",
        "to",
        "for",
        "message",
        "msg",
        "at",
        "on",
        "cust",
        "him",
        "her",
        "them",
        "the",
        "on:",
        "back",
        "from",
    }
)
_NUMBER_LEADS = frozenset("@ at on ph ph. phone tel cell # : mob mobile no number".split())
_EDGES = frozenset(",;:–—")
_INFORMED = frozenset({"told", "informed", "advised", "notified", "updated"})
DENIALS = NOT | frozenset(
    "not never hasn't hasnt haven't didn't didnt won't wont can't cannot isn't wasn't don't dont doesn't doesnt "
    "without did does has will must should could may might to be".split()
)
"""Words that turn or weaken the answer behind them; no part of a name."""
_SPEAK = frozenset("he she they i we wants want says said leaves leave needs trusts decides would".split())
_SMALLEST_SUM = 100
_ROLES = frozenset(
    "owner wife husband mgr manager boss driver customer cust foreman dispatch dispatcher fleet mr mrs ms".split()
)


@dataclass(slots=True)
class Contact:
    """The fields of the start, the token behind it, and tokens further on that belong to it."""

    fields: dict[str, str] = field(default_factory=dict)
    behind: int = 0
    taken: set[int] = field(default_factory=set)


def clock_of(text: str) -> str:
    """``1:15pm`` or ``14:10`` as a time of the notation, ``13:15``; empty where it is none."""
    match = _CLOCK.match(text)
    if match is None:
        return ""
    hours, minutes, half = int(match[1]), match[2] or "00", match[3].lower()
    if half and not 1 <= hours <= 12:
        return ""
    if half:
        hours = hours % 12 + (12 if half == "p" else 0)
        return f"{hours}:{minutes}"
    return time_in(f"{hours}:{minutes}")


def contact_of(body: Body, tokens: Sequence[Token]) -> Contact:
    """The contact at the start of a body."""
    contact = Contact({"who": ""})
    answered = _first_answer(tokens)
    way = _way(tokens, len(tokens))
    led = way is not None and way[3] and way[0] <= answered
    if way:
        contact.fields["way"] = way[2]
        contact.taken.update(range(way[0], way[1]))
    _number(body, tokens, contact, way)
    extension = _extension(body, tokens, contact)
    _time(tokens, contact)
    first = min(way[0] if way and (led or way[0] <= answered) else answered, extension)
    stop = first if led else min(first, _edge(tokens, 0), _clock_or_phone(tokens), _speaking(tokens))
    things = not way and (_things_answered(tokens) or _is_thing(tokens[:stop]))
    if _names_sum(tokens[:stop]) or things or (tokens and tokens[0].low in _INFORMED):
        stop = 0
    while stop and stop <= len(tokens) and tokens[stop - 1].low in DENIALS:
        stop -= 1
    _who(body, tokens, contact, stop, way)
    if not contact.fields["who"]:
        _who_named(body, tokens, contact)
    contact.behind = _behind(tokens, contact, stop)
    return contact


def _speaking(tokens: Sequence[Token]) -> int:
    """A pronoun, a verb of wanting or a denial: no part of a name."""
    return next((at for at, token in enumerate(tokens) if token.low in _SPEAK or token.low in NOT), len(tokens))


def _things_answered(tokens: Sequence[Token]) -> bool:
    """``brakes yes, tires no``: two comma parts that end in an answer name things, not people."""
    ends = [at for at in range(len(tokens) + 1) if at == len(tokens) or tokens[at].low in (",", ";")]
    starts = [0, *(end + 1 for end in ends)]
    closed = 0
    for start, end in zip(starts, ends, strict=False):
        closed += any((hit := phrase_at("answer", tokens, at)) and hit[1] == end for at in range(start + 1, end))
    return closed > 1


def _is_thing(words: Sequence[Token]) -> bool:
    """``tires declined``, ``front pads ok``: a noun in small letters is what was answered, nobody's name."""
    if not words or any(word.kind != "word" or word.text != word.low or _is_person(word) for word in words):
        return False
    return any(one.cls == "thing" and one.kind != "general" for one in look(words[-1].low))


def _is_person(word: Token) -> bool:
    return bool(means("person", word.low)) or word.low in _ROLES or word.low in _DRIVING


_DRIVING = frozenset({"driver", "drivers", "operator", "rider", "passenger"})  # things, too, by their names


def _who_named(body: Body, tokens: Sequence[Token], contact: Contact) -> None:
    """``ok'd by Dora``, ``ok per Lou``, ``verbal ok from Rex``: the name stands behind the answer."""
    for at, token in enumerate(tokens[:-1]):
        if token.low not in ("by", "per", "from") or at in contact.taken or at + 1 in contact.taken:
            continue
        end = _name_end(tokens, at + 1)
        name = tokens[at + 1]
        titled = name.text[:1].isupper() or name.low in _ROLES
        if at and end > at + 1 and (titled or phrase_at("answer", tokens, at - 1)) and not means("weekday", name.low):
            contact.fields["who"] = body.raw[slice(*place(tokens, at + 1, end))]
            contact.taken.update(range(at, end))
            return


def _name_end(tokens: Sequence[Token], at: int) -> int:
    """The token behind a name: up to four words, with the full stop of a title."""
    end = at
    while end < len(tokens) and end - at < 5:
        title = (
            tokens[end].low == "."
            and end > at
            and tokens[end - 1].end == tokens[end].start
            and len(tokens[end - 1].text) <= 3
        )
        if not title and (tokens[end].kind != "word" or _ends_name(tokens, end)):
            break
        end += 1
    return end


def _first_answer(tokens: Sequence[Token]) -> int:
    """The first token of an answer, of ``no answer`` or of a sum."""
    for at in range(len(tokens)):
        if (
            any(
                phrase_at(table, tokens, at)
                for table in ("answer", "no answer", "pending", "ceiling", "total", "deposit", "estimate", "if", "idle")
            )
            or tokens[at].kind == "money"
        ):
            if not (at == 0 and tokens[at].low in ("job",)):
                return at
    return len(tokens)


def _edge(tokens: Sequence[Token], at: int) -> int:
    for i in range(at, len(tokens)):
        if tokens[i].low in _EDGES or (tokens[i].low == "-" and i and tokens[i - 1].end < tokens[i].start):
            return i
    return len(tokens)


def _clock_or_phone(tokens: Sequence[Token]) -> int:
    return next(
        (i for i, token in enumerate(tokens) if token.kind in ("clock", "phone", "mail") or _is_number(token)),
        len(tokens),
    )


def _is_number(token: Token) -> bool:
    return token.kind == "phone" or (token.kind == "name" and _SHORT_NUMBER.fullmatch(token.text) is not None)


def _way(tokens: Sequence[Token], stop: int) -> tuple[int, int, str, bool] | None:
    """First token, token behind, way, and whether ``by`` or the like leads it; a led way counts before a bare one."""
    bare: tuple[int, int, str, bool] | None = None
    for at in range(stop):
        led = phrase_at("led", tokens, at)
        if led:
            hit = phrase_at("way", tokens, led[1])
            slip = swapped("way", tokens[led[1]].low) if not hit and led[1] < len(tokens) else ""
            if hit or slip:
                return at, hit[1] if hit else led[1] + 1, hit[0] if hit else slip, True
        hit = phrase_at("way", tokens, at)
        if hit and bare is None and _is_way(tokens, at, hit[1]):
            if phrase_at("no answer", tokens, at):
                continue  # "left message" is what was answered; how it was left need not be said
            bare = (at, hit[1], hit[0], hit[0].startswith("in ") or tokens[at].low in ("by", "via"))
            if bare[3]:
                return bare
    if (
        bare is None
        and any(phrase_at("no answer", tokens, at) for at in range(stop))
        and any(_is_number(token) for token in tokens)
    ):
        return 0, 0, "phone", False
    return bare


def _is_way(tokens: Sequence[Token], at: int, behind: int) -> bool:
    """``will call`` and ``phone charger`` are no way; ``called`` is one anywhere, a noun before a number or mark."""
    word = tokens[at].low
    if at and tokens[at - 1].low in ("will", "to", "please", "pls", "must", "should", "the", "new", "a"):
        return False
    if (
        word.endswith(("ed", "ang", "ung", "ails", "oke"))
        or behind - at > 1
        or word.startswith(("vm", "lvm", "voice", "sms", "txt"))
    ):
        return True
    follows = tokens[behind] if behind < len(tokens) else None
    return (
        follows is None
        or follows.kind in ("mark", "clock", "phone", "number", "mail")
        or _is_number(follows)
        or at == 0
        or phrase_at("answer", tokens, behind) is not None
    )


def _who(
    body: Body, tokens: Sequence[Token], contact: Contact, stop: int, way: tuple[int, int, str, bool] | None
) -> None:
    first, last = 0, stop
    while last > first and (
        last - 1 in contact.taken
        or tokens[last - 1].low in _EDGES
        or tokens[last - 1].low == "("
        or (tokens[last - 1].low == "-" and last - 1 > 0)
    ):
        last -= 1
    if first < last and tokens[first].kind == "span" and last == first + 1:
        contact.fields["who"] = body.cut(tokens[first].start, tokens[first].end).text
        return
    if first < last:
        contact.fields["who"] = body.cut(*place(tokens, first, last)).text
        return
    _who_behind(body, tokens, contact, way)


def _names_sum(tokens: Sequence[Token]) -> bool:
    """``640 quoted``, ``until 900``: no name; ``unit 4417`` is one."""
    return any(
        figure_of(tokens, at)
        and (token.kind == "money" or (token.value or 0) >= _SMALLEST_SUM)
        and not (at and (means("naming", tokens[at - 1].low) or means("reference", tokens[at - 1].low)))
        for at, token in enumerate(tokens)
    )


def _who_behind(body: Body, tokens: Sequence[Token], contact: Contact, way: tuple[int, int, str, bool] | None) -> None:
    """``called Ada``, ``left vm w/ Ada``: the name stands behind the way."""
    reached = phrase_at("no answer", tokens, 0)
    at = max(way[1] if way and way[0] == 0 else 0, reached[1] if reached else 0)
    if tokens and tokens[0].low in _INFORMED:
        at = 1
    while at and at < len(tokens) and (at in contact.taken or tokens[at].low in _EDGES):
        at += 1
    if not at or at >= len(tokens):
        return
    led = at
    while at < len(tokens) and tokens[at].low in _WITH:
        at += 1
    end = _name_end(tokens, at)
    if at > led and at < len(tokens) and tokens[at].low in _ENCLOSED:
        return  # "text w/ photo"
    if end > at and (at > led or tokens[at].text[:1].isupper() or (way and not reached)):
        contact.fields["who"] = body.raw[slice(*place(tokens, at, end))]
        contact.taken.update(range(led, end))


def _ends_name(tokens: Sequence[Token], at: int) -> bool:
    return (
        any(
            phrase_at(table, tokens, at)
            for table in ("answer", "no answer", "pending", "total", "ceiling", "way", "led")
        )
        or bool(means("deciding", tokens[at].low))
        or tokens[at].low
        in (
            "at",
            "re",
            "about",
            "and",
            "cell",
            "-",
            "is",
            "car",
            "that",
            "for",
            "to",
            "w/",
            "with",
            "are",
            *DENIALS,
            *_SPEAK,
        )
    )


def _number(body: Body, tokens: Sequence[Token], contact: Contact, way: tuple[int, int, str, bool] | None) -> None:
    """The number or address used: of its own shape anywhere, or any figure right behind a way that was led."""
    for at, token in enumerate(tokens):
        previous = tokens[at - 1].low if at else ""
        if (
            (token.kind in ("phone", "mail") or _is_number(token))
            and not means("reference", previous)
            and previous != "#"
        ):
            _address(tokens, contact, at, body.raw[token.start : token.end], way)
            return
    if way is None or not (way[3] or way[2] == "phone") or way[1] >= len(tokens) or not way[1]:
        return
    token = tokens[way[1]]
    if token.kind == "span":
        _address(tokens, contact, way[1], body.cut(token.start, token.end).text, way)
    elif (
        token.kind == "number" and not token.glued and token.text.isdecimal() and 3 <= len(token.text) <= 15 and way[3]
    ):
        _address(tokens, contact, way[1], token.text, way)


def _extension(body: Body, tokens: Sequence[Token], contact: Contact) -> int:
    """``ext 214``, ``x214``: a number of a telephone behind the one that is dialled; where it begins, else the end."""
    for at, token in enumerate(tokens):
        dotted = at + 1 < len(tokens) and tokens[at + 1].low == "."
        figure = at + (2 if dotted else 1)
        if _SHORT_EXTENSION.fullmatch(token.low):
            figure = at
        elif not (_EXTENSION.fullmatch(token.low) and figure < len(tokens) and tokens[figure].text.isdecimal()):
            continue
        if not _ends_number(tokens, figure + 1):
            continue  # "ext 3 year warranty"
        number = body.raw[slice(*place(tokens, at, figure + 1))]
        contact.fields["address"] = f"{contact.fields.get('address', '')} {number}".strip()
        contact.fields.setdefault("way", "phone")
        contact.taken.update(range(at, figure + 1))
        return _take_lead(tokens, contact, at)
    return len(tokens)


def _ends_number(tokens: Sequence[Token], at: int) -> bool:
    """Whether no word of a sentence stands behind a number."""
    return (
        at >= len(tokens)
        or tokens[at].kind != "word"
        or any(phrase_at(table, tokens, at) for table in ("led", "way", "answer", "no answer"))
    )


def _address(
    tokens: Sequence[Token], contact: Contact, at: int, text: str, way: tuple[int, int, str, bool] | None
) -> None:
    contact.fields["address"] = text
    contact.taken.add(at)
    mail = tokens[at].kind == "mail"
    contact.fields.setdefault("way", "email" if mail else "phone")
    if at and at + 1 < len(tokens) and tokens[at - 1].low == "(" and tokens[at + 1].low == ")":
        contact.taken.update((at - 1, at + 1))
    _take_lead(tokens, contact, at)


def _take_lead(tokens: Sequence[Token], contact: Contact, at: int) -> int:
    """The words in front of a number that say no more than that it is one belong to it; where they begin."""
    while at and tokens[at - 1].low in _NUMBER_LEADS and at - 1 not in contact.taken:
        at -= 1
        contact.taken.add(at)
    return at


def _time(tokens: Sequence[Token], contact: Contact) -> None:
    """The one clock time of the line; two are an appointment and the contact, and nobody can tell which."""
    clocks = [at for at, token in enumerate(tokens) if token.kind == "clock" and clock_of(token.text)]
    told = told_time(tokens) if not clocks else None
    if told is not None:
        contact.fields["at"], first, behind = told
        contact.taken.update(range(first, behind))
        return
    if not clocks:  # "at 14.20" in front of the first comma is no sum
        edge = _edge(tokens, 0)
        clocks = [
            at
            for at in range(1, edge)
            if _DOTTED.fullmatch(tokens[at].text)
            and (tokens[at - 1].low == "at" or means("way", tokens[at - 1].low) or _called(tokens, at, edge))
            and clock_of(tokens[at].text)
        ]
    if len(clocks) != 1:
        return
    at = clocks[0]
    before = tokens[at - 1].low if at else ""
    if before in ("by", "until", "til", "till", "before", "after", "from", "ready", "for", "in", "tomorrow", "around"):
        return
    if _appointed(tokens, at):
        return
    first = at
    day = ""
    if at and tokens[at - 1].kind == "day" and _DATED.fullmatch(tokens[at - 1].text):
        if calendar_day(tokens[at - 1].text) is None:
            return
        day, first = tokens[at - 1].text + " ", at - 1
    if first and tokens[first - 1].low in ("at", "@"):
        first -= 1
    contact.fields["at"] = day + clock_of(tokens[at].text)
    contact.taken.update(range(first, at + 1))


_ENCLOSED = frozenset(
    "photo photos pic pics picture pictures video price prices quote estimate est link invoice bill".split()
)
"""What is sent with a message, and nobody it is sent to."""
_APPOINTED = frozenset("booked picks pick picking collects collect coming comes back drops appointment appt".split())
_RANG = frozenset("called rang phoned texted wrote answered got".split())


def _appointed(tokens: Sequence[Token], at: int) -> bool:
    """``booked Fri 8 am``, ``custodian picks up 3:30``: an appointment; "called back 3:30" is none."""
    words = [token.low for token in tokens[part_start(tokens, at) : at]]
    return any(word in _APPOINTED and not (i and words[i - 1] in _RANG) for i, word in enumerate(words))


def _called(tokens: Sequence[Token], at: int, edge: int) -> bool:
    """``rang Ada Fenn 10.40,``: behind a way and a name, in front of the first comma, a sum has no place."""
    way = phrase_at("way", tokens, 0)
    return (
        way is not None
        and at + 1 == edge
        and way[1] < at
        and all(token.kind == "word" and token.text[:1].isupper() for token in tokens[way[1] : at])
    )


def _behind(tokens: Sequence[Token], contact: Contact, stop: int) -> int:
    """The token where what was said begins."""
    at = stop
    while at < len(tokens) and (at in contact.taken or tokens[at].low in _EDGES or tokens[at].low == "-"):
        at += 1
    return at
