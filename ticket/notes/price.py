"""What one of a part costs: ``@ 21.40/L``, ``$84.60``, ``.45 ea``, a last ``.99``; cores and own cost beside it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from ticket.job.numbers import exact
from ticket.notes.asking import ask, place, unread
from ticket.notes.finding.unit_words import unit_end
from ticket.notes.heads import Head
from ticket.notes.part_numbers import stands_out
from ticket.notes.phrases import means, phrase_at
from ticket.notes.quantity import sold_unit
from ticket.notes.shapes import money_in
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, has_decimal_comma, plain_number
from ticket.readings.units import find, same

_APIECE = frozenset({"a", "à", "á"})
"""``2 pcs a 2,40``: what one of them costs, as receipts in other languages write it."""

_PIECES = ("", "x", "each", "set", "pair", "ea", "pcs")


@dataclass(frozen=True, slots=True)
class _Sum:
    first: int
    behind: int
    figure: int  # its token
    each: bool = False  # typed as the price of one
    whole: bool = False  # typed as the price of all
    per: str = ""  # the unit behind a stroke
    bare: bool = False  # no sign in front and no word behind


@dataclass(slots=True)
class Money:
    """The sums of a line."""

    sums: list[_Sum] = field(default_factory=list)
    beside: dict[str, str] = field(default_factory=dict)

    def settle(self, body: Body, tokens: Sequence[Token], taken: set[int], head: Head, count: Fraction | None) -> None:
        """Put the price on the head, or ask."""
        head.fields |= self.beside
        if not self.sums:
            return
        if len(self.sums) > 1:
            where = (
                place(tokens, self.sums[0].first, self.sums[0].behind)[0],
                place(tokens, self.sums[-1].first, self.sums[-1].behind)[1],
            )
            head.remarks.append(
                unread(body, where, "Two sums stand here; which is the price of one? Write it behind @.", blocks=True)
            )
            return
        self._one(body, tokens, head, count, self.sums[0])
        if "price" not in head.fields:  # asked about, so it stays in the text
            taken.difference_update(range(self.sums[0].first, self.sums[0].behind))

    def _one(self, body: Body, tokens: Sequence[Token], head: Head, count: Fraction | None, found: _Sum) -> None:
        token = tokens[found.figure]
        price = money_in(plain_number(token.text))
        where = place(tokens, found.first, found.behind)
        unit = str(head.fields.get("unit", ""))
        if not price:
            head.remarks.append(
                unread(body, where, f"{token.text} was not read as a price; write it like @ 21.40.", blocks=True)
            )
            return
        if found.per and not _fits(found.per, unit):
            text = f"The price is for one {found.per}, the amount is in {unit or 'pieces'}; no price was taken."
            head.remarks.append(unread(body, where, text, blocks=True))
            return
        if found.whole and count is not None and count != 1:
            text = f"Is {price} for all of them? Write the price of one behind @."
            head.remarks.append(unread(body, where, text, *_of_one(price, count), blocks=True))
            return
        amount = exact(str(head.fields.get("amount", "")))
        if found.bare and measured(unit) and amount != 1:
            text = f"Is {price} the price of one {unit}, or of all of it? Write @ {price}/{unit}."
            one = _of_one(price, amount) if amount else ()
            answers = (f"@ {price}/{unit}", *(f"{item}/{unit}" for item in one))
            head.remarks.append(unread(body, where, text, *answers, blocks=True))
            return
        head.fields["price"] = price
        if has_decimal_comma(token):
            head.remarks.append(
                ask(body, where, f"{token.text} was read as {price}; a decimal point is a full stop here.")
            )
        elif found.bare and count is not None and count > 1:
            text = f"Is {price} the price of one, or of all? It is taken as one."
            head.remarks.append(ask(body, where, text, f"@ {price}", *_of_one(price, count)))
        elif not found.per and not found.each and measured(unit) and not found.bare:
            head.remarks.append(
                ask(body, where, f"Is this the price of one {unit}? It is taken so.", f"@ {price}/{unit}")
            )


def _of_one(price: str, count: Fraction) -> tuple[str, ...]:
    """The price of one where the sum is for all, if that is whole cents."""
    cents = Fraction(price.replace(",", "")) * 100 / count
    return (f"@ {cents.numerator // 100}.{cents.numerator % 100:02d}",) if cents.denominator == 1 else ()


def measured(unit: str) -> bool:
    """A unit that measures out, such as litres or hours, as opposed to one that counts pieces."""
    known = find(unit)
    return known is not None and not known.dimension.startswith("pieces")


def _fits(per: str, unit: str) -> bool:
    if unit and (same(per, unit) or means("sold", per.lower()) == means("sold", unit.lower()) != ""):
        return True
    return unit in ("", "x") and per.lower() in ("x", "each", "ea", "pc", "piece", "unit", "pcs")


def price_of(body: Body, tokens: Sequence[Token], taken: set[int]) -> Money:
    """Every sum on the line, the tokens of those that are understood taken away."""
    money = Money()
    _beside(tokens, taken, money)
    money.sums = _marked(body, tokens, taken)
    if not money.sums:
        money.sums = _signed(tokens, taken)
    if not money.sums:
        money.sums = _bare(tokens, taken)
    if len(money.sums) == 1:
        found = money.sums[0]
        figure = tokens[found.figure]
        usable = bool(money_in(plain_number(figure.text))) and (not found.per or _may_fit(tokens, found))
        if usable:
            taken.update(range(found.first, found.behind))
        elif figure.kind == "name":
            taken.discard(found.figure)
    return money


def _may_fit(tokens: Sequence[Token], found: _Sum) -> bool:
    """Whether the unit behind a price occurs as a unit of the amount; decided before the amount is known."""
    if (
        find(found.per) is not None
        and sold_unit([Token("number", "1", "1", 0, 0), Token("word", found.per, found.per, 0, 0)], 0) is None
    ):
        return True  # a unit of no part, behind an amount that says its unit with =
    amounts = [
        unit[0]
        for at, token in enumerate(tokens)
        if token.kind == "number" and at < found.first and (unit := sold_unit(tokens, at))
    ]
    return any(_fits(found.per, unit) for unit in (*amounts, "x") if unit != "x" or not amounts)


def _beside(tokens: Sequence[Token], taken: set[int], money: Money) -> None:
    """``core 45``, ``$45 core``, ``our cost 3``: sums that are no price."""
    for name in ("core", "cost"):
        for at in range(len(tokens)):
            lead = phrase_at(name, tokens, at)
            if not lead or at in taken:
                continue
            figure = lead[1]
            while figure < len(tokens) and tokens[figure].low in ("@", ":", "=", "of", "is"):
                figure += 1
            if figure < len(tokens) and tokens[figure].kind in ("money", "number") and not tokens[figure].glued:
                first, behind = at, figure + 1
            elif at and tokens[at - 1].kind == "money":
                figure, first, behind = at - 1, at - 1, lead[1]
            else:
                continue
            amount = money_in(plain_number(tokens[figure].text))
            if amount and name not in money.beside:
                money.beside[name] = amount
                first -= first > 0 and tokens[first - 1].low in ("+", "plus", "&")
                taken.update(range(first, behind))


def _marked(body: Body, tokens: Sequence[Token], taken: set[int]) -> list[_Sum]:
    """Behind ``@``, or a figure with ``ea`` or a unit behind a stroke."""
    found: list[_Sum] = []
    for at, token in enumerate(tokens):
        if at in taken or not _is_figure(token):
            continue
        led = at > 0 and (
            tokens[at - 1].low == "@"
            or (tokens[at - 1].low == "at" and (token.kind == "money" or any(_behind(body, tokens, at)[:2])))
            or (tokens[at - 1].low in _APIECE and has_cents(token))
        )
        each, per, behind = _behind(body, tokens, at)
        if led and (token.kind == "money" or each or per or not _has_unit(tokens, at)):
            whole = phrase_at("whole", tokens, behind)
            found.append(_Sum(at - 1, whole[1] if whole else behind, at, each=each, per=per, whole=bool(whole)))
        elif not led and (each or per) and _priced(tokens, at, per):
            found.append(_Sum(at, behind, at, each=each, per=per))
    return found


def _is_figure(token: Token) -> bool:
    if token.kind == "name":
        return token.text[0].isdecimal() and "." in token.text  # a slip inside a figure, such as 12.5o
    return token.kind in ("money", "number")


def _has_unit(tokens: Sequence[Token], at: int) -> bool:
    """``@ 60 mph`` is no price."""
    if tokens[at].kind == "name":
        return False
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    return bool(tokens[at].glued) or (follows is not None and follows.kind == "word" and measured(follows.text))


def _behind(body: Body, tokens: Sequence[Token], at: int) -> tuple[bool, str, int]:
    """``ea`` or ``/L`` behind a figure: is it the price of one, of which unit, and the token behind."""
    token = tokens[at]
    if token.glued.lower() in ("ea", "each"):
        return True, "", at + 1
    each = phrase_at("each", tokens, at + 1)
    if each and not token.glued:
        return True, "", each[1]
    follows = tokens[at + 1].low if at + 1 < len(tokens) else ""
    if at and tokens[at - 1].low == "@" and not token.glued and means("sold", follows) in ("pair", "set"):
        return False, tokens[at + 1].text, at + 2  # "@ 140 pair"
    if follows in ("/", "per", "a") and at + 2 < len(tokens) and tokens[at + 2].kind in ("word", "mark"):
        per = tokens[at + 2].text
        if means("each", per.lower()):
            return True, "", at + 3
        stop = unit_end(body.bare, tokens[at + 2].start)
        whole = next((i for i in range(at + 3, len(tokens)) if tokens[i].start >= stop), len(tokens))
        if stop > tokens[at + 2].end and find(body.raw[tokens[at + 2].start : stop]):
            return False, body.raw[tokens[at + 2].start : stop], whole
        known = sold_unit([Token("number", "1", "1", 0, 0), tokens[at + 2]], 0)
        if known or follows != "a":
            return False, known[0] if known else per, at + 3
    return False, "", at + 1


def _priced(tokens: Sequence[Token], at: int, per: str) -> bool:
    """A figure with ``ea`` behind it is a price where it has cents or a sign; ``3 ea`` counts."""
    token = tokens[at]
    return (
        token.kind == "money"
        or bool(per)
        or (("." in token.text or has_decimal_comma(token)) and not token.glued)
        or (at > 0 and "." in token.text)
    )


def _signed(tokens: Sequence[Token], taken: set[int]) -> list[_Sum]:
    found: list[_Sum] = []
    for at, token in enumerate(tokens):
        if at in taken or token.kind != "money":
            continue
        before, after = phrase_at("whole", tokens, at - 1) if at else None, phrase_at("whole", tokens, at + 1)
        first = at - 1 if before and before[1] == at else at
        behind = after[1] if after else at + 1
        found.append(_Sum(first, behind, at, whole=bool(after or first < at), bare=not after and first == at))
    return found


def has_cents(token: Token) -> bool:
    """``24.90``, ``24,90``: a bare figure with two places behind its point or comma."""
    bare = token.kind == "number" and not token.glued
    return bare and len(plain_number(token.text).partition(".")[2]) == 2


def _bare(tokens: Sequence[Token], taken: set[int]) -> list[_Sum]:
    """A last figure with cents."""
    last = len(tokens) - 1
    while last >= 0 and (last in taken or means("condition", tokens[last].low) or tokens[last].low == ","):
        last -= 1
    if last <= 0:
        return []
    before = tokens[last - 1].low
    if has_cents(tokens[last]) and not means("not hours", before) and before not in ("x", "dia"):
        others = [at for at in range(1, last) if at not in taken and _closes_with_cents(tokens, at)]
        first = last - (before in ("-", "–", ":"))
        return [*(_Sum(at, at + 1, at, bare=True) for at in others), _Sum(first, last + 1, last, bare=True)]
    return _behind_part(tokens, taken)


def _closes_with_cents(tokens: Sequence[Token], at: int) -> bool:
    return has_cents(tokens[at]) and tokens[at + 1].low in (",", ";")


def _behind_part(tokens: Sequence[Token], taken: set[int]) -> list[_Sum]:
    """``brk2290 24.90, off the van``: cents right behind a part number, at the end of their comma part."""
    for at in range(1, len(tokens) - 1):
        named = tokens[at - 1].kind == "name" and stands_out(tokens[at - 1].text)
        if named and at not in taken and _closes_with_cents(tokens, at):
            return [_Sum(at, at + 1, at, bare=True)]
    return []
