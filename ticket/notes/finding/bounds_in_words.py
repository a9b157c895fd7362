"""Bounds that people put into words: ``gets chucked over 3``, ``nothing under 12 will do``, ``shouldn't go past 180``.

No list of such phrases ends, so they are read by their grammar: a sign (under, over), and how often the words of the
part say no. A word that refuses (not, nothing) or condemns (scrap, replace) turns the sign round; one that asks for
something (should, wants, ok) leaves it. A part with any other word in it is no bound.
"""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ticket.job.regex import Regex
from ticket.notes.finding.measures import STANDING
from ticket.notes.finding.tokens import Amount, GivenLimits, Line, Token
from ticket.readings.units import find

_BELOW = frozenset("under below less lower".split())
_ABOVE = frozenset("over above past beyond more higher exceed exceeds exceeding".split())
_REFUSED = frozenset(
    "not no never nothing none cannot can't cant dont don't doesn't doesnt won't wont shouldn't shouldnt mustn't mustnt"
    " isn't isnt ain't aint wouldn't wouldnt couldn't couldnt neither".split()
)
_CONDEMNED = frozenset(
    "replace replaced replacing renew renewed change changed changes chuck chucked chucks toss tossed bin binned scrap"
    " scrapped scraps fail fails failed failing bad pull pulled condemn condemned shot junk junked reject rejected"
    " rejects ditch ditched swap swapped worn stuffed knackered rooted done finished illegal unsafe dangerous trouble"
    " chg problem wrong faulty dead weak gone throw thrown sling slung retire retired dump dumped kill rebuild".split()
)
_ASKED = frozenset(
    "should shud shd want wants wanted need needs needed must ought ok okay fine good great happy allowed allows allow"
    " legal pass passes passed acceptable accepted accept supposed sposed spose meant expect expected target looking"
    " like likes spec do does normal right correct healthy has have better keep keeps kept aim permitted live".split()
)
_AROUND = frozenset(
    "it it's its em 'em that that's thats this these them they're theyre any anything everything all the a an be"
    " they is are was at to go goes going get gets drop drops fall falls read reads come comes sit sits stay stays"
    " hold holds run runs of on for here we i you i'd we'd you'd one ones just really always than would will so"
    " then there's theres limit number figure thing value pressure temp voltage mark book maker makers manual says"
    " say calls and which still only even ever out with when if once".split()
)
DIRECTIONS = frozenset({"up", "down", "high", "low", "in", "out"})
"""Behind limits, the way a thing goes that they are for: "should be 120 to 130 out"."""
_OUT_OF_SERVICE = Regex(r"\bout of service\b|\boos\b")
"""As roadside inspections say it of a vehicle that may not go on (49 CFR 396.9)."""
_WORD = Regex(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def find_none_allowed(line: Line) -> None:
    """``play .006 in, none allowed``, ``no play allowed``: the most there may be is nought."""
    tokens = line.tokens
    for at in range(len(tokens) - 1, 0, -1):
        if tokens[at].text not in _MAY_BE or not _closes(tokens, at + 1):
            continue
        first = next((i + 1 for i in range(at - 1, -1, -1) if tokens[i].letter in ",;(qLC"), 0)
        words = [token.text for token in tokens[first:at]]
        read = [token.amount for token in tokens[:first] if token.letter == "q"]
        alone = words and (words[0] in _NAUGHT or (words[0] == "no" and len(words) == len(("no", "play"))))
        if alone and len(words) <= len(("no", "play")) and read and not read[-1].bare:
            zero = Amount("0", Fraction(0), read[-1].unit, read[-1].dimension, bare=False)
            tokens[first : at + 1] = [Token("L", tokens[first].start, tokens[at].end, "", GivenLimits(high=zero))]
            return


def _closes(tokens: list[Token], at: int) -> bool:
    """The part ends there, or with a word that is said of the reading too: ``2 mm vertical, none allowed vertical``."""
    if at < len(tokens) and any(one.text == tokens[at].text for one in tokens[:at]) and tokens[at].letter == "w":
        at += 1
    return at >= len(tokens) or tokens[at].letter in ",;)" or tokens[at].text in ("so", "and", "but", "here")


_MAY_BE = frozenset("allowed permitted allowable permissible acceptable".split())
_NAUGHT = frozenset("none nil zero nothing".split())


def find_worded(line: Line) -> None:
    """Put an ``L`` in the place of each part that is a bound in words."""
    if line.letters.count("q") < len("qq"):
        return  # one figure alone is what was read
    _part_condemned(line)
    made: list[Token] = []
    for part in _parts(line):
        given = _bound(line, part)
        if given is None:
            defines = made and _defines(part)
            made += [replace(part[0], letter="x", held=None), *part[1:]] if defines else part
            continue
        if part[-1].text in DIRECTIONS and not given.own:
            given = replace(given, own=(part[-1].text,))
        made.append(Token("L", part[0].start, part[-1].end, "", given))
    line.tokens = made


def _part_condemned(line: Line) -> None:
    """``18.4 A on hi, 9.6 on lo over 16 is bad``: an inequality whose part condemns it begins a part of its own."""
    _part_refused(line)
    _part_needed(line)
    for at in range(len(line.tokens) - 1, 0, -1):
        token = line.tokens[at]
        bounded = token.letter == "q" and token.amount.than in ("<", ">") and token.text[:1].isdecimal()
        first = max((i + 1 for i in range(at) if line.tokens[i].letter in ",;("), default=0)
        if not bounded or not any(one.letter == "q" for one in line.tokens[first:at]):
            continue
        stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;)"), len(line.tokens))
        said = {one.text for one in line.tokens[at + 1 : stop]}
        if said & _CONDEMNED and not any(one.letter in "qxL" for one in line.tokens[at + 1 : stop]):
            line.tokens.insert(at, Token(",", token.start, token.start, ",", None, gap=False))


def _part_refused(line: Line) -> None:
    """``3.4 % water gets chucked over 3``, ``170 psi none should be under 130``: so does one that a refusal leads."""
    tokens = line.tokens
    for at in range(len(tokens) - 1, 0, -1):
        bounded = tokens[at].letter == "q" and (tokens[at].amount.than in ("<", ">") or tokens[at - 1].letter in "lh")
        first = max((i + 1 for i in range(at) if tokens[i].letter in ",;(qcCLxp"), default=0)
        if not bounded or first == 0 or tokens[first - 1].letter in ",;(" or at - first > _LONGEST_LEAD:
            continue
        saying = _CONDEMNED | _REFUSING | _BECOMES
        refused = [i for i in range(first, at) if saying & set(tokens[i].text.split(" "))]
        if refused and any(one.letter == "q" for one in tokens[:first]):
            token = tokens[refused[0]]
            tokens.insert(refused[0], Token(",", token.start, token.start, ",", None, gap=False))


def _part_needed(line: Line) -> None:
    """``2.1 bar at idle 4 needed``: a figure that is needed is no second reading."""
    tokens = line.tokens
    for at in range(len(tokens) - 2, 0, -1):
        number, word = tokens[at], tokens[at + 1]
        first = max((i + 1 for i in range(at) if tokens[i].letter in ",;("), default=0)
        closes = at + 2 == len(tokens) or tokens[at + 2].letter in ",;)"
        if number.letter == "q" and word.text in _NEEDED and closes and any(t.letter == "q" for t in tokens[first:at]):
            tokens.insert(at, Token(",", number.start, number.start, ",", None, gap=False))


_REFUSING = frozenset("none nothing nowt".split())
_LONGEST_LEAD = 6  # tokens


def heed_refusals(line: Line) -> None:
    """``none should be under 130 so ...``: a refusal in front of a one-sided limit turns it round; else it is asked."""
    tokens = line.tokens
    for at in range(len(tokens) - 1, 0, -1):
        given, word = tokens[at].held, tokens[at - 1]
        if tokens[at].letter != "L" or word.text not in _REFUSING | _NOT or (given.low is None) == (given.high is None):
            continue
        turned = replace(given, low=given.high, high=given.low)
        held = turned if word.text in _REFUSING else replace(given, doubt=True)
        tokens[at - 1 : at + 1] = [replace(tokens[at], start=word.start, held=held)]


_NOT = frozenset({"not", "never", "no", "nor", "neither"})
_ORDERED = frozenset("replace change renew scrap reject condemn junk toss bin chuck".split())
_FURTHER = frozenset("over above past beyond under below".split())
_ALLOWED = frozenset("allowed allowable permitted permissible max maximum min minimum limit legal".split())


def find_beyond(line: Line) -> None:
    """``28 % over 25 allowed``, ``2 mm, under the 3 allowed``: on which side of its limit the reading lies.

    Read by itself "over 25 allowed" would allow what is larger; so it is taken with the reading in front of it.
    """
    tokens = line.tokens
    _find_named(line)
    for at in reversed([i for i, token in enumerate(tokens) if i and token.text in _FURTHER]):
        if at + 2 >= len(tokens):
            continue
        sign = tokens[at]
        comma = tokens[at - 1].letter == ","
        the = tokens[at + 1].text == "the"
        behind = tokens[at + 1 + the : at + 3 + the]
        read = tokens[at - 1 - comma] if at > comma else sign
        if len(behind) < len("qw") or (comma and not the) or read.letter != "q":
            continue
        number, word = behind
        if number.letter != "q" or word.text not in _ALLOWED or number.amount.to or read.amount.to:
            continue
        alike = number.amount.bare or number.amount.dimension == read.amount.dimension
        value, limit = read.amount.value, number.amount.value
        over = sign.text not in _BELOW
        if not alike or value is None or limit is None:
            continue
        plain = replace(number.amount, than="")
        given = GivenLimits(high=plain) if over else GivenLimits(low=plain)
        fits = number.amount.unit not in ("", read.amount.unit) or (value > limit) == over
        letter = "L" if fits else "x"  # "20 over 25 allowed": which of the two was read?
        made = Token(letter, sign.start, word.end, "", given if fits else None)
        tokens[at - comma : at + 3 + the] = [made]


def _find_named(line: Line) -> None:
    """``RF below min 3``, ``over the max of 5``: the bound that a reading in front lies beyond."""
    tokens = line.tokens
    for at in range(len(tokens) - 2, -1, -1):
        number = next((i for i in range(at + 1, min(at + 5, len(tokens))) if tokens[i].letter == "q"), 0)
        told = [word for token in tokens[at:number] for word in token.text.split(" ") if word not in ("the", "of")]
        if not number or len(told) != len(("below", "min")) or told[0] not in _FURTHER or told[1] not in _ALLOWED:
            continue
        amount = tokens[number].amount
        read = [one.amount.dimension for one in tokens[:at] if one.letter == "q"]
        if not STANDING.isdisjoint(one.text for one in tokens[:at]) and read[-1:] in (["length"], ["volume"]):
            tokens[number] = replace(tokens[number], letter="x", held=None)  # "oil 3 mm below max 5": from which mark?
            continue
        given = GivenLimits(low=amount) if told[0] in _BELOW else GivenLimits(high=amount)
        if any(token.letter == "q" for token in tokens[:at]) and not (amount.to or amount.than):
            tokens[at : number + 1] = [Token("L", tokens[at].start, tokens[number].end, "", given)]


def _parts(line: Line) -> Iterator[list[Token]]:
    """What stands between commas, semicolons and brackets, and those marks by themselves."""
    part: list[Token] = []
    for token in line.tokens:
        if token.letter in ",;()L":
            yield from ([part] if part else [])
            part = []
            yield [token]
        else:
            part.append(token)
    yield from ([part] if part else [])


_COPULA = frozenset("is are was were would's be being".split())
_WHAT_IT_IS = frozenset("the a an my our your their his as what where how when all".split())


def _defines(part: list[Token]) -> bool:
    """``22 mm is as thin as it goes``: a number in front of "is", told what it is, was not read."""
    if len(part) < _A_DEFINITION or part[0].letter != "q":
        return False
    return part[1].text in _COPULA and part[2].text.split(" ")[0] in _WHAT_IT_IS


_A_DEFINITION = 3  # a number, "is", and what it is


def _holds_to(part: list[Token]) -> GivenLimits | None:
    """``type 30 ok to 2-1/2``, ``good up to 5 mm``: so far it may go; the thing decides whether down or up."""
    *words, last = part
    to = words[-1].text.split(" ") if words else []
    ok = words[-2:-1] and words[-2].text in _MAY
    if last.letter != "q" or not ok or to not in (["to"], ["up", "to"]) or last.amount.dimension == "temperature":
        return None
    if last.amount.to or last.amount.than or any(token.letter in "qxXp" for token in words):
        return None
    return GivenLimits(wear=last.amount, own=tuple(token.text for token in words[:-2] if token.letter == "w"))


_MAY = frozenset("ok okay good fine allowed legal permitted acceptable safe".split())


def _ordered(part: list[Token]) -> GivenLimits | None:
    """``80 % change``: what is to be done at a value, and nothing else; the thing says on which side."""
    if len(part) != len("qw") or part[0].letter != "q" or part[1].text not in _ORDERED:
        return None
    amount = part[0].amount
    return None if amount.to or amount.than else GivenLimits(wear=amount)


def _is_off(part: list[Token], number: Token) -> bool:
    """``needs 4 more``: by how much it is off, and no bound of what was read."""
    behind = part[part.index(number) + 1 :][:1]
    return bool(behind) and behind[0].text in ("more", "less") and number is not part[0]


def _bound(line: Line, part: list[Token]) -> GivenLimits | None:
    """The bound that a part is in words, with the condition that stands in it: ``over 16 on hi is bad``."""
    told = [token for token in part if token.letter in "cC"]
    given = _in_words(line, [token for token in part if token not in told] if len(told) < len(part) else part)
    when = " ".join(one.text for one in told)
    return replace(given, when=when) if given is not None and when and not given.when else given


def _in_words(line: Line, part: list[Token]) -> GivenLimits | None:
    numbers = [token for token in part if token.letter in "qxX"]
    if (held := _holds_to(part) or _ordered(part)) is not None:
        return held
    if len(numbers) != 1 or numbers[0].letter != "q" or _is_off(part, numbers[0]):
        return None
    amount = numbers[0].amount
    if (held := _as_defined(part, amount) or _as_condemned(part)) is not None:
        return held
    if any(token.letter in "pn" for token in part):
        return None
    typed = " ".join(line.text[one.start : one.end] for one in part).casefold().replace("’", "'")
    typed = _OUT_OF_SERVICE.sub("condemned", typed)
    unit = amount.unit.casefold()
    said = [find(word) for word in _WORD.findall(typed) if word in _SAID_UNITS]
    if amount.bare and len(said) == 1 and said[0] is not None:  # "volts should stay over 19.2"
        amount = replace(amount, unit=said[0].name, dimension=said[0].dimension, bare=False)
    marked = _marked(amount, typed) if len(part) > 1 else None
    if marked is not None:
        return marked
    words = [word for word in _WORD.findall(typed) if (find(word) is None and word != unit) or word in _AROUND]
    if part[-1].text == "worn" and part[-2:-1] == numbers and (_REFUSED | _ASKED) & set(words):
        words = words[:-1]  # "not over 19 worn": so far it may be worn; nothing is condemned
    below, above = (sum(word in table for word in words) for table in (_BELOW, _ABOVE))
    done_to = {other for one, other in pairwise(words) if one in _BECOMES and other.endswith(("ed", "en", "wn"))}
    turned = sum(word in _REFUSED or word in _CONDEMNED or word in done_to for word in words)
    asked = sum(word in _ASKED for word in words)
    known = all(_is_known(word) or word in done_to for word in words) or (
        words[0] in _SUPPOSING and turned == 1 and not asked
    )
    if below + above > 1 or not (turned or asked) or not known or _is_told_twice(part, numbers[0], words):
        return None
    if amount.to:
        return _between(amount) if asked and not turned and not below + above else None
    if not below + above:
        told_at = "at" in words and words[-1] == "at" and any(word in _CONDEMNED for word in words)
        return replace(GivenLimits(), wear=amount) if told_at and turned == 1 and not amount.than else None
    if amount.than in ("~", ">="):
        return None
    plain = replace(amount, than="")
    least = bool(below) == bool(turned % 2)
    return GivenLimits(low=plain) if least else GivenLimits(high=plain)


def _is_told_twice(part: list[Token], number: Token, words: list[str]) -> bool:
    """``should be under 3 or swap it``: what is wished in front of a figure is not turned round by a word behind it."""
    behind = {word for token in part if token.start > number.start for word in token.text.split(" ")}
    return not _ASKED.isdisjoint(words) and not _CONDEMNED.isdisjoint(behind & set(words))


_SAID_UNITS = frozenset("volts volt amps amp ohms ohm psi bar kpa rpm mm mv ma degrees".split())


def _as_defined(part: list[Token], amount: Amount) -> GivenLimits | None:
    """``22 mm is the minimum``: what the figure in front of "is" is told to be."""
    side = {word for token in part for word in token.text.split(" ")} & (_LOWEST | _HIGHEST)
    if not _defines(part) or len(side) != 1 or amount.to or amount.than:
        return None
    return GivenLimits(low=amount) if side <= _LOWEST else GivenLimits(high=amount)


def _as_condemned(part: list[Token]) -> GivenLimits | None:
    """``3 is scrap``, ``.5 is too much``: a figure in front of "is" that is no good; the thing or "too" says how."""
    amount = part[0].amount if part[0].letter == "q" else None
    words = [word for token in part[1:] for word in token.text.split(" ")]
    if amount is None or amount.to or amount.than or len(words) < len(("is", "scrap")) or words[0] not in _COPULA:
        return None
    rest = [word for word in words[1:] if word not in ("a", "the", "for", "me", "us")]
    if rest[:1] == ["too"] and len(rest) == len(("too", "much")):
        if rest[1] in _TOO_LARGE:
            return GivenLimits(high=amount)
        return GivenLimits(low=amount) if rest[1] in _TOO_SMALL else None
    return GivenLimits(wear=amount) if len(rest) == 1 and rest[0] in _CONDEMNED else None


_TOO_LARGE = frozenset("much high big far hot loose wide long great".split())
_TOO_SMALL = frozenset("little low thin small few cold short tight narrow weak".split())
_BECOMES = frozenset({"gets", "get", "got"})
"""``past 3 gets flushed``: what is done to a thing then condemns it, whatever the verb."""
_SUPPOSING = frozenset("if when once".split())
"""``if more than 0.5 the diode is bad``: what is condemned then may be named."""
_MARKS = frozenset("stamped cast marked printed engraved etched embossed as on it the is a its".split())
_LEAST, _MOST = frozenset({"minimum", "min", "least"}), frozenset({"maximum", "max", "most"})
_LOWEST = frozenset("minimum min least lowest floor bottom".split())
_HIGHEST = frozenset("maximum max most highest ceiling roof top cap".split())
_NEEDED = frozenset({"needed", "required"})


def _marked(amount: Amount, typed: str) -> GivenLimits | None:
    """``9 mm stamped as minimum``, ``50 % needed``: words that mark a number as a bound, and nothing else."""
    typed_words = set(_WORD.findall(typed)) - {amount.unit.casefold()}
    words = {word for word in typed_words if find(word) is None or word in _LEAST}  # "min" is a unit too
    if amount.to or amount.than or words & _MARKS == words or (amount.bare and not words <= _NEEDED):
        return None
    named = words - _MARKS
    if len(named) == 1 and words & _MARKS and named <= _LEAST | _MOST:
        return GivenLimits(low=amount) if named <= _LEAST else GivenLimits(high=amount)
    return GivenLimits(wear=amount, needed=True) if words and words <= _NEEDED else None


def _between(amount: Amount) -> GivenLimits:
    """``wants 3 to 4``: nothing but what is asked for stands with the range."""
    low = replace(amount, to="", to_value=None)
    return GivenLimits(low=low, high=replace(low, text=amount.to, value=amount.to_value))


def _is_known(word: str) -> bool:
    return any(word in table for table in (_BELOW, _ABOVE, _REFUSED, _CONDEMNED, _ASKED, _AROUND))


def says_what_is_wanted(word: str) -> bool:
    """Whether a word only says that something is asked for or refused: it names no reading the limits are for."""
    return any(word in table for table in (_REFUSED, _CONDEMNED, _ASKED, _AROUND))
