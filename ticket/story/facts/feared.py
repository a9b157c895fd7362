"""What was typed behind the work or the risk of something that waits, and is no part of either.

"risk: poor grip; waiting on Nadia": what is feared ends where a reason, a day, or something asked of the customer
begins. Told as part of the risk it would hide there, or say that the day is when the danger comes.
"""

from dataclasses import dataclass
from functools import lru_cache

from ticket.job.kinds import Later
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.notes.due import due_of, event_of

_YOUR_ANSWER = Regex(
    r"(?i)(?:because )?(?:still )?wait(?:ing?|s)? (?:on|for) "
    r"(?:(?:her|his|their|the|an?|cust(?:omer)?(?:['’]s)?|owner(?:['’]s)?) )?"
    r"(?:answer|reply|ok|okay|go-ahead|decision|approval|word|yes)|(?:because )?no (?:answer|reply)(?: yet)?"
)
"""A reason that is the customer's own answer, typed of her and told to her."""
_NOT_DECIDED = Regex(r"(?i)not (?:yet )?(?:approved|agreed|decided|answered|ok['’]?d|okayed)(?: yet)?")
_FOR_SOMEBODY = Regex(r"(?i)(?:still )?wait(?:ing|s)? (?:on|for|to hear from) (.+)")
_WAITS = Regex(
    r"(?i)\b(?:back[- ]?order\w*|on order|ordered|wait(?:s|ing|in)?|parts? (?:to come|coming|comes?|not in|eta|due|"
    r"late|arriv\w+)|no parts?|supply (?:house|shop|store)|suppliers?|not in (?:stock|yet)|not in\Z|eta|"
    r"(?:wrong|other|right|new) (?:parts?|kit|one)s? (?:sent|came|ordered|due|coming)|"
    r"closed (?:till?|until|on|for|over|mon|tue|wed|thu|fri|sat|sun)\w*|he|she|(?:they|who) (?:want|will|pay)\w*|"
    r"they['’]ll|(?:cust(?:omer)?|owner|driver) wants?|turned down|sa(?:id|ys) no|declin\w+|refused|"
    r"(?:money|cash|funds|budget)(?! (?:light|box|back))|can(?:no|['’])?t afford|payday)\b"
)
"""Why something is not done, and no reason for its urgency."""
_ON_A_PART = Regex(
    r"(?i)\b(?:back[- ]?order\w*|on order|ordered|eta|"
    r"(?:parts?|kit) (?:to come|coming|comes?|not in|eta|due|late|sent))\b"
)
_PLEASE = Regex(
    r"(?i)(?:please )?(?:call|ring|phone|text|bring|come back|stop in|film|write|jot|note|check|watch|keep an eye|"
    r"listen|"
    r"do not|don['’]?t|never|(?:leave|park|chock) (?:it|in)|chock|take it easy|go easy|"
    r"drive (?:slow\w*|gently|easy|with care)|avoid|"
    r"if it (?:\w+ ){1,6}?(?:,|then) ?(?:leave|call|ring|stop|bring))\b(?! out\b)"
)
"""How a piece begins that asks the customer for something."""
_NO_DRIVING = Regex(
    r"(?i)\b(?:do not|don['’]?t|must not|should not|(?:not|un)[ -]?(?:safe|fit)(?: to)?)(?: be)? "
    r"(?:drive|driven|ride|ridden)(?: (?:it|this))?(?=\s*(?:[,;.]|\Z))"
)
_AT_A_FIGURE = Regex(r"(?i)(?:at|by) [0-9][0-9,.]*(?: [a-z]+){0,2}")
_SAYS_NOTHING = Regex(
    r"(?i)\s*[;,]\s*(?:not? (?:yet )?(?:done|fitted|started|finished)(?: yet)?|danger(?:ous)?)[.!]?(?=\s*(?:;|\Z))"
)
"""That something is not done, behind what is still to do."""
_UNTIL = Regex(r"(?i)([^,]+\bonly) (?:till|until|til) (?:then|it['’]?s done|it is done|fixed|done)")


Piece = tuple[str, str]
"""The field something was typed in, and the words."""


@dataclass(frozen=True, slots=True)
class Feared:
    """The risk of a deferred item, and what stands behind it.

    Attributes:
        risk: what is feared.
        because: why it waits or should be done, as far as that goes.
        waits: why it is not done, piece by piece.
        please: what the customer is asked to do.
        until: what alone is allowed till then.
        when: the day it was put off to.
    """

    risk: str = ""
    because: str = ""
    waits: tuple[Piece, ...] = ()
    please: tuple[Piece, ...] = ()
    until: tuple[Piece, ...] = ()
    when: tuple[Piece, ...] = ()


@lru_cache(maxsize=512)
def feared(later: Later) -> Feared:
    """The risk as far as it goes, and each piece behind a semicolon that says something else by what it says."""
    held: dict[str, list[Piece]] = {name: [] for name in ("waits", "please", "until", "when")}
    risk, because = _kept("risk", later.risk, held), _kept("because", later.because, held)
    return Feared(risk, because, *(tuple(held[name]) for name in ("waits", "please", "until", "when")))


def _kept(field: str, typed: str, held: dict[str, list[Piece]]) -> str:
    """What is left of a field once each piece behind its first that says something else is taken out of it."""
    first, _, rest = typed.partition(";")
    order, mark, what = first.partition(",")
    if field == "risk" and mark and no_driving(order) and _PLEASE.match(order) and what.strip():
        held["please"].append((field, order.strip()))  # what is asked is no risk: "don't drive it, can seize"
        first = what.strip()
    kept = [first]
    for piece in filter(None, (one.strip() for one in rest.split(";"))):
        sorts = _sorts(piece)
        if not sorts:
            kept.append(f" {piece}")
        for sort, text in sorts:
            alone = _UNTIL.fullmatch(text)
            held[sort].append((field, alone[1] if alone is not None else text))
    return ";".join(kept)


def _sorts(piece: str) -> list[tuple[str, str]]:
    """What each comma part of a piece is; nothing where one of them may be part of the risk."""
    whole = _sort(piece)
    if whole:
        return [(whole, piece)]
    parts = [part.strip() for part in piece.split(",")]
    sorts = [(_sort(part), part) for part in parts]
    return sorts if len(parts) > 1 and all(sort for sort, _ in sorts) else []


def _sort(text: str) -> str:
    if is_undecided(text) or _FOR_SOMEBODY.fullmatch(text):
        return "waits"
    if _UNTIL.fullmatch(text):
        return "until"
    if _PLEASE.match(text):
        return "please"
    return "when" if due_of(text) or event_of(text) or _AT_A_FIGURE.fullmatch(text) else ""


def no_driving(text: str) -> bool:
    """Whether a text forbids driving at all: "do not drive it" does, "do not drive over 50" does not."""
    return _NO_DRIVING.search(text) is not None


def work_and_wait(text: str) -> tuple[str, str]:
    """The work an item names, and what was typed behind it of why it waits: "cable; cable on back order"."""
    text = _SAYS_NOTHING.sub("", text)
    work, mark, rest = text.partition(";")
    return (work.strip(), rest.strip()) if mark and why_it_waits(rest) else (text, "")


def why_it_waits(text: str) -> bool:
    """Whether a reason says why something is not done, and not why it should be or may wait."""
    return _WAITS.search(text) is not None


def waits_for_part(later: Later) -> bool:
    """Whether a part has to come first: then nothing that is said of its urgency can make it sooner."""
    return any(_ON_A_PART.search(text) for text in (work_and_wait(later.text)[1], later.because))


def is_undecided(text: str) -> bool:
    """Whether a piece says that the customer has not decided."""
    return bool(_NOT_DECIDED.fullmatch(text)) or is_your_answer(text)


def is_your_answer(text: str, customer: str = "") -> bool:
    """Whether all that a reason says is that the customer has not answered: told as "you", whatever name was typed."""
    pieces = [piece.strip() for piece in text.split(";") if piece.strip()]
    return "wait" in text.lower() and all(_YOUR_ANSWER.fullmatch(one) or _for(one, customer) for one in pieces)


def _for(piece: str, customer: str) -> bool:
    held = _FOR_SOMEBODY.fullmatch(piece)
    mine = set(fold(customer).replace(",", " ").split())
    return held is not None and bool(mine) and set(fold(held[1]).split()) <= mine
