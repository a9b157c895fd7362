"""Labour: the hours to bill, wherever they stand on the line, and the operation."""

import re
from collections.abc import Sequence
from fractions import Fraction

from ticket.job.entry import Remark
from ticket.job.kinds import Did
from ticket.job.regex import Regex
from ticket.job.values import Due
from ticket.notes.asking import Range, ask, place, unread, without
from ticket.notes.due import find_due
from ticket.notes.heads import Head, join
from ticket.notes.hours import Amount, amounts, as_hours, labour_before, part_end, part_start, rated, standing
from ticket.notes.pen import Pen
from ticket.notes.phrases import means, phrase_at
from ticket.notes.shapes import Context, is_number
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, has_decimal_comma, plain_number, tokens_of

_LONGEST_LOOK = 120
_NO_CHARGE = Regex(r",\s*(?:at )?(?:no charge|free of charge|n/c|foc)\s*\Z", re.I)
_TENTHS = Regex(r"[0-9]{0,2}\.[0-9]{1,2}|[0-9]{1,2},[0-9]")
_WHOLE = Regex(r"[0-9]{1,2}|1/[24]|3/4")
_H_MM = Regex(r"[0-9]{1,2}:[0-5][0-9]")
_MOST_BY_CLOCK = 12  # hours; ``13:15`` is a time of day


def read_did(body: Body, _context: Context) -> Head:
    """``1.2 h operation``, or hours anywhere: ``replaced hose, .75hr``; ``, no charge`` means that the shop pays."""
    free = _NO_CHARGE.search(body.bare, max(0, len(body.bare) - _LONGEST_LOOK))
    body = body.cut(0, free.start()) if free else body
    head = _hours(body)
    if free:
        head.fields["pays"] = "shop"
    head.remarks += [*_waits(body), *_priced(body)]
    return head


def _waits(body: Body) -> list[Remark]:
    """``torqued, .4 h, recheck in 100 km``: labour has no due, so what waits is asked to be a line of its own."""
    tokens = tokens_of(body.bare)
    for at in range(1, len(tokens)):
        if phrase_at("recheck", tokens, at) or phrase_at("put off", tokens, at):
            behind = part_end(tokens, at)
            piece = body.cut(tokens[at].start, tokens[behind - 1].end)
            found = find_due(piece, tokens_of(piece.bare))
            if found.due != Due() or found.date:
                text = "Labour falls due at no time; write what waits as a line of its own, with later: in front."
                return [unread(body, place(tokens, at, behind), text)]
    return []


def _priced(body: Body) -> list[Remark]:
    """``1.5 h replaced hose @ 95/h``, ``..., $142.50``: labour has no price, and a sum is never just words."""
    tokens = tokens_of(body.bare)
    for at, token in enumerate(tokens):
        behind = tokens[at + 1].low if at + 1 < len(tokens) else ""
        by_hour = behind in ("/", "per", "an", "flat", "each", "ea", "", ",")
        led = at > 0 and tokens[at - 1].low == "@" and token.kind == "number" and not token.glued and by_hour
        if token.kind == "money" or led:
            where = place(tokens, at - led, at + 1)
            text = (
                f"Is {body.raw[slice(*where)]} a price? Labour is priced by a rate of the price list (rate NAME);"
                " a fixed sum is written as used: 1 x NAME @ SUM."
            )
            sure = token.kind == "money" or behind in ("/", "per", "an")  # "check idle @ 700" is asked about, no more
            return [unread(body, where, text, blocks=sure)]
    return []


def _hours(body: Body) -> Head:
    tokens = tokens_of(body.bare)
    found = amounts(tokens)
    kinds = [standing(tokens, amount) for amount in found]
    if found and found[0].first == 0 and found[0].whole and kinds[0] == "open":
        kinds[0] = "plain"  # hours in front of the operation are the certain way
    if "each" in kinds:
        return _for_several(body, tokens, found[kinds.index("each")])
    apiece = _apiece(tokens) if not found else None
    if apiece is not None:
        return _for_several(body, tokens, apiece)
    billed = [amount for amount, kind in zip(found, kinds, strict=True) if kind == "labour"]
    billed = billed or [amount for amount, kind in zip(found, kinds, strict=True) if kind == "plain"]
    if billed:
        return _billed(body, tokens, billed)
    head = Head({"text": body.text})
    for amount, kind in zip(found, kinds, strict=True):
        if kind == "open":
            where = place(tokens, amount.first, amount.behind)
            text = f"Are {body.raw[slice(*where)]} the hours to bill? Write {as_hours(amount.hours)} h in front."
            head.remarks.append(unread(body, where, text, blocks=True))
    if found and head.remarks:
        return head
    return _bare(body, tokens) or head


def _apiece(tokens: Sequence[Token]) -> Amount | None:
    """``two techs 1.5 each``: tenths without a unit, for each of several people."""
    for at, token in enumerate(tokens[:-1]):
        tenths = token.kind == "number" and not token.glued and _TENTHS.fullmatch(token.text)
        if tenths and tokens[at + 1].low in ("each", "ea", "apiece"):
            return Amount(at, at + 1, token.value or Fraction(0), whole=True)
    return None


def _billed(body: Body, tokens: Sequence[Token], plain: list[Amount]) -> Head:
    """The hours to bill; minutes beside hours may be how long something was tested, and are asked about."""
    whole = [amount for amount in plain if amount.whole]
    billed = whole or plain
    ranges = [place(tokens, amount.first, amount.behind) for amount in billed]
    total = sum((amount.hours for amount in billed), Fraction(0))
    only = billed[0].typed if len(billed) == 1 and is_number(billed[0].typed) else ""
    rest = without(body, (_with_words(tokens, amount, span) for amount, span in zip(billed, ranges, strict=True)))
    head = Head({"hours": only or as_hours(total), "text": rest.text})
    head.remarks += [ask(body, span, amount.doubt) for amount, span in zip(billed, ranges, strict=True) if amount.doubt]
    for amount in plain if whole else ():
        if not amount.whole:
            where = place(tokens, amount.first, amount.behind)
            text = f"Are {body.raw[slice(*where)]} billed too? They were not added."
            head.remarks.append(ask(body, where, text))
    if len(billed) > 1:
        span = (ranges[0][0], ranges[-1][1])
        head.remarks.append(
            ask(body, span, f"Several hours stand here; together they are {as_hours(total)} h. Is that what is billed?")
        )
    return head


def _with_words(tokens: Sequence[Token], amount: Amount, where: Range) -> Range:
    """The hours together with ``about`` in front and a bracket around them; other words stay in the operation."""
    first = amount.first
    while first > 0 and means("about", tokens[first - 1].low):
        first -= 1
    opened = first > 0 and tokens[first - 1].low == "("
    closed = amount.behind < len(tokens) and tokens[amount.behind].low == ")"
    if opened and closed:
        return tokens[first - 1].start, tokens[amount.behind].end
    return tokens[first].start, where[1]


def _for_several(body: Body, tokens: Sequence[Token], amount: Amount) -> Head:
    text = "Are these hours for each, or all together? Write the hours to bill in front, such as 3.0 h."
    where = place(tokens, amount.first, min(amount.behind + 1, len(tokens)))
    return Head({"text": body.text}, [unread(body, where, text, blocks=True)])


def _bare(body: Body, tokens: Sequence[Token]) -> Head | None:
    """A figure without a unit in front of the operation or behind it: taken with a question, or asked about alone."""
    sides = [at for at in _sides(tokens) if _may_be_hours(tokens, at)]
    if not sides:
        return None
    tenths = [at for at in sides if tokens[at].kind == "number" and _TENTHS.fullmatch(tokens[at].text)]
    billed = [at for at in tenths if labour_before(tokens, at - 1)]
    tenths = billed or [at for at in tenths if not (at and _is_else(tokens[at - 1]))]
    if tenths:
        return _tenths(body, tokens, tenths)
    at = sides[0]
    token = tokens[at]
    where = place(tokens, at, at + 1)
    if token.kind == "clock":
        hours, minutes = token.text.split(":")
        value = as_hours(Fraction(int(hours)) + Fraction(int(minutes), 60))
        text = f"Is {token.text} a time of day, or {value} hours to bill?"
        return Head({"text": body.text}, [unread(body, where, text, f"{value} h", blocks=True)])
    text = f"Is {token.text} the hours to bill? Write {token.text} h in front."
    return Head({"text": body.text}, [unread(body, where, text, f"{token.text} h", blocks=True)])


_HOLDING = frozenset({"takes", "holds", "needs", "capacity"})


def _is_else(word: Token) -> bool:
    """``clocked 1.2``; ``drained 4.1 L, it takes 6.2``: the figure behind may be how much goes in, so it is asked."""
    return bool(means("clocked", word.low)) or word.low in _HOLDING


def _tenths(body: Body, tokens: Sequence[Token], places: list[int]) -> Head:
    """Figures without a unit are taken with a question; several only where each stands in front of its own work."""
    own_work = all(tokens[at + 1 : at + 2] and tokens[at + 1].kind == "word" for at in places)
    if len(places) > 1 and not own_work:
        where = place(tokens, places[0], places[-1] + 1)
        text = "Which of these figures are the hours to bill? Write them in front, such as 1.2 h."
        return Head({"text": body.text}, [unread(body, where, text, blocks=True)])
    ranges = [place(tokens, at, at + 1) for at in places]
    figures = [plain_number(tokens[at].text) for at in places]
    total = sum((tokens[at].value or Fraction(0) for at in places), Fraction(0))
    hours = figures[0] if len(places) == 1 else as_hours(total)
    head = Head({"hours": hours, "text": without(body, ranges).text})
    for at, figure, span in zip(places, figures, ranges, strict=True):
        comma = has_decimal_comma(tokens[at])
        if len(places) == 1 and labour_before(tokens, at - 1) and not comma:
            continue
        text = f"{tokens[at].text} was read as hours{'; a decimal point is a full stop here' if comma else ''}. "
        head.remarks.append(ask(body, span, f"{text}Write {figure} h to be sure.", f"{figure} h"))
    return head


def _sides(tokens: Sequence[Token]) -> list[int]:
    """Where a bare figure may be hours: first or last of a comma part."""
    sides = []
    for at, token in enumerate(tokens):
        if token.kind in ("number", "clock") and not token.glued:
            if at == part_start(tokens, at) or at + 1 == part_end(tokens, at) or rated(tokens, at + 1):
                sides.append(at)
    return sides


def _may_be_hours(tokens: Sequence[Token], at: int) -> bool:
    token = tokens[at]
    if token.kind == "clock":
        return (
            bool(_H_MM.fullmatch(token.text))
            and int(token.text.split(":")[0]) <= _MOST_BY_CLOCK
            and _is_end(tokens, at)
        )
    tenths, whole = _TENTHS.fullmatch(token.text), _WHOLE.fullmatch(token.text)
    value = token.value
    if not (tenths or whole) or value is None or not value:
        return False
    before = tokens[at - 1].low if at else ""
    if at and part_start(tokens, at) != at:
        if (
            means("not hours", before)
            or tokens[at - 1].kind in ("number", "name")
            or (whole and means("naming", before))
        ):
            return False
        if tenths or rated(tokens, at + 1):
            return at + 1 == part_end(tokens, at) or rated(tokens, at + 1)
        return at + 1 == len(tokens)
    if before and before in ",(" and whole and at + 1 != part_end(tokens, at):
        return False
    if whole:
        return at == 0 or at + 1 == len(tokens)
    return not (
        at + 1 < len(tokens)
        and (
            (tokens[at + 1].kind == "mark" and tokens[at + 1].low in "%°\"'")
            or means("sold", tokens[at + 1].low)
            or means("forming", tokens[at + 1].low)
        )
    )


def _is_end(tokens: Sequence[Token], at: int) -> bool:
    return at == 0 or (at + 1 == len(tokens) and tokens[at - 1].low not in ("at", "@", "from", "to", "until", "since"))


def write_did(fact: Did, pen: Pen) -> str:
    """The head of labour."""
    return join(f"{fact.hours} h" if fact.hours else "", pen.text("text", fact.text) if fact.text or pen.marked else "")
