"""The kind a line without a word of the notation is likely meant as, where that is too little to take it.

Three steps: what can hardly be anything else is taken (:mod:`ticket.notes.plain_kind`); what is likely something else
than a finding is asked about here, and stays a finding until somebody says so; all else is a finding without a
question. The signs are of grammar: a verb of work that opens the line, somebody who speaks, a sum behind a counted
thing, work that is put off.
"""

import re
from collections.abc import Callable, Sequence

from ticket.job.regex import Regex
from ticket.job.values import Due
from ticket.language.lexicon import look
from ticket.notes.code import code_at
from ticket.notes.due import find_due
from ticket.notes.hours import Amount, amounts, standing
from ticket.notes.kind_signs import is_put_in
from ticket.notes.part_numbers import is_part_number, stands_out
from ticket.notes.phrases import means, phrase_at
from ticket.notes.plain_contact import is_stranger, reached_at
from ticket.notes.plain_part import is_state
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, remembered
from ticket.notes.work_words import OFTEN_NOUNS

ASKED = {
    "did": "Is this work that was done? Then it begins with did:, else it is a finding.",
    "used": "Is this a part or fluid that was used? Then it begins with used:, else it is a finding.",
    "told": "Is this what was said with the customer? Then it begins with told:, else it is a finding.",
    "code": "Is this what the scanner read? Then it begins with code:, else it is a finding.",
    "proof": "Is this a test after the work? Then it begins with proof:, else it is a finding.",
    "later": "Is this work that waits? Then it begins with later:, else it is a finding.",
    "cause": "Is this why it happened? Then it begins with cause:, else it is a finding.",
    "ruled": "Is this what it is not? Then it begins with ruled out:, else it is a finding.",
    "offer": "Is this what the work would cost? Then it begins with offer:, else it is a finding.",
}
"""The question for each kind that is asked about."""

_SAYING = frozenset(
    "said says say wants want wanted asked asks told thinks agreed agrees ok'd okd approved declined refused authorised"
    " authorized".split()
)
_SAID_BY = frozenset("she he they theyll they'll she'll he'll".split())
_TEXTED = frozenset("txt text sms email mail msg message called call rang".split())
_LEFT = frozenset("lft left".split())
_DENIED = frozenset("not never n't didn't didnt won't wont wouldn't by itself".split())
_TRIED = Regex(
    r"\s*(?:re-?test(?:ed)?|re-?check(?:ed)?|test(?:ed)?|(?:road|rd) ?-?test(?:ed)?|test ?-?(?:drive|drove|driven)|rt"
    r"|ran|drove|driven)\b(?! (?:light|lamp|lead|port|plug|point|fail))",
    re.I,
)
_CURED = Regex(
    r"\b(?:gone|cured|fixed|ok|okay|good|fine|passed|holds?|held|steady|normal|dry|clear|smooth|all|no [a-z]+"
    r"|n[o']t (?:come )?back|under|within)\b",
    re.I,
)
_STILL = Regex(
    r"(?<!no )\b(?:still|but|until|when|pulls?|noisy?|could not|couldn.t|unable|duplicate|over"
    r"|no (?:power|boost|heat|brakes?|start|crank|fault found))\b",
    re.I,
)
_NOT_DONE = frozenset(
    "need needs needed should must will would could want wants require requires suggest due ago last already"
    " elsewhere previously previous owner again later since itself himself old light".split()
)
_CODE = Regex(r"\b[PCBU][0-9][0-9A-F]{3,4}\b|\b(?:code|dtc|fault)s?\b(?! reader| scanner| page| label)", re.I)
_NUMBERED_CODE = Regex(
    r"(?:codes?|dtcs?|fault codes?)\s+#?[0-9]{1,4}\b"
    r"|(?:flash|blink|fault|lamp|dash)\s(?:codes?\s)?#?[0-9]{1,4}(?:-[0-9]{1,3})?\s(?:stored|active|pending|history|cleared|set)\b",
    re.I,
)
_ZERO_TYPED_O = Regex(r"(?=[A-Z]*[0-9])[PCBU](?=[0-9]*O)[0-3O][0-9A-FO]{3}(?![0-9A-Z])", re.I)
"""``CO031``; "coded" has no figure."""
_MISTYPED = Regex(
    r"\s*(?:[PCBU][0-3O](?:[0-9A-FO]{2}|[0-9A-FO]{4})(?:-[0-9A-F]{2}|\s*\Z)|P[0-3O](?:[0-9A-FO]{2}|[0-9A-FO]{4})(?=[,;]|\s+[A-Za-z]))",
    re.I,
)
"""A code with a character too few or too many: alone, with its sub-code, or P and words; C105 may be a connector."""
_STATES = Regex(r"\b(?:stored|active|pending|history|cleared|intermittent|permanent|set)\b", re.I)
_PRICED = Regex(
    r"[$£€]\s?[0-9](?!.*\bunder\b)"
    r"|(?<!to )(?<!under )(?<!over )(?<!max )(?<!min )(?<![-–])\b[0-9.]+\s?(?:ea|each)\s*\.?\Z"
    r"|@\s?[0-9]+[.,][0-9]{2}(?:\s?/\s?[A-Za-z]+)?\s*\Z"
)
_AFTER_WORK = Regex(r"\b(?:after|w/|with)\s+(?:the\s+)?(?:new\b|[a-z]{3,}(?:ing|ment)\b)", re.I)
_CHANGED = Regex(r"\b(?:was|before|from|down to|up to|now|->)\b|→", re.I)
_QUOTED = Regex(
    r"\s*(?:(?:quote|quoted|est|estimate)\b.*[0-9]|(?:needs?|wants|requires)\b.*\b(?:est|estimate|quote|quoted)\b.*[0-9])",
    re.I,
)
_DEFERRED = frozenset("leave do look watch monitor recommend recommended advise advised suggest wait again due".split())


def asked_kind(text: str) -> str:
    """The kind a body is likely meant as though it names none; empty where it is a finding."""
    tokens = remembered(text)
    if not tokens:
        return ""
    return next((kind for kind, sign in _SIGNS if sign(tokens, text)), "")


def as_kind(kind: str, text: str) -> str:
    """The line as it is typed for that kind: with the word of the notation in front."""
    numbered = entry_again(text) if kind == "proof" else None
    if numbered:
        return f"proof: {numbered['no']} now {numbered['lead']}{numbered['rest']}"
    said = _SAID.match(text) if kind in _LEADS else re.match(rf"{kind}\s+", text, re.I)
    return f"{_LEADS.get(kind, kind)}: {text[said.end() :] if said else text}"


def entry_again(text: str) -> re.Match[str] | None:
    """``lf wss 3 now 1.24 kohm``, ``recheck of 3: 8 mm``: a bare number that may be an entry's, and a value now."""
    found = _ENTRY_AGAIN.match(text) or _AGAIN_OF.match(text)
    before = found["lead"].lower().split() if found else []
    named = bool(before) and means("naming", before[-1]) and before[-1] not in _COUNTED_LINES
    return None if named or (before and before[-1] in _WERE) else found


_WERE = frozenset("was were from before at to of".split())
_COUNTED_LINES = frozenset("no no. nr number item line job".split())
_VALUE = r"(?P<rest>[<>~+-]?\s?[0-9][0-9.,/]*\s?[A-Za-z%\"'].*)"
_TAKEN = r"re-?(?:test|check|measur)(?:ed)?"
_ENTRY_AGAIN = Regex(
    r"\s*(?P<lead>(?:[A-Za-z][\w./-]*\s+){0,6})#?(?P<no>[0-9]{1,3})\s?[:,]?\s(?:is |reads |measures )?"
    rf"(?:now|again|{_TAKEN})\b[:,]?\s*(?:at |is |reads )?{_VALUE}",
    re.I,
)
_AGAIN_OF = Regex(
    rf"\s*(?P<lead>){_TAKEN}\s(?:of )?(?:entry )?#?(?P<no>[0-9]{{1,3}})(?:\s?:|\sis|\snow)?\s{_VALUE}", re.I
)


_LEADS = {"cause": "cause", "ruled": "ruled out", "offer": "offer"}
_SAID = Regex(r"(?:root )?cause\s+|not\s+|(?:offer|propose)\s+", re.I)


# ---------------------------------------------------------------- somebody speaks
def _is_told(tokens: Sequence[Token], _text: str) -> bool:
    if is_stranger(tokens):
        return False
    first = 1 if tokens[0].kind == "clock" else 0
    reached = reached_at(tokens, first)
    if reached and reached[1] < len(tokens) and tokens[reached[1]].low not in ("for", "the", "of", "in", "on"):
        if reached[0] == "sure" or tokens[reached[1]].low in ("to", "from", "w") or _is_name(tokens[reached[1]]):
            return True
    if _has_rung(tokens):
        return True
    if tokens[0].low in _SAYING and any(phrase_at("answer", tokens, at) for at in (0, 1)):
        return True
    if tokens[0].low in _LEFT and len(tokens) > 1 and tokens[1].low in ("msg", "message", "vm", "word", "note"):
        return True
    who = _somebody(tokens)
    if not who:
        return False
    answered = any(
        phrase_at("answer", tokens, at) or phrase_at("mind", tokens, at) or phrase_at("ceiling", tokens, at)
        for at in range(who, len(tokens))
    )
    answered = answered or any(token.low in _SAID_BY for token in tokens[who:])
    speaks = any(token.low in _SAYING for token in tokens[who : who + 4])  # "Tess in reception said"
    speaks = speaks or any(token.low in _SAID_BY for token in tokens[who:])
    reached_by = any(phrase_at("way", tokens, at) for at in range(who, min(len(tokens), who + 5)))
    return answered and (speaks or reached_by or bool(phrase_at("mind", tokens, who)))


def _has_rung(tokens: Sequence[Token]) -> bool:
    """``depot engineer rang 6.40, go on brakes``: somebody, by whatever name, was in touch, and what was said."""
    rung = next((at for at, token in enumerate(tokens[1:4], 1) if token.low in _RUNG), 0)
    if not rung or any(token.kind != "word" for token in tokens[:rung]) or rung + 1 >= len(tokens):
        return False
    if tokens[rung + 1].kind in ("clock", "phone") and (means("person", tokens[0].low) or _is_name(tokens[0])):
        return True
    timed = tokens[rung + 1].kind in ("number", "clock", "phone") or tokens[rung + 1].low in (",", "back")
    return timed and any(phrase_at("answer", tokens, at) for at in range(rung + 1, len(tokens)))


_RUNG = frozenset("rang phoned texted emailed messaged text txt call called msg".split())


def _somebody(tokens: Sequence[Token]) -> int:
    """The place behind a person at the start: a role, a title with its name, or a name."""
    if means("person", tokens[0].low):
        return 1
    if not _is_name(tokens[0]):
        return 0
    return 2 if len(tokens) > 1 and _is_name(tokens[1]) else 1


def _is_name(token: Token) -> bool:
    return token.kind == "word" and token.text[:1].isupper() and not token.text.isupper()


# ---------------------------------------------------------------- work
def _is_done(tokens: Sequence[Token], text: str) -> bool:
    if any(token.low in _DENIED or token.low == "?" for token in tokens):
        return False
    if any(token.low in _NOT_DONE for token in tokens) or is_put_in(tokens, text):
        return False
    if tokens[0].low in ("labor", "labour", "lbr") and any(_TENTHS.fullmatch(token.text) for token in tokens[1:]):
        return True  # "labor 2.5 struts both front"
    found = amounts(tokens)
    opens = found and found[0].first == 0 and found[0].behind < len(tokens)
    if opens and _is_doing(tokens, found[0].behind):
        return True
    if any(_is_billed(tokens, amount) for amount in found) and not _LIMITED.search(text):
        return True
    if tokens[0].low == "did" and len(tokens) > 1 and tokens[1].kind == "word":
        return True
    worked = phrase_at("operation", tokens, 0)
    if worked and len(tokens) > 2 and _TENTHS.fullmatch(tokens[-1].text):
        if tokens[-2].kind == "word" or tokens[-2].low == ",":
            return True  # "diag no start 1.0"
    billed = [one for one in found if one.whole and standing(tokens, one) in ("plain", "labour")]
    if billed and (worked or (billed[-1].behind == len(tokens) and _names_work(tokens))):
        return True
    first = 1 if len(tokens) > 1 and _TENTHS.fullmatch(tokens[0].text) else 0
    worked = phrase_at("operation", tokens, first)
    if worked and worked[1] < len(tokens) and tokens[worked[1]].low in ("and", "&", "+", "n") and first < 2:
        worked = phrase_at("operation", tokens, worked[1] + 1) or worked
    if worked is None or worked[1] >= len(tokens) or tokens[first].low in OFTEN_NOUNS:
        return False
    following = tokens[worked[1]]
    return following.kind in ("word", "name") and following.low not in _NO_OBJECT


_TENTHS = Regex(r"[0-9]?\.[0-9]{1,2}")
_NO_OBJECT = frozenset("crooked wrong loose off light lamp at in on by up port dead it".split())


def _names_work(tokens: Sequence[Token]) -> bool:
    return any(phrase_at("operation", tokens, at) and token.low not in OFTEN_NOUNS for at, token in enumerate(tokens))


_LIMITED = Regex(r"\(|\b(?:min|max|spec|should|limit|now)\b(?<!\d min)", re.I)


def _is_billed(tokens: Sequence[Token], amount: Amount) -> bool:
    """Tenths of an hour at the start, or closing the line behind a comma: nobody measures those."""
    figure = tokens[amount.first]
    tenths = amount.whole and figure.kind == "number" and not figure.text.isdecimal()
    opens = amount.first == 0 and amount.behind < len(tokens) and not phrase_at("running", tokens, amount.behind)
    closes = amount.first > 1 and amount.behind == len(tokens) and tokens[amount.first - 1].low == ","
    return tenths and (closes or (opens and tokens[amount.behind].low not in ("into", "old", "of", "ago", "later")))


def _is_doing(tokens: Sequence[Token], at: int) -> bool:
    """``40 min chasing``, ``2 h on the compressor``: behind the time stands what was done, not what ran."""
    token = tokens[at]
    if token.low == "on" and at + 1 < len(tokens) and tokens[at + 1].low in ("the", "this", "a"):
        return True
    doing = token.kind == "word" and token.low.endswith("ing") and not phrase_at("running", tokens, at)
    return doing or bool(means("operation", token.low) and not phrase_at("running", tokens, at))


def _is_tried(tokens: Sequence[Token], text: str) -> bool:
    """A test or a drive that went well opens the line, or one value stands there before and after the work."""
    if tokens[0].low in ("verification", "verified", "verify") or entry_again(text) or _CLEARED.match(text):
        return True
    if went_well(tokens, text) or any(token.low in ("retest", "retested") for token in tokens[:3]):
        return True
    if _is_before_and_after(tokens):
        return True
    return bool(_AFTER_WORK.search(text) and _CHANGED.search(text) and re.search(r"[0-9]", text))


def went_well(tokens: Sequence[Token], text: str) -> bool:
    """A test or a drive opens the line, and what is said of it tells of nothing that is still wrong."""
    opened = _TRIED.match(text)
    if opened is None or len(tokens) <= 2 or _STILL.search(text):
        return False
    return bool(_CURED.search(text, opened.end())) or (tokens[0].low in ("ran", "test", "drove") and _led(tokens))


def _is_before_and_after(tokens: Sequence[Token]) -> bool:
    """``78 % before regen, 6 % after``, ``9.6 before, 12.9 after I cleaned it``: two figures, and work between them."""
    at = [i for i, token in enumerate(tokens) if token.low in ("before", "after")]
    if {tokens[i].low for i in at} != {"before", "after"} or sum(token.kind == "number" for token in tokens) <= 1:
        return False
    behind = [token for i in at for token in tokens[i + 1 : i + 4]]
    return any(
        token.low == "regen"
        or means("operation", token.low)
        or (token.low.endswith(("ing", "ed")) and not means("running", token.low))
        for token in behind
    )


def _led(tokens: Sequence[Token]) -> bool:
    """How long or under what it was tried: ``test: 15 min``, ``ran 20 min under load``."""
    return any(token.low == "load" for token in tokens) or (tokens[1].low == ":" and bool(amounts(tokens)))


# ---------------------------------------------------------------- parts, codes, what waits
def _is_used(tokens: Sequence[Token], text: str) -> bool:
    counted = tokens[0].kind == "number" or means("numeral", tokens[0].low)
    if _is_sold(tokens, text) or is_put_in(tokens, text):
        return True
    if not counted:
        return bool(_NEW_PART.match(text)) or (bool(_PRICED.search(text)) and not _QUOTED.match(text))
    unit = tokens[0].glued or (tokens[1].low if len(tokens) > 1 else "")
    sold = means("sold", unit.lower()) not in ("", "h", "x", "m", "g", "ft")
    into = any(token.low in ("into", "for") for token in tokens[2:5])
    return (sold and into) or bool(_PRICED.search(text) and len(tokens) > 2)


_CENTS = Regex(r"[,\s]\s*[0-9]+[.,][0-9]{2}\s*\.?\Z")
_SHORTEST_SALE = 2
_FITTED = Regex(r"\s*(?:made up|put in|fitted|supplied)\b", re.I)


_NEW_PART = Regex(r"\s*new\s+[a-z].*\s[0-9]+[.,][0-9]{2}(?:\s+(?:inc|ex|plus|net|trade)\b.*)?\s*\Z", re.I)


def _is_sold(tokens: Sequence[Token], text: str) -> bool:
    """A number of a part, or something made up, and a sum with cents behind the last comma."""
    if not _CENTS.search(text) or len(tokens) <= _SHORTEST_SALE:
        return False
    if tokens[-2].low != ",":
        return tokens[-2].kind == "name" and stands_out(tokens[-2].text) and any(map(str.isalpha, tokens[-2].text))
    return bool(_FITTED.match(text)) or any(token.kind == "name" and is_part_number(token.text) for token in tokens)


_SHORT_CODE = 6  # tokens
_FIVE = Regex(r"(?<![A-Za-z0-9])[PCBU][0-3][0-9A-F]{3}(?![A-Za-z0-9])")


def _is_code(tokens: Sequence[Token], text: str) -> bool:
    numbered = any(
        token.kind == "name" and any(char.isdecimal() for char in token.text) and phrase_at("status", tokens, at + 1)
        for at, token in enumerate(tokens[:6])
    )
    if any(_ZERO_TYPED_O.match(token.text) for token in tokens[:6]) or _MISTYPED.match(text):
        return True
    named = tokens[0].kind == "name" and code_at(text, tokens[0].start, led=False)
    return (
        numbered
        or bool(named and len(tokens) > 1 and tokens[1].low in (",", ";", "-", "."))  # "U0100, no comm"
        or (len(tokens) <= _SHORT_CODE and _FIVE.search(text) is not None)  # "MIL on P0128"
        or bool(_NUMBERED_CODE.match(text))
        or (
            bool(_CODE.search(text) and _STATES.search(text))
            and (any(code_at(text, token.start, led=False) for token in tokens if token.kind == "name"))
        )
    )


def _is_put_off(tokens: Sequence[Token], text: str) -> bool:
    """Words that put it off, or a wish beside the day, distance or event it falls due at."""
    if any(phrase_at("put off", tokens, at) for at in range(1, len(tokens))):
        return True
    if _DRIVEN.search(text):
        return False  # how far it was driven is no distance to come back in
    found = find_due(Body.of(text, 0), tokens)
    if found.due == Due() and not found.date:
        return False
    return any(token.low in _DEFERRED for token in tokens) or _is_planned(tokens, found.taken)


_DRIVEN = Regex(r"\b(?:(?:road|rd) ?-?test(?:ed)?|test ?-?(?:drive|drove|driven)|drove|driven) (?:for )?[0-9]", re.I)
_CLEARED = Regex(
    r"\s*(?:all )?(?:(?:codes?|dtcs?|faults?) (?:were )?cleared|cleared (?:all )?(?:codes?|dtcs?|faults?))\b"
    r".*\b(?:road|rd|test|drove|driven)\b",
    re.I,
)
_PAST = frozenset("was were done did since last ago before already again after every started".split())


def _is_planned(tokens: Sequence[Token], taken: set[int]) -> bool:
    """``gearbox oil change at 210000 km``, ``cabin filter at next service``: a thing or work, and when it is due."""
    first = min(taken, default=0)
    if not first or max(taken) + 1 < len(tokens) or any(token.low in _PAST for token in tokens[:first]):
        return False
    before = tokens[first - 1]
    worked = before.kind == "word" and any(means(table, before.low) for table in ("operation", "event head"))
    coming = any(tokens[at].low in ("next", "coming") and phrase_at("thing", tokens, at + 1) for at in taken)
    quiet = all(token.kind in ("word", "name") and not is_state(token.low) for token in tokens[:first])
    within = tokens[first].low == "within" or (tokens[first].low in ("at", "by", "@") and _are_things(tokens[:first]))
    return worked or ((coming or within) and quiet and first <= _LONGEST_THING)


def _are_things(tokens: Sequence[Token]) -> bool:
    """``axle seal at 7500 hrs``: nothing but nouns of parts, so nothing happened at that figure."""
    return all(any(one.cls == "thing" and one.kind == "part" for one in look(token.low)[:1]) for token in tokens)


_LONGEST_THING = 5


def _is_cause(tokens: Sequence[Token], _text: str) -> bool:
    """``cause loose clamp``, ``root cause bad ground``: the word of the notation in front of what it was."""
    at = 1 + (tokens[0].low == "root")
    named = len(tokens) > at and tokens[at - 1].low == "cause" and tokens[at].kind in ("word", "name")
    return named and tokens[at].low not in _NOT_KNOWN


_NOT_KNOWN = frozenset("of not unknown for by no to a code was".split())


def _is_ruled_out(tokens: Sequence[Token], _text: str) -> bool:
    """``not the pump``, ``not wheel bearing``: a denial opens the line, and a thing stands right behind it."""
    at = 1 + (len(tokens) > 1 and tokens[1].low in ("the", "a", "its"))
    if tokens[0].low != "not" or len(tokens) <= at or tokens[at].kind != "word":
        return False
    return at > 1 or any(one.cls == "thing" and one.kind == "part" for one in look(tokens[at].low)[:1])


def _is_offered(tokens: Sequence[Token], text: str) -> bool:
    named = tokens[0].low in ("offer", "propose") and len(tokens) > 1 and bool(means("operation", tokens[1].low))
    return named or bool(_QUOTED.match(text))


_SIGNS: tuple[tuple[str, Callable[[Sequence[Token], str], bool]], ...] = (
    ("code", _is_code), ("offer", _is_offered), ("told", _is_told), ("later", _is_put_off), ("did", _is_done),
    ("used", _is_used), ("cause", _is_cause), ("ruled", _is_ruled_out), ("proof", _is_tried),
)  # fmt: skip
