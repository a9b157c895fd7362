"""Limits as people type them, with and without a bracket: from tokens to least, largest and specified values."""

import itertools
import re
from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.bounds_in_words import DIRECTIONS
from ticket.notes.finding.in_turn import each_in_turn
from ticket.notes.finding.tokens import Amount, GivenLimits, Line, Source, Token
from ticket.readings.units import find

_SOURCES = {
    "maker": "maker", "mfr": "maker", "oem": "maker", "factory": "maker", "book": "maker", "manual": "maker",
    "shop": "shop", "law": "law", "legal": "law", "dot": "law", "state": "law", "tag": "tag", "placard": "placard",
    "sticker": "sticker", "door": "placard", "wear": "", "new": "new", "per": "", "the": "", "by": "", "only": "",
    "is": "", "a": "",
}  # fmt: skip
_SPREADS = frozenset({"spread", "variation", "difference", "diff", "cross", "apart", "variance"})
_APART = frozenset({"between", "apart", "across", "spread", "variation", "difference", "side to side"})
_NEEDS = frozenset({"needs", "need", "must", "requires", "require", "has", "have", "hold"})
_NOISE = Regex(r"[:=o]")
_ONE = Regex(
    r"(?P<word>s*)(?:(?P<side>[lhd])(?P<first>q)(?:a(?P<firsttol>q))?|(?P<last>q)(?P<behind>[lhd])"
    r"|(?P<nominal>q)a(?P<tol>q)|[hd]?a(?P<around>q)|(?P<alone>q))\Z"
)
BARE = Regex(
    r"s[:=]*q(?=/q(?:[,;.]|\Z))|Aq|y[:=]?q(?![lhd])|q(?:y|z(?![@k]?q))|z@?q|[svd]?[:=]*qaq|[sd][:=]*q[lh](?![:=]*q)|s?[:=]?[lhd][:=o]*q(?:(?:[t-]|[,;/j]?)h[:=o]*q)?|s[:=]*qaq|[shd][:=]*aq|s[:=]*q(?!/|[lhd])|s?[:=]?q[lhd](?![:=o]*q)|qs(?=[,;)]|\Z)"
)
"""Limits outside a bracket, as letters."""


def in_bracket(tokens: list[Token]) -> GivenLimits | None:
    """The limits a bracket holds, all of it; ``None`` where something in it is no limit."""
    kept = _without_law(tokens)
    given = _in_bracket(kept)
    return replace(given, source="law") if given is not None and len(kept) < len(tokens) else given


def _without_law(tokens: list[Token]) -> list[Token]:
    """``min 1.6 legal``, ``legal min 1.6``: beside a word for a side, "legal" only says whose limits these are."""
    sides = [token for token in tokens if token.letter in "lh" and not token.text.startswith("legal")]
    return [token for token in tokens if not token.text.startswith("legal")] if sides else tokens


def _in_bracket(tokens: list[Token]) -> GivenLimits | None:
    pieces: list[list[Token]] = [[]]
    for token in tokens:
        if token.letter in ",;/j" or (token.letter == "-" and pieces[-1] and pieces[-1][-1].letter == "q"):
            pieces.append([])
        else:
            pieces[-1].append(token)
    found: GivenLimits | None = None
    for piece in (piece for piece in pieces if piece):
        one = _piece(piece)
        if one is None:
            return None
        found = one if found is None else _both(found, one)
        if found is None:
            return None
    if found is None or not (found.amounts or found.spread) or _crossed(found):
        return None
    return replace(found, bracketed=True)


def without_source(tokens: list[Token]) -> tuple[list[Token], list[Token]]:
    """What stands in a bracket without the words behind "per" that say whose limits these are, and those words."""
    for at, token in enumerate(tokens[:-1]):
        following = tokens[at + 1]
        if token.text != "per" or not any(one.letter == "q" for one in tokens[:at]) or find(following.text) is not None:
            continue
        stop = next((i for i in range(at + 1, len(tokens)) if tokens[i].letter in ",;"), len(tokens))
        named = tokens[at + 1 : stop]
        if named and not any(one.letter in "qxlhd" for one in named):
            return [*tokens[:at], *tokens[stop:]], named
    return tokens, []


def source_of(named: list[Token]) -> Source:
    """Whose limits these are: a word of the table, or the place of the words themselves."""
    words = {_SOURCES.get(token.text, token.text) for token in named} - {""}
    known = words & set(_SOURCES.values())
    return known.pop() if words == known and len(known) == 1 else (named[0].start, named[-1].end)


def _crossed(given: GivenLimits) -> bool:
    """A least value above the largest: the two belong to different readings."""
    low, high = given.low, given.high
    return low is not None and high is not None and None not in (low.value, high.value) and low.value > high.value  # type: ignore[operator]


def bare(tokens: list[Token]) -> GivenLimits | None:
    """The limits that a match of :data:`BARE` stands for."""
    if len(tokens) == 2 and tokens[1].letter in "yz":
        return _judged(tokens[0].amount, good=tokens[1].letter == "y") if tokens[0].letter == "q" else None
    if tokens[0].letter == "y":
        return _judged(tokens[-1].amount, good=True)
    if tokens[-1].letter == "s":
        tokens = tokens[::-1]
    if tokens[0].letter == "z":
        if tokens[1].letter == "@":
            return replace(GivenLimits(), wear=tokens[2].amount) if not tokens[2].amount.than else None
        return _judged(tokens[1].amount, good=False)
    tokens = [token for token in tokens if token.letter != "v"]
    if tokens[0].letter == "d" and any(token.letter == "a" for token in tokens):
        tokens = tokens[1:]  # a tolerance says both sides
    if len(tokens) > 2 and tokens[0].letter == "d" and tokens[-1].letter in "lh":
        tokens = tokens[1:]  # "limit 12.2 and up": the words behind say which side
    splits = [i for i, token in enumerate(tokens) if token.letter in ",;/j-t"]
    if splits:
        one, other = _piece(tokens[: splits[0]]), _piece(tokens[splits[0] + 1 :])
        return _both(one, other) if one and other else None
    sides = [i for i, token in enumerate(tokens) if token.letter in "lh"]
    if len(sides) == 2 and sides[0] < sides[1] - 1:
        one, other = _piece(tokens[: sides[1]]), _piece(tokens[sides[1] :])
        return _both(one, other) if one and other else None
    return _piece(tokens)


def _judged(amount: Amount, *, good: bool) -> GivenLimits | None:
    """``31.8 to 33.2 ok``, ``under 15 is good``, ``over 2 is scrap``."""
    base = GivenLimits()
    plain = replace(amount, than="")
    if amount.to and good:
        return replace(base, low=_low_end(amount), high=_high_end(amount))
    if amount.than == "<":
        return replace(base, high=plain) if good else replace(base, low=plain)
    if amount.than in (">", ">="):
        return replace(base, low=plain) if good else replace(base, high=plain)
    return None


def _both(one: GivenLimits, other: GivenLimits) -> GivenLimits | None:
    """Two pieces of one bracket; ``None`` where they say the same side twice."""
    for name in ("low", "high", "nominal", "tolerance", "wear", "spread"):
        if getattr(one, name) is not None and getattr(other, name) is not None:
            return None
    fields = {name: getattr(one, name) or getattr(other, name) for name in GivenLimits.__dataclass_fields__}
    fields["own"] = one.own + other.own
    return GivenLimits(**fields)


def _piece(tokens: list[Token]) -> GivenLimits | None:
    when = " ".join(token.text for token in tokens if token.letter == "C")
    words = [token.text for token in tokens if token.letter in "wypnPuz"]
    core = [token for token in tokens if token.letter not in "wypnCPuz" and not _NOISE.match(token.letter)]
    if any(token.letter == "q" and (token.amount.value or 0) < 0 for token in core):
        # "suction -0.35 bar, no worse than -0.2": further below nought is worse
        core = [replace(token, letter="l") if token.text == "no worse than" else token for token in core]
    letters = "".join(token.letter for token in core)
    source = next((_SOURCES[word] for word in words if _SOURCES.get(word)), "")
    source = "law" if any(token.text.startswith("legal") for token in tokens) else source
    spread = bool(_SPREADS & set(words))
    own = tuple(word for word in words if word not in _SOURCES and word not in _SPREADS)
    needed = any(token.letter == "d" and _NEEDS & {token.text.split()[0], token.text.split()[-1]} for token in core)
    base = GivenLimits(source=source, own=own, when=when, needed=needed)
    if not letters:
        return base if source or when else None
    if letters in ("s",) and not own:
        return base
    two = re.fullmatch(r"s?lqhq", letters)
    if two:
        return replace(base, low=core[-3].amount, high=core[-1].amount)
    match = _ONE.match(letters)
    if match is None:
        return None
    amounts = {
        name: core[match.start(name)].amount
        for name in match.groupdict()
        if name not in ("word", "side", "behind") and match[name]
    }
    if spread and "alone" in amounts:
        return replace(base, spread=amounts["alone"])
    if spread and "first" in amounts and match["side"] == "h":
        return replace(base, spread=amounts["first"])
    return _sided(base, match, amounts)


def _sided(base: GivenLimits, match: re.Match[str], amounts: dict[str, Amount]) -> GivenLimits | None:
    side = match["side"] or match["behind"]
    if side:
        amount = amounts.get("first") or amounts["last"]
        if amount.to:
            return replace(base, low=_low_end(amount), high=_high_end(amount))
        if amount.than and (amount.than, side) not in (("<", "h"), (">", "l")):
            return None
        amount = replace(amount, than="")
        return with_bound(base, {"l": "low", "h": "high", "d": "wear"}[side], amount)
    if "nominal" in amounts:
        return replace(base, nominal=amounts["nominal"], tolerance=amounts["tol"])
    if "around" in amounts:
        around = amounts["around"]
        zero = replace(around, text="0", value=around.value and around.value * 0, signed=False)
        return replace(base, nominal=zero, tolerance=around)
    amount = amounts["alone"]
    if amount.to:
        return replace(base, low=_low_end(amount), high=_high_end(amount))
    if amount.than in ("<", "<="):
        return replace(base, high=replace(amount, than=""))
    if amount.than in (">", ">="):
        return replace(base, low=replace(amount, than=""))
    return replace(base, nominal=replace(amount, than=""))


def with_bound(given: GivenLimits, name: str, amount: Amount) -> GivenLimits:
    """The same limits with one figure more: ``low``, ``high`` or ``wear``."""
    match name:
        case "low":
            return replace(given, low=amount)
        case "high":
            return replace(given, high=amount)
        case _:
            return replace(given, wear=amount)


def _low_end(amount: Amount) -> Amount:
    return replace(amount, to="", to_value=None)


def _high_end(amount: Amount) -> Amount:
    return replace(amount, text=amount.to, value=amount.to_value, to="", to_value=None)


_EACH_OTHER = Regex(r"\s*of (?:each other|one another|the other)\b", re.I)


def find_gaps(line: Line) -> None:
    """``within 30 of each other``: a bound on how far readings lie apart, never on the readings themselves."""
    at = len(line.tokens) - 1
    while at > 0:
        at -= 1
        word, number = line.tokens[at : at + 2]
        led = at > 0 and line.tokens[at - 1].letter == "h"
        if led and word.text in _SPREADS and number.letter == "q":  # "max difference 0.05"
            given = GivenLimits(spread=replace(number.amount, than=""))
            line.tokens[at - 1 : at + 2] = [Token("L", line.tokens[at - 1].start, number.end, "", given)]
            at -= 1
            continue
        stop = next((i for i in range(at + 1, min(at + 6, len(line.tokens))) if line.tokens[i].letter == "q"), 0)
        between = {one.text for one in line.tokens[at + 1 : stop]}
        if led and word.text in _SPREADS and stop and between <= _SIDE_TO_SIDE:  # "max diff side to side 2 mm"
            given = GivenLimits(spread=replace(line.tokens[stop].amount, than=""))
            line.tokens[at - 1 : stop + 1] = [Token("L", line.tokens[at - 1].start, line.tokens[stop].end, "", given)]
            at -= 1
            continue
        match = _EACH_OTHER.match(line.text, number.end)
        if word.text.split(" ")[-1] != "within" or number.letter != "q" or match is None:
            continue
        stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].start >= match.end()), len(line.tokens))
        at -= at > 0 and line.tokens[at - 1].letter in "sdu"
        given = GivenLimits(spread=replace(number.amount, than=""))
        line.tokens[at:stop] = [Token("L", line.tokens[at].start, match.end(), "", given)]


def find_bare(line: Line) -> None:
    """Put an ``L`` in the place of limits that stand without a bracket."""
    made: list[Token] = []
    at = 0
    for match in BARE.finditer(line.letters):
        if match.start() < at:
            continue
        piece = line.tokens[match.start() : match.end()]
        judged = piece[0].letter in "yAz" or piece[-1].letter in "syz" or [t.letter for t in piece] == ["q", "a", "q"]
        tolerance = piece[1:2] and piece[1].letter == "a" and piece[0].letter == "q"
        if judged and not _second(line, match.start(), named=bool(tolerance)):
            continue
        limits = bare(piece) if piece[0].letter != "A" else _anything(line, match.start())
        if limits is None or not limits.amounts or _crossed(limits):
            continue
        end = match.end()
        if _is_difference(line, match.start(), end):
            continue
        more, stop = each_in_turn(line, match.start(), end, limits)
        if more:
            limits, end = more, stop
        else:
            limits = _split_off(line, end, limits)
        if limits.doubt:
            _cross_out(line, end)
        limits = _as_said_behind(line, end, limits, largest=any(token.text.startswith("max") for token in piece))
        if limits.high is not None and limits.low is None and _led_by_difference(line, match.start()):
            limits = replace(limits, high=None, spread=limits.high)
        while end < len(line.tokens) and line.tokens[end].letter == "w" and line.tokens[end].text in ("per", *_SOURCES):
            source = _SOURCES.get(line.tokens[end].text, "")
            limits = replace(limits, source=limits.source or source)
            end += 1
        leads = _led_by_condition(line, match.start())
        if leads:
            limits = replace(limits, when=line.tokens[match.start() - 1].text)
        if end < len(line.tokens) and line.tokens[end].letter in "@kc" and not limits.when:
            limits = replace(limits, when=_to_comma(line, end))
            end += 2 * _at_a_bare_figure(line, end)
        made += line.tokens[at : match.start() - leads]
        made.append(Token("L", piece[0].start, line.tokens[end - 1].end, "", limits))
        at = end
    line.tokens = made + line.tokens[at:]


def part_named_limits(line: Line) -> None:
    """``cut in 98 cut out 128 psi cut out s/b 120-135``: behind the name of one of several values they are its own."""
    for at in range(len(line.tokens) - 1, 0, -1):
        if line.tokens[at].letter != "L":
            continue
        first = at
        while first and line.tokens[first - 1].letter == "w":
            first -= 1
        named = [token.text for token in line.tokens[first:at]]
        figures = [i for i in range(first) if line.tokens[i].letter == "q"]
        told = named and figures[-1:] == [first - 1] and len(figures) > 1
        if told and any([token.text for token in line.tokens[i - len(named) : i]] == named for i in figures):
            word = line.tokens[first]
            line.tokens.insert(first, Token(",", word.start, word.start, ",", None, gap=False))


def _is_difference(line: Line, first: int, end: int) -> bool:
    """``needs 4 more``, ``wants 2 less``: by how much it is off, and no bound of what was read."""
    word = line.tokens[end] if end < len(line.tokens) else None
    return (
        word is not None
        and word.text in ("more", "less", "extra")
        and line.tokens[end - 1].letter == "q"
        and end - first > 1
    )


def _as_said_behind(line: Line, end: int, limits: GivenLimits, *, largest: bool) -> GivenLimits:
    """The limits as the words right behind them make them: either way, apart, over ambient."""
    if limits.amounts == (limits.nominal,) and line.letters[end : end + 1] == "w" and line.tokens[end].text == "clear":
        limits = replace(limits, nominal=None, low=limits.nominal)  # "wants 150 clear": so much room at least
    way = _EITHER_WAY.match(line.text, line.tokens[end - 1].end)
    both = way is not None and way[1].casefold() == "both" and sum(one.letter == "q" for one in line.tokens) > 1
    if way and not largest and not both:  # "1.9 mm lateral 0.8 radial, limit 1.2 both ways": of each of them
        limits = _around_zero(limits)
    if line.letters[end : end + 2] in ("w", "w,", "w;") and line.tokens[end].text in DIRECTIONS:
        limits = replace(limits, own=(*limits.own, line.tokens[end].text))  # "spec 0.5 to 2.0 down"
    if limits.high is not None and _of_a_difference(line, end):
        limits = replace(limits, high=None, spread=limits.high)
    return replace(limits, doubt=True) if _beyond_another(line, end) else limits


def _of_a_difference(line: Line, end: int) -> bool:
    """``not over 10 mm side diff``: the words right behind the figure say that it is how far apart they may lie."""
    words = list(itertools.takewhile(lambda token: token.letter in "wpe", line.tokens[end : end + 4]))
    following = line.tokens[end + len(words) : end + len(words) + 1]
    if following and following[0].letter in "lhsdqi":
        return False  # "spec 2.8 to 4.3 cross max 0.7": the word leads the next limits
    said = " ".join(token.text for token in words)
    return "side to side" in said or any(t.text in _APART | _SPREADS for t in (*line.tokens[end : end + 1], *words))


_SIDE_TO_SIDE = frozenset("side to left right sides between of".split())
_DIFFERENCE = Regex(r"\b(?:side to side|left to right|difference|diff|spread|variation)\b", re.I)


def _led_by_difference(line: Line, first: int) -> bool:
    """``6 mm L, 3 mm R, side to side not more than 2``: said in front of the limits, and of no reading before."""
    part = max((i + 1 for i in range(first) if line.tokens[i].letter in ",;"), default=0)
    if part == 0 or any(token.letter in "qx" for token in line.tokens[part:first]):
        return False
    begun = line.tokens[part].start
    said = _DIFFERENCE.search(line.text, begun, line.tokens[first].start)
    return said is not None and _DIFFERENCE.search(line.text, 0, begun) is None


_OUTSIDE = ("amb", "outside", "atmos", "baro")


def _beyond_another(line: Line, end: int) -> bool:
    """``max 55 over ambient``: so much beyond a value that is not known here; nobody is judged."""
    sign, *behind = (*line.tokens[end : end + 2],) or (None,)
    above = sign is not None and sign.text in ("over", "above", "below", "under")
    return above and bool(behind) and behind[0].text.startswith(_OUTSIDE)


def _cross_out(line: Line, end: int) -> None:
    """The next figure behind limits that are in doubt is none that anybody can be sure of."""
    for at in range(end, min(end + 4, len(line.tokens))):
        if line.tokens[at].letter == "q":
            line.tokens[at] = replace(line.tokens[at], letter="x", held=None)
            return


def _led_by_condition(line: Line, at: int) -> bool:
    """``cold spec 7.2-7.6``: a condition in front of the limits, at the start of their part, is theirs."""
    if at == 0 or line.tokens[at - 1].letter != "c":
        return False
    said = {one.text for one in line.tokens[: at - 1] if one.letter == "c"} & _WARMTH
    apart = line.tokens[at - 1].text in _WARMTH and bool(said - {line.tokens[at - 1].text})
    return at < 2 or line.tokens[at - 2].letter in ",;(" or apart  # "7.9 bar hot after 40 min cold spec 7.2-7.6"


_WARMTH = frozenset({"hot", "cold", "warm"})
_GOOD = frozenset({"ok", "fine", "good", "happy", "right", "normal", "okay", "acceptable", "healthy"})


def _anything(line: Line, at: int) -> GivenLimits | None:
    """``anything over 3 gets changed`` forbids, ``ok anything under 100`` allows."""
    amount = line.tokens[at + 1].amount
    before = next((i for i in range(at - 1, -1, -1) if line.tokens[i].letter in ",;"), -1)
    behind = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;"), len(line.tokens))
    part = [token.text for token in line.tokens[before + 1 : behind]]
    return _judged(amount, good=bool(_GOOD & set(part)))


def _second(line: Line, at: int, *, named: bool) -> bool:
    """A judged range is a limit only behind another amount, with no position or (unless ``named``) word of its own."""
    begun = max((i + 1 for i, token in enumerate(line.tokens[:at]) if token.letter == ";"), default=0)
    before = line.tokens[begun:at] if begun < at else line.tokens[: max(0, begun - 1)]  # "...; 690 +/- 35"
    # behind a word of its own ("hub runout .516-.536 in good") a range is what was measured
    led = before[-1:] and before[-1].letter in ("p" if named else "pw") and before[-1].text not in _SETTINGS
    return any(token.letter in "qx" for token in before) and not led


_SETTINGS = frozenset({"set", "setting", "adjust", "nominal"})
"""``set 2700 +/- 50``: words for what a thing should stand at."""


def _at_a_bare_figure(line: Line, at: int) -> bool:
    """``2.2 to 2.8 kohm at 20``: a figure without a unit would be no condition by itself."""
    letters = line.letters[at : at + 3]
    return letters[:2] == "@q" and letters[2:] in ("", ",", ";") and line.tokens[at + 1].amount.bare


def _to_comma(line: Line, at: int) -> str:
    """The text from a token to the end of its part."""
    stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;()"), len(line.tokens))
    return line.said(line.tokens[at].start, line.tokens[stop - 1].end)


_EITHER_WAY = Regex(r"\s*(either|each|both) (?:way|direction)s?\b", re.I)


def _around_zero(limits: GivenLimits) -> GivenLimits:
    """``allowed 0.5 either way``: so much to either side of nought, or of the value named with it."""
    most = limits.high or limits.nominal or limits.wear
    if most is None or limits.low is not None or limits.tolerance is not None:
        return limits
    zero = replace(most, text="0", value=most.value and most.value * 0, signed=False)
    return replace(limits, high=None, wear=None, nominal=zero, tolerance=most)


RATE_WORDS = frozenset({"a", "an", "per", "each", "every"})
"""In front of a time or a way they make a rate: 2 psi a minute."""
_PER = frozenset({"min", "minute", "h", "hr", "hour", "s", "sec", "mi", "km", "m"})


def _split_off(line: Line, end: int, limits: GivenLimits) -> GivenLimits:
    """``min 65 idle / 70 at 1800``: two limits for two conditions are not told apart; nobody is judged."""
    letters = "".join(token.letter for token in line.tokens[end : end + 4])
    per = letters[:1] == "/" and line.tokens[end + 1 : end + 2] and line.tokens[end + 1].text in _PER
    rate = line.tokens[end].text.split(" ") if letters[:1] == "C" else [""]
    alike = any(one.letter == "C" and one.text.split(" ")[-1] == rate[-1] for one in line.tokens[:end])
    if per or (rate[0] in RATE_WORDS and not alike):
        return replace(limits, doubt=True)  # a rate is not compared with an amount
    more = re.match(r"c?[/j]q(?!y)|[cpw]{0,2}q|c,q(?=[cw])", letters)
    if more is None:
        return limits
    other = line.tokens[end + more.end() - (2 if more[0][-1] != "q" else 1)]
    close = more[0] == "q" or (
        other.letter == "q" and (other.amount.bare or other.amount.to or other.amount.shape == "32nds")
    )
    close = close or "/" in more[0] or "j" in more[0]
    return replace(limits, doubt=True) if close else limits
