"""Signs of a kind in the words of a line that names none: a contact, labour, a part, or work that waits.

Each sign is narrow: it holds only where hardly anything else can be meant, and any doubt leaves the line a finding.
"""

import re
from collections.abc import Sequence
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.job.values import Due
from ticket.language.lexicon import look
from ticket.notes.bought import read_used
from ticket.notes.due import find_due
from ticket.notes.hours import LONGEST_JOB, Amount, amount_at, amounts, part_start, standing
from ticket.notes.phrases import means, phrase_at
from ticket.notes.plain_contact import reached_at
from ticket.notes.plain_part import is_state
from ticket.notes.quantity import sold_unit
from ticket.notes.shapes import Context
from ticket.notes.spans import Body
from ticket.notes.tokens import Token
from ticket.notes.work_words import closes_with_operation, names_operation, opens_work, tells_work

_LIMITED = Regex(r"\(|(?<![0-9])(?<![0-9] )\bmin\b|\b(?:max|spec|should|limit)\b|\bnow\b", re.I)
_CONTACTED = frozenset("called phoned rang texted emailed told spoke informed".split())
_THEY = frozenset("he she they he'll she'll they'll hell theyll".split())
_SPOKE = frozenset("said says texted called rang phoned emailed agreed agrees wants declined".split())
_FIRST_WORDS = 4
_NEAR_START = 8
_TENTHS = Regex(r"[0-9]{0,2}\.[0-9]|[0-9]?\.(?:[27]5|50)|[0-9],[0-9]")
_NOT_BILLED = frozenset("ago later after of before since then old apart from to at".split())


# ---------------------------------------------------------------- a contact
def is_contact(tokens: Sequence[Token]) -> bool:
    """``called Ada, she said yes``, ``txt to Bo 14:05, no reply``, ``owner says go ahead``: reached, or answered."""
    if any(token.low in _CONTACTED for token in tokens[:_FIRST_WORDS]) and _told_something(tokens):
        return True
    if _reached_first(tokens) and _told_something(tokens, timed=True):
        return True
    if reached_at(tokens, 0) and any(
        token.low in _THEY or phrase_at("ceiling", tokens, i) for i, token in enumerate(tokens)
    ):
        return True
    if _nobody_answered(tokens):
        return True
    person = _person(tokens)
    if not person:
        return False
    if _in_front(tokens) and _told_something(tokens):
        return True
    titled = bool(means("person", tokens[0].low))
    return _spoken(tokens, person, titled=titled)


def _nobody_answered(tokens: Sequence[Token]) -> bool:
    """``no ans at 555-0133, lm 3pm``: it opens the line, beside the number that was tried."""
    opens = len(tokens) > 1 and tokens[0].low == "no" and tokens[1].low in ("ans", "answer", "reply", "pickup")
    return opens and any(token.kind in ("phone", "clock") for token in tokens)


def is_of_two_minds(tokens: Sequence[Token]) -> bool:
    """``Rhoda wants to think``, ``cust at the counter, yes``: a person, and what no thing does or where none stands."""
    person = _person(tokens) if tokens else 0
    role = bool(person and means("person", tokens[0].low))
    here = role and bool(phrase_at("way", tokens, person)) and tokens[person].low in ("at", "@", "in")
    return bool(person) and (bool(phrase_at("mind", tokens, person)) or here)


# Answers that things give too: "owner says no heat", "driver says ok when cold".
_DOUBTFUL = frozenset(
    "ok okay no not wait waits hold holding on skip skips later maybe confirmed confirms confirm accepts accept agree"
    " agrees agreed against all pass passes go proceed thinks thinking defer deferred price approval refuses refused"
    " rejects reject".split()
)
_TO_THINGS = frozenset("to with on".split())


def is_answer_of_role(tokens: Sequence[Token]) -> bool:
    """``wife authorised pads to 350 max``, ``dispatcher ok with brakes``: a person, then an answer no thing gives."""
    at = 1 if tokens and tokens[0].low == "the" else 0
    if at >= len(tokens) or means("person", tokens[at].low) != "role":
        return False
    at += 1
    if at < len(tokens) and tokens[at].low in ("said", "says", "is", "was"):
        said = phrase_at("answer", tokens, at)
        at = at if said and said[1] > at + 1 else at + 1
    hit = phrase_at("answer", tokens, at)
    if hit is None or tokens[at].kind != "word":
        return False
    first = at + 1 if tokens[at].low in ("said", "says", "gave", "gives") else at
    clear = tokens[first].low not in _DOUBTFUL or hit[1] > first + 1
    closed = hit[1] < len(tokens) and (tokens[hit[1]].low in _TO_THINGS or bool(phrase_at("all", tokens, hit[1])))
    denied = any(token.low in ("n't", "if", "when") for token in tokens)
    return (clear or closed or tokens[hit[1] - 1].low == "to") and not denied


def _told_something(tokens: Sequence[Token], *, timed: bool = False) -> bool:
    """An answer, no answer, or a decision that is still open; behind a contact also its number or its time."""
    return any(
        phrase_at("answer", tokens, at) or phrase_at("no answer", tokens, at) or phrase_at("open answer", tokens, at)
        for at in range(1, len(tokens))
    ) or (timed and any(token.kind in ("phone", "clock") for token in tokens))


def _reached_first(tokens: Sequence[Token]) -> bool:
    """A way of reaching somebody stands first, or behind the time: ``left vm``, ``txt from Bo``, ``11.15 called``."""
    first = 1 if tokens and tokens[0].kind == "clock" else 0
    hit = reached_at(tokens, first)
    if hit is None or hit[1] >= len(tokens):
        return False
    follows = tokens[hit[1]]
    return hit[0] == "sure" or follows.low in ("to", "from", "sent", "w/", "with") or follows.text[:1].isupper()


def _person(tokens: Sequence[Token]) -> int:
    """The token behind a person at the start: a title and a name, a role, or a name; 0 where none stands there."""
    if not tokens or tokens[0].kind != "word":
        return 0
    if phrase_at("way", tokens, 0) and tokens[0].low in ("in", "at", "by"):
        return 1
    if means("person", tokens[0].low) == "title":
        at = 1 + (len(tokens) > 1 and tokens[1].low == ".")
        while at < len(tokens) and tokens[at].kind == "word" and tokens[at].text[:1].isupper():
            at += 1
        return at
    if means("person", tokens[0].low):
        return 1
    at = 0
    while at < min(2, len(tokens)) and tokens[at].kind == "word" and tokens[at].text[:1].isupper():
        at += 1
    return at


def _in_front(tokens: Sequence[Token]) -> bool:
    """A way that only people take stands near the start: at the counter, in person, rang back, by phone."""
    return any(
        (hit := phrase_at("way", tokens, at)) and (hit[0] != "phone" or hit[1] - at > 1 or tokens[at].low in _SPOKE)
        for at in range(min(_NEAR_START, len(tokens)))
    )


def _spoken(tokens: Sequence[Token], at: int, *, titled: bool) -> bool:
    """What stands right behind a person is an answer; of a bare name only what no thing can say."""
    if at >= len(tokens):
        return False
    if phrase_at("mind", tokens, at):
        return True
    if tokens[at].low in ("said", "says") and at + 1 < len(tokens):
        hit = phrase_at("answer", tokens, at + 1) or phrase_at("answer", tokens, at)
        return hit is not None and (titled or hit[1] - at > 2 or tokens[at + 1].low in ("yes", "yeah", "yep"))
    hit = phrase_at("answer", tokens, at)
    return titled and hit is not None and tokens[at].low not in ("ok", "okay", "no", "wait", "hold")


# ---------------------------------------------------------------- labour
def is_labour(tokens: Sequence[Token], text: str) -> bool:
    """Hours that stand as hours to bill, beside a word for an operation."""
    worked = [at for at, token in enumerate(tokens) if means("operation", token.low)]
    if not worked:
        return False
    found = amounts(tokens)
    if any(amount.whole for amount in found):
        found = [amount for amount in found if amount.whole]
    if len(found) == 1 and _billed(tokens, found[0], worked, limited=bool(_LIMITED.search(text))):
        return True
    return not amounts(tokens) and _bare_tenths(tokens, worked)


def _billed(tokens: Sequence[Token], amount: Amount, worked: list[int], *, limited: bool) -> bool:
    behind = amount.behind
    opens = amount.first == 0 and worked[0] <= behind + 1
    closes = behind == len(tokens) or (behind + 1 == len(tokens) and tokens[behind].low in ".)")
    way = standing(tokens, amount)
    if not amount.whole:
        measured = tokens[1].kind == "number"  # "drain 180 mA 20 min"
        opened = worked[0] == 0 and means("operation", tokens[0].low) == "work"
        return opened and not measured and not limited and way != "runs"
    if amount.first == 0 and behind < len(tokens) and tokens[behind].low == "of":
        return way in ("plain", "labour")
    if way not in ("plain", "labour", "open" if opens or (worked[0] == 0 and closes) else "plain"):
        return False
    if opens or (worked[0] == 0 and closes):
        return True
    if worked[0] == 0 and behind < len(tokens) and tokens[behind].low in (",", ";"):
        return True
    followed = behind < len(tokens) and tokens[behind].low in _NOT_BILLED
    if worked[0] == 0 and not limited and not followed:
        return True
    return not limited and (amount.first == 0 or closes)


def _bare_tenths(tokens: Sequence[Token], worked: list[int]) -> bool:
    """``0.8 clean carb``, ``R&R fan 1.4``: tenths without a unit at an end; an adjustment may end in its reading."""
    last = len(tokens) - 1
    if last < 1:
        return False
    if worked[0] == 1 and _is_tenths(tokens[0]):
        return True
    before = tokens[last - 1]
    return (
        worked[0] == 0
        and tokens[1].kind != "number"  # "grease 1 tube 7.50"
        and means("operation", tokens[0].low) == "work"
        and _is_tenths(tokens[last])
        and before.kind in ("word", "mark")
        and (before.low != "," or tokens[last - 2].kind != "number")  # a list of figures
        and before.low not in ("=", "±", "-", "/", "@", "<", ">", "~")
        and not means("not hours", before.low)
        and not means("naming", before.low)
    )


def _is_tenths(token: Token) -> bool:
    """``.4``, ``1,7``, ``2.25``; other hundredths are cents."""
    return token.kind == "number" and not token.glued and _TENTHS.fullmatch(token.text) is not None


_SHORTEST = Fraction(1, 2)


def is_time_at_work(tokens: Sequence[Token]) -> bool:
    """``45 min freeing the seized nut``, ``1.5 hr swapping hubs``: a time, what somebody was doing, and no reading."""
    found = amounts(tokens)
    if len(found) != 1 or found[0].first or found[0].doubt or found[0].behind >= len(tokens) - 1:
        return False
    at = found[0].behind
    doing, long = tokens[at], found[0].whole or found[0].hours >= _SHORTEST
    worked = doing.kind == "word" and doing.low.endswith("ing") and len(doing.low) > len("king")
    on_it = doing.low == "on" and tokens[at + 1].low in ("the", "this")
    runs = any(phrase_at("running", tokens, i) for i in range(at, min(at + 2, len(tokens))))
    figures = any(token.kind in ("number", "count", "money") for token in tokens[at:])
    return long and (worked or on_it) and not runs and not figures


def _low(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].low if at < len(tokens) else ""


def opens_with_hours(tokens: Sequence[Token]) -> bool:
    """``1.5 hr chase no crank``, ``0.2 h torqued the nuts``: hours in front of a word for what somebody did."""
    found = amount_at(tokens, 0) if tokens else None
    if found is None or found.hours > LONGEST_JOB or found.doubt:
        return False
    if not found.whole and (found.hours < _SHORTEST or means("operation", _low(tokens, found.behind)) != "work"):
        return False  # "45 min swapped the wheel cylinder"
    at = found.behind
    if at + 1 >= len(tokens) or tokens[at].kind != "word" or phrase_at("running", tokens, at):
        return False
    worked = means("operation", tokens[at].low) or any(
        one.cls == "work" or (one.cls == "doing" and one.form in ("base", "past", "gerund"))
        for one in look(tokens[at].low)
    )
    return bool(worked) and tokens[at + 1].kind in ("word", "name")


def closes_with_hours(tokens: Sequence[Token]) -> bool:
    """``seat milled, coded ECU 1.8 h``, ``belt done, 2.25 hrs``: hours close the line, and work is told.

    Minutes and figures without a unit are too little by themselves: work has to open the line.
    """
    found = [amount for amount in amounts(tokens) if amount.whole] or amounts(tokens)
    if not found:
        return _closes_with_tenths(tokens)
    last = found[-1]
    if len(found) > 1 or last.first < _SHORT_LINE or last.hours > LONGEST_JOB:
        return False
    if standing(tokens, last) in ("runs", "each") or tokens[last.first - 1].low in ("in", "at", "by"):
        return False
    labour = phrase_at("labour", tokens, last.behind)
    start, closed = part_start(tokens, last.first), len(tokens) in (last.behind, labour[1] if labour else 0)
    parted = start == last.first or tokens[last.first - 1].low == "or"  # "1.5 or 2 h": asked about, labour all the same
    if not closed and not (parted and tokens[last.behind].low in (",", ";", ".")):
        return False
    if any(phrase_at("elapsed", tokens, at) or phrase_at("running", tokens, at) for at in range(start, last.first)):
        return False
    if not last.whole:
        return parted and last.hours >= _SHORTEST_JOB and opens_work(tokens, 0)
    return names_operation(tokens) or (tells_work(tokens) and not tokens[last.first].text.isdecimal())


def _closes_with_tenths(tokens: Sequence[Token]) -> bool:
    """``cleaned both earths, tightened to 12 Nm, .4``: tenths behind the last comma, and no list of figures."""
    if len(tokens) <= _SHORT_LINE or not _is_tenths(tokens[-1]) or tokens[-2].low != ",":
        return False
    work = phrase_at("operation", tokens, 0)
    opens = opens_work(tokens, 0) and (work is None or work[0] == "work")
    return tokens[-3].kind != "number" and (opens or closes_with_operation(tokens))


_SHORT_LINE = 2
_SHORTEST_JOB = Fraction(1, 6)


# ---------------------------------------------------------------- a part
_FLUIDS = frozenset({"qt", "gal", "pt", "L", "mL", "oz", "fl oz"})
_PUT_IN = _FLUIDS | {"lb", "kg", "g", "tube", "bottle", "cc"}


def is_filled(tokens: Sequence[Token], text: str) -> bool:
    """``5 qt 80W-90 into the rear axle``: so much of a fluid, by its name, into a thing."""
    if len(tokens) < 4 or tokens[0].kind != "number":
        return False
    unit = tokens[0].glued or tokens[1].low
    named = 1 if tokens[0].glued else 2
    into = next((at for at, token in enumerate(tokens) if token.low == "into"), 0)
    return means("sold", unit.lower()) in _FLUIDS and named < into < named + 4 and not is_state(text)


def is_put_in(tokens: Sequence[Token], text: str) -> bool:
    """``topped adblue 20 L``, ``recharged 1.4 lb``: words for filling open the line, and so much went in."""
    filling = phrase_at("filling", tokens, 0) if tokens else None
    if filling is None or filling[1] >= len(tokens) or _LIMITED.search(text):
        return False
    if is_state(text[tokens[filling[1]].start :]):
        return False
    sold = (sold_unit(tokens, at) for at, token in enumerate(tokens) if token.kind == "number")
    return any(unit is not None and means("sold", unit[0].lower()) in _PUT_IN for unit in sold)


def is_priced(text: str) -> bool:
    """A sum that shows as a price stands on the line: by its sign, its mark, or what it is for."""
    return _EACH.search(text) is not None


def is_part(body: Body, tokens: Sequence[Token]) -> bool:
    """``6 gal premix 11.80/gal``, ``1 dryer 7781-A 64.25``: an amount, a name, and a price that shows as one."""
    if not tokens or not (
        tokens[0].kind in ("number", "count") or means("numeral", tokens[0].low) or _by_the_set(tokens)
    ):
        return False
    if phrase_at("running", tokens, 1) or any(token.low in ("total", "now", "was") for token in tokens):
        return False
    head = read_used(body, Context())
    made = {name: str(head.fields.get(name, "")) for name in ("amount", "unit", "part", "text", "price")}
    if _by_the_set(tokens):
        return bool(made["part"] and made["price"])
    if not made["amount"] or not any(char.isalpha() for char in made["text"]):
        return False
    priced = _priced(body, tokens)
    if made["price"]:
        return priced or bool(made["part"])
    return priced and made["unit"] not in ("", "x") and any(remark.blocks for remark in head.remarks)


def _by_the_set(tokens: Sequence[Token]) -> bool:
    return tokens[0].low in ("set", "pair") and len(tokens) > 1 and tokens[1].kind == "word"


_EACH = Regex(
    r"(?:[$£€]|@ ?)[0-9.,]+|[0-9]\s?(?:ea|each|apiece)\b|/-|[0-9.] ?(?:/|per |a )[A-Za-z]+\.?\s*\Z"
    r"|\b[aàá] [0-9]+[.,][0-9]{2}\s*\Z",
    re.I,
)
_CENTS = Regex(r"[0-9][.,][0-9]{2}\s*\Z")


def _priced(body: Body, tokens: Sequence[Token]) -> bool:
    measured = tokens[0].kind == "number" and (tokens[0].glued or (len(tokens) > 1 and means("sold", tokens[1].low)))
    return bool(_EACH.search(body.bare)) or bool(measured and _CENTS.search(body.bare))


# ---------------------------------------------------------------- work that waits
def waits(body: Body, tokens: Sequence[Token]) -> bool:
    """``discs can wait, look again in 6 months``: put off in so many words, and when it falls due."""
    put_off = [hit for at in range(len(tokens)) if (hit := phrase_at("put off", tokens, at))]
    first = phrase_at("recheck", tokens, 0)
    if not (put_off or first):
        return False
    found = find_due(body, tokens)
    return found.due != Due() or bool(found.date) or any(remark.blocks for remark in found.remarks)
