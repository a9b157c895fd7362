"""What stands behind a code: state, count, moment, and the rest as the unit that stored it."""

import re
from dataclasses import dataclass, field

from ticket.job.entry import Remark
from ticket.job.kinds import Code
from ticket.job.regex import Regex
from ticket.notes.asking import ask, place, unread, without
from ticket.notes.phrases import means, phrase_at
from ticket.notes.segments import flag_of
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, tokens_of
from ticket.readings.positions import places

_COUNTER = frozenset(
    {
        "oc",
        "count",
        "counts",
        "cnt",
        "cnt.",
        "occ",
        "occurrence",
        "occurrences",
        "occurence",
        "occurences",
        "counter",
        "seen",
        "counted",
        "hits",
    }
)
_TIMES = frozenset({"x", "times", "time", "×", "counts", "occurrences", "occ", "hits"})
_GLUED = Regex(r"(?:oc|cnt|occ|x)\s?[:=#-]?([0-9]{1,5})|([0-9]{1,5})x", re.I)
_BEHIND_STATE = frozenset(
    {
        ",",
        ";",
        ".",
        "wont",
        "won't",
        "will",
        "didn't",
        "didnt",
        "came",
        "comes",
        "n",
        "in",
        "by",
        "since",
        "at",
        "on",
        ")",
        "x",
        "count",
        "cnt",
        "oc",
        "occ",
        "and",
        "&",
        "/",
        "(",
        "now",
        "code",
        "codes",
        "fault",
        "faults",
        "dtc",
        "-",
        "–",
        "sa",
        "again",
        "after",
        "for",
        "before",
    }
)
_ADDRESS = frozenset({"sa", "source", "src", "addr", "address"})
_TIGHT = Regex(r"\s?([\-\u2010-\u2015\u2212:._/]([0-9A-Za-z]{1,8}))(?![0-9A-Za-z])")
_HEX_PAIR = Regex(r"[0-9A-Fa-f]{2}")
_MOST_COUNT = 5  # digits


@dataclass(slots=True)
class Tail:
    """Fields behind a code; ``shared`` says that the state was meant for every code of the line."""

    fields: dict[str, str] = field(default_factory=dict)
    remarks: list[Remark] = field(default_factory=list)
    shared: bool = False


def tail_of(rest: Body, code: str = "", *, unit_first: bool = False) -> Tail:
    """Everything behind one or several codes side by side.

    Args:
        rest: the text behind them.
        code: the last of them, which a question names.
        unit_first: the first comma part is words, as in ``none in any unit``.
    """
    tail = Tail()
    tokens = tokens_of(rest.bare)
    taken: set[int] = set()
    start = next((i for i, token in enumerate(tokens) if token.low in ",;"), len(tokens)) if unit_first else 0
    _moments(rest, tokens, taken, tail, start)
    _counts(rest, tokens, taken, tail, start)
    _states(rest, tokens, taken, tail, start)
    glued = _no_sub(rest, tokens, taken) if code and not unit_first else None
    if glued:
        form = (
            "failure mode (FMI), 0 to 31" if code.startswith("SPN") else "sub-code of two characters, 0 to 9 and A to F"
        )
        tail.remarks.append(unread(rest, glued.span(1), f"This is no {form}. Type it as the tool shows it."))
    elif code and not unit_first:
        _left_over(rest, tokens, taken, tail, code)
    unit = without(rest, (place(tokens, at, at + 1) for at in sorted(taken)))
    text = Body(unit.raw.strip(" ,;()" if taken else " ,;"), "", 0).text if unit.raw.strip() else ""
    if glued:
        text = glued[1] + text.removeprefix(glued[1]).removeprefix(glued[2])  # the sign says that it was no word
    if text:
        tail.fields["unit"] = text
    return tail


def _no_sub(rest: Body, tokens: list[Token], taken: set[int]) -> re.Match[str] | None:
    """``P0420-ZZ``, ``P0420/9``: tight behind the code stands what neither form of a sub-code nor any word explains."""
    match = _TIGHT.match(rest.bare)
    if match is None or any(tokens[at].start < match.end() for at in taken):
        return None
    piece = match[2]
    named = piece.isalpha() and (len(piece) > len("ZZ") or places(piece) != (piece.lower(),))
    return None if named else match


def _moments(rest: Body, tokens: list[Token], taken: set[int], tail: Tail, start: int) -> None:
    """``after repair``, and every other choice that fills its comma part."""
    first = start
    for at in range(start, len(tokens) + 1):
        if at < len(tokens) and tokens[at].low not in (",", ";"):
            continue
        if at > first:
            flag = flag_of(Code.kind, rest.bare[slice(*place(tokens, first, at))])
            if flag and flag[0] not in tail.fields:
                tail.fields[flag[0]] = flag[1]
                taken.update(range(first, at))
            _closing_moment(tokens[:at], first, taken, tail)
        first = at + 1


_READ_WHEN = {
    ("at", "arrival"): "at arrival", ("on", "arrival"): "at arrival", ("when", "it", "came", "in"): "at arrival",
    ("as", "it", "came", "in"): "at arrival", ("coming", "in"): "at arrival", ("after", "repair"): "after repair",
    ("after", "road", "test"): "after road test", ("after", "drive"): "after road test",
}  # fmt: skip


def _closing_moment(tokens: list[Token], first: int, taken: set[int], tail: Tail) -> None:
    """``stored 3 times at arrival``: when it was read closes a part that says something else first."""
    for words, moment in _READ_WHEN.items():
        begun = len(tokens) - len(words)
        if begun > first and "moment" not in tail.fields and tuple(token.low for token in tokens[begun:]) == words:
            tail.fields["moment"] = moment
            taken.update(range(begun, len(tokens)))


def _counts(rest: Body, tokens: list[Token], taken: set[int], tail: Tail, start: int) -> None:
    at = start
    while at < len(tokens):
        hit = _count_at(tokens, at) if at not in taken else None
        if hit is None:
            at += 1
            continue
        number, behind = hit
        if "times" in tail.fields:
            tail.remarks.append(ask(rest, place(tokens, at, behind), "Two counts stand here; the first was taken."))
        else:
            tail.fields["times"] = f"{number} times"
            taken.update(range(at, behind))
        at = behind


def _count_at(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """``OC 14``, ``count: 3``, ``x4``, ``2 times``, ``14 counts``."""
    token = tokens[at]
    if token.kind == "count":
        return int(token.text[1:]), at + 1
    if token.kind in ("name", "number") and (glued := _GLUED.fullmatch(token.text + token.glued)):
        return int(glued[1] or glued[2]), at + 1
    if token.low in _COUNTER or token.low in ("x", "×"):
        figure = at + 1
        while figure < len(tokens) and tokens[figure].low in ("count", "counter", ":", "=", "#", "of", "is", "-", "."):
            figure += 1
        if figure < len(tokens) and _whole(tokens[figure]):
            behind = figure + 1
            behind += behind < len(tokens) and tokens[behind].low in ("times", "x")
            return int(tokens[figure].text), behind
    if (
        _whole(token)
        and not (at and tokens[at - 1].low in _ADDRESS)
        and at + 1 < len(tokens)
        and tokens[at + 1].low in _TIMES
        and not _numbers_on(tokens, at + 2, tokens[at + 1].low)
    ):
        return int(token.text), at + 2
    return None


def _numbers_on(tokens: list[Token], at: int, word: str) -> bool:
    return word in ("x", "time") and at < len(tokens) and tokens[at].kind == "number"


def _whole(token: Token) -> bool:
    return token.kind == "number" and token.text.isdecimal() and len(token.text) <= _MOST_COUNT and not token.glued


def _states(rest: Body, tokens: list[Token], taken: set[int], tail: Tail, start: int) -> None:
    """Words of a state, where nothing else goes on behind them: ``active suspension`` is the name of a unit."""
    at = start
    while at < len(tokens):
        hit = phrase_at("status", tokens, at) if at not in taken else None
        closed = hit is not None and (_closed(tokens, hit[1], taken) or _counted_before(tokens, at))
        if hit is None or not closed or _short_word(tokens, at, hit[1], taken):
            at += 1
            continue
        state, behind = hit
        if "status" not in tail.fields:
            tail.fields["status"] = state
            if at and means("shared", tokens[at - 1].low) and at - 1 not in taken:
                tail.shared = True
                taken.add(at - 1)
            taken.update(range(at, behind))
        elif tail.fields["status"] != state:
            tail.remarks.append(
                ask(rest, place(tokens, at, behind), f"Two states stand here; {tail.fields['status']} was taken.")
            )
        at = behind


def _left_over(rest: Body, tokens: list[Token], taken: set[int], tail: Tail, code: str) -> None:
    """A bare figure nobody named: a sub-code right behind the code, or a count."""
    for at, token in enumerate(tokens):
        if at in taken or token.kind not in ("number", "name") or token.glued:
            continue
        before = tokens[at - 1].low if at else ""
        where = place(tokens, at, at + 1)
        if at == 0 and _HEX_PAIR.fullmatch(token.text) and code[:1] in "PCBU":
            text = f"Is {token.text} the sub-code? Write {code}-{token.text.upper()}."
            tail.remarks.append(unread(rest, where, text, f"-{token.text.upper()}"))
        elif (
            token.kind == "number"
            and token.text.isdecimal()
            and "times" not in tail.fields
            and (before == "(" or (at and at - 1 in taken))
        ):
            text = f"Is {token.text} how often it was counted? Write x{token.text}."
            tail.remarks.append(unread(rest, where, text, f"x{token.text}"))


def _closed(tokens: list[Token], at: int, taken: set[int]) -> bool:
    return (
        at >= len(tokens)
        or at in taken
        or tokens[at].low in _BEHIND_STATE
        or tokens[at].kind == "number"
        or phrase_at("status", tokens, at) is not None
        or _count_at(tokens, at) is not None
        or _address_at(tokens, at)
    )


def _counted_before(tokens: list[Token], at: int) -> bool:
    """``x3 current n/s rear wheel speed``: right behind the count stands the state, whatever goes on behind it."""
    return at > 0 and (tokens[at - 1].kind == "count" or tokens[at - 1].low in ("times", "counts"))


def _address_at(tokens: list[Token], at: int) -> bool:
    """``source address 11``, ``src 11``: who sent it; ``source voltage low`` is the name of something."""
    if tokens[at].low not in _ADDRESS:
        return False
    return any(token.kind == "number" for token in tokens[at + 1 : at + 3])


def _short_word(tokens: list[Token], at: int, behind: int, taken: set[int]) -> bool:
    """``set`` and ``mem`` in the middle of words are words."""
    return (
        behind == at + 1
        and tokens[at].low in ("set", "saved", "mem", "present", "current", "int", "inter", "failing", "previous", "pa")
        and at > 0
        and at - 1 not in taken
        and (
            tokens[at - 1].kind == "word"
            and not means("shared", tokens[at - 1].low)
            and tokens[at - 1].low not in ("is", "are", "was", "code", "codes", "dtc", "dtcs", "fault")
        )
    )
