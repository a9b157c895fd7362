"""The kind of a line that names none: what the line plainly says it is, or a finding.

Only lines that can hardly be anything else are taken: a fault code with its state, hours beside an operation, a counted
part with a price, a contact with an answer, a test that was made again and passed. A line in doubt is a finding, as it
always was: a wrong kind would claim work, a sale or a consent that nobody stated.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ticket.job.regex import Regex
from ticket.notes import kind_signs
from ticket.notes.code import code_at
from ticket.notes.code_bytes import truck_bytes_at
from ticket.notes.code_tail import tail_of
from ticket.notes.hours import LONGEST_JOB, Amount, amounts, standing
from ticket.notes.kind_asked import went_well
from ticket.notes.phrases import means
from ticket.notes.plain_contact import is_contact, is_stranger, reached_at
from ticket.notes.plain_part import is_part
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, remembered, tokens_of
from ticket.notes.work_words import out_and_in

_CODE = Regex(
    r"\s*(?:dtc\s?:?\s*)?(?:[PCBU][0-3][0-9A-F]{3}(?![0-9A-Z])|SPN\s?(?:[/\-]\s?FMI\s?)?[:#=]?\s?[0-9]"
    r"|(?:FMI|SA|source(?: address)?)\s?[:#=]?\s?[0-9]{1,3}[\s,;/]{1,3}(?:SPN|FMI)\b)",
    re.I,
)
_AGAIN = Regex(
    r"\s*(?:re-?read codes|codes? (?:re-?)?(?:read|scanned|checked) again|codes? re-?(?:read|checked|scanned)"
    r"|re-?scan(?:ned)?(?: codes| all modules)?)\b.*\b(?:none|no codes?|clear|no faults?)\b",
    re.I,
)
_NO_CODES = Regex(
    r"\s*no (?:fault |trouble |stored |active )?(?:codes?|dtcs?)(?: (?:stored|found|present|set|active))?"
    r"(?: in (?:the )?(?:[a-z]+ ){0,2}(?:ecu|ecm|pcm|tcm|bcm|abs|srs|module))?[.\s]*\Z",
    re.I,
)
# A test made again, and a drive: the first shows by itself that something went before, the second has to say it passed.
_RETEST = Regex(r"\s*(?:re-?test(?:ed)?|re-?check(?:ed)?)\b(?! (?:in|at|on|needed|next|after)\b)", re.I)
_DRIVE = Regex(
    r"\s*(?:(?:road|rd) ?-?test(?:ed)?|test ?-?(?:drive|drove|driven)|rt)\b(?!:)(?:,? [0-9.]+ ?(?:mi|miles?|km)\b)?",
    re.I,
)
_PASSED = Regex(
    r"(?:all |now |tests? |still |everything |is |was )*(?:ok|okay|good|fine|passed|pass|holds|holding|fixed|normal)"
    r"|[a-z/ ]{0,30}\b(?:gone|cured|fixed)",
    re.I,
)
_NOTHING = Regex(
    r"(?:(?:and |or |& )?no (?:more )?(?:[a-z]+ )?(?:noise|leak|code|light|lamp|fault|vibration|smoke|drop|drip|misfire"
    r"|pull|pulsation|shake|judder|shudder|rattle|squeal|clunk)s?[ ,]*)+",
    re.I,
)
_LIMITED = Regex(r"\(|\?|(?<![0-9])(?<![0-9] )\bmin\b|\b(?:max|spec|should|limit)\b|\bnow\b", re.I)
_DID = Regex(r"\s*did\s+(?!not\b|n.t\b|it\b|they\b|the customer\b)", re.I)
# Words by which the labour is wanted, somebody else's, long done, or undone again.
_NOT_DONE = frozenset(
    "need needs needed should must will would could want wants require requires recommend recommended suggest due est"
    " estimate estimated quote quoted to not never ago last before already elsewhere previously previous owner again"
    " later since by itself himself until old".split()
)
# What stands behind a word of labour that is part of a name: the service light, the diagnosis port.
_NAMED = frozenset("light lamp port interval message reminder indicator record sticker history due off".split())
_MEASURED = Regex(r"\s*(?:re-?test(?:ed)?\b(?=.*[0-9])|re-?check(?:ed)?\b(?=.*[0-9])(?=.*\bnow\b)(?=.*\bwas\b))", re.I)
_ENTRY_NOW = Regex(r"\s*(?:[0-9]{1,9}/)?[0-9]{1,2} now\b(?!\s+[0-9]+(?![0-9.,/]))", re.I)
"""``3 now LF 11 RF 11``: the number of a finding measured again; in front of a whole number it may be a value."""
_SHOWN = Regex(
    r"\s*(?:[A-Z]{2,5}|(?i:panel|scan(?:ned|ner)?|scan tool|tool|dash|reader))"
    r"(?: (?i:shows?|says|has|reads|gives|gave))?\s?:? +(?=[PCBUpcbu][0-3][0-9A-Fa-f]{3}|(?i:spn) ?[0-9])"
)
_LONGEST = 400


@dataclass(frozen=True, slots=True)
class Plain:
    """The kind a body shows, and where its facts begin: behind ``did`` or ``used`` where that word opens the line."""

    kind: str
    start: int = 0


def plain_kind(body: Body) -> Plain:
    """The kind a body shows by itself; ``found`` where nothing is certain."""
    text = body.bare
    if len(text) > _LONGEST or not text.strip():
        return Plain("found")
    if _names_codes(body):
        return Plain("code")
    if (
        _ENTRY_NOW.match(text)
        or _reads_again(text)
        or _has_passed(text)
        or (_DRIVE.match(text) and went_well(tokens_of(text), text))
    ):
        return Plain("proof")
    part = is_part(text)
    if part is not None:
        return Plain("used", part)
    tokens = remembered(text)
    spoken = kind_signs.is_answer_of_role(tokens) or (_is_addressed(tokens) and kind_signs.is_contact(tokens))
    if is_contact(tokens) or (spoken and not is_stranger(tokens)):
        return Plain("told")
    if _MEASURED.match(text):
        return Plain("proof")
    named = _DID.match(text)
    if _is_labour(tokens, text, named=bool(named)):
        return Plain("did", named.end() if named else 0)
    return Plain(_by_signs(body, tokens))


def _names_codes(body: Body) -> bool:
    text = body.bare
    shown = _SHOWN.match(text)
    if shown and _is_code(body.cut(shown.end())):
        return True
    coded = not shown and ((_CODE.match(text) and _is_code(body)) or truck_bytes_at(text))
    return bool(coded or _NO_CODES.match(text))


def _reads_again(text: str) -> bool:
    """``road test 12 mi, lamp off, codes read again none stored``: a part of its own says how the codes stood then."""
    parts = re.split(r"[,;]", text)
    return any(_AGAIN.match(",".join(parts[at:])) for at in range(len(parts)))


_IN_TOUCH = frozenset("texted called phoned emailed rang txt txtd messaged".split())


def _is_addressed(tokens: Sequence[Token]) -> bool:
    """A number, a time, a sum, a title, or a name that was in touch: somebody was reached, no thing spoken of."""
    lows = [token.low for token in tokens]
    if any(token.kind in ("phone", "clock", "money", "mail") for token in tokens):
        return True
    if ("in", "person") in pairwise(lows) or any(means("person", low) == "title" for low in lows[:4]):
        return True
    if _is_reached(tokens) or kind_signs.is_of_two_minds(tokens):
        return True
    first = tokens[0].text if tokens else ""
    named = first[:1].isupper() and not first.isupper()
    return named and len(lows) > 1 and lows[1] in _IN_TOUCH


_THEY = frozenset("he she they he'll she'll they'll theyll".split())


def _is_reached(tokens: Sequence[Token]) -> bool:
    """A way of reaching somebody opens the line, and a name, "to" or "from", or what they said goes with it."""
    reached = reached_at(tokens, 0)
    if reached is None or reached[1] >= len(tokens):
        return False
    who = tokens[reached[1]]
    if reached[0] != "sure":  # "txt Orla Penhal": a first and a last name
        return all(_is_name(token) for token in tokens[reached[1] : reached[1] + 2])
    named = _is_name(who)
    led = tokens[reached[1] - 1].low == "from"
    return named or led or any(token.low in _THEY for token in tokens)


def _is_name(token: Token) -> bool:
    return token.kind == "word" and token.text[:1].isupper() and not token.text.isupper()


def _by_signs(body: Body, tokens: Sequence[Token]) -> str:
    """What the words of the line show where no sum or way of reaching somebody does."""
    limited = _LIMITED.search(body.bare)
    worked = kind_signs.closes_with_hours(tokens) or kind_signs.opens_with_hours(tokens)
    if not limited and worked and not _is_wanted(tokens):
        return "did"
    if kind_signs.waits(body, tokens) and not _DRIVE.match(body.bare):
        return "later"
    if _may_be_labour(tokens) and kind_signs.is_labour(tokens, body.bare):
        return "did"
    if kind_signs.is_time_at_work(tokens) and not any(token.low in _NOT_DONE for token in tokens):
        return "did"
    put_in = kind_signs.is_put_in(tokens, body.bare) and kind_signs.is_priced(body.bare)
    if put_in or kind_signs.is_filled(tokens, body.bare):
        return "used"
    return "used" if not _AT_A_FIGURE.search(body.bare) and kind_signs.is_part(body, tokens) else "found"


_OF_TIME = frozenset("last before again previous old".split())


def _is_wanted(tokens: Sequence[Token]) -> bool:
    """Labour that is wished for, somebody else's or denied; ``to 12 Nm`` and ``old pump out`` are none of these."""
    return any(
        (token.low in _NOT_DONE and token.low != "to" and token.low not in _OF_TIME)
        or token.low == "?"
        or (token.low == "to" and at + 1 < len(tokens) and _is_operation(tokens, at + 1))
        for at, token in enumerate(tokens)
    )


_AT_A_FIGURE = Regex(r"@ ?[0-9]+\s*\Z")  # "2 lb boost @ 3000": no price shows as one


def _may_be_labour(tokens: Sequence[Token]) -> bool:
    """No wish, no question, no name such as "service light", no time in which something happened."""
    if any(token.low in _NOT_DONE or token.low == "?" for token in tokens):
        return False
    if not any(_is_operation(tokens, at) for at in range(len(tokens))):
        return False
    timed = [amount for amount in amounts(tokens) if amount.first and tokens[amount.first - 1].low in ("in", "within")]
    long = [token for token in tokens if token.kind == "number" and (token.value or 0) > LONGEST_JOB]
    return not timed and not (long and any(amount.whole for amount in amounts(tokens)))


def _is_code(body: Body) -> bool:
    """Alone, with its FMI, or with a state; ``P0420 set after road test, 5.2 V`` is told by a person."""
    hit = code_at(body.bare, 0, led=False)
    if hit is None:
        return False
    rest = body.cut(hit.end)
    if not rest.raw.strip(" .,;"):
        return not hit.code.startswith("SPN") or bool(hit.sub)
    tail = tail_of(rest)
    numbers = [token for token in tokens_of(rest.bare) if token.kind in ("number", "money")]
    other = [token for token in numbers if not token.text.replace("/", "", 1).isdecimal()]
    return not other and (
        bool(tail.fields.get("status"))
        or ((not hit.code.startswith("SPN") or bool(hit.sub)) and "times" in tail.fields)
    )


def _has_passed(text: str) -> bool:
    """``retest: no leaks``, ``road test 5 mi ok, no noise``: every part of it says that it passed."""
    again, drive = _RETEST.match(text), _DRIVE.match(text)
    opened = again or drive
    if opened is None:
        return False
    parts = [part.strip(" .:-") for part in re.split(r"[,;]", text[opened.end() :])]
    said = [part for part in parts if part]
    passed = [part for part in said if _PASSED.fullmatch(part)]
    whole = bool(said) and all(part in passed or _NOTHING.fullmatch(part) for part in said)
    return whole and (bool(again) or bool(passed))


def _is_labour(tokens: Sequence[Token], text: str, *, named: bool) -> bool:
    """Hours that stand as hours to bill, beside a word for an operation, on a line without limits."""
    if _LIMITED.search(text) or any(token.low in _NOT_DONE for token in tokens):
        return False
    worked = any(_is_operation(tokens, at) for at in range(len(tokens)))
    if not named and not worked and not out_and_in(tokens):
        return False
    found = [one for one in amounts(tokens) if (one.whole or named) and one.hours <= LONGEST_JOB]
    return (
        len(found) == 1
        and standing(tokens, found[0]) in ("plain", "labour")
        and _at_an_end(tokens, found[0], named=named)
    )


def _is_operation(tokens: Sequence[Token], at: int) -> bool:
    behind = tokens[at + 1].low if at + 1 < len(tokens) else ""
    return bool(means("operation", tokens[at].low)) and behind not in _NAMED


def _at_an_end(tokens: Sequence[Token], amount: Amount, *, named: bool) -> bool:
    """First or last on the line, and not the time in which something happened."""
    first = amount.first - named
    last = amount.behind == len(tokens)
    return first == 0 or (last and tokens[amount.first - 1].low not in ("in", "for", "after", "within", "over"))
