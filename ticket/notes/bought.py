"""Parts, fluids and work bought outside: quantity, unit, part number, condition and price, wherever they stand."""

from collections.abc import Sequence

from ticket.job.kinds import CONDITIONS, Used
from ticket.job.regex import Regex
from ticket.notes.asking import Range, place, unread, without
from ticket.notes.heads import Head, join
from ticket.notes.part_numbers import is_part_number, stands_out
from ticket.notes.pen import Pen
from ticket.notes.phrases import phrase_at
from ticket.notes.price import has_cents, measured, price_of
from ticket.notes.quantity import quantity_of, several_parts, sold_unit
from ticket.notes.shapes import Context, money_in, one_of
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, plain_number, tokens_of

_FORCED = Regex(r"\s*= ?(?=[0-9.])")

_LONG_FIGURE = 5  # digits
_DASH_SIZE = Regex(r"#[0-9]{1,2}")
"""``#8`` in the middle of words is a size of rings and hose, no part number."""


def read_used(body: Body, _context: Context) -> Head:
    """``1 x 4410-77 drain washer, new @ 1.85``, ``bulb x2 @ $3.49 ea``, ``hose clamp (2) .99``."""
    tokens = tokens_of(body.bare)
    several = several_parts(tokens)
    if several:
        text = "Several parts stand here; give each a line of its own."
        return Head({"text": body.text}, [unread(body, place(tokens, *several), text, blocks=True)])
    return _Reader(body, tokens).head()


class _Reader:
    """One part: each step takes its tokens away, and what is left is the name."""

    def __init__(self, body: Body, tokens: Sequence[Token]) -> None:
        self.body, self.tokens = body, tokens
        self.taken: set[int] = set()
        self.read = Head()

    def head(self) -> Head:
        """All steps, in order: money before counts, counts before part numbers."""
        self._marked_part()
        money = price_of(self.body, self.tokens, self.taken)
        count = quantity_of(self.body, self.tokens, self.taken, bool(_FORCED.match(self.body.bare)))
        self.read.fields |= count.fields
        money.settle(self.body, self.tokens, self.taken, self.read, count.count)
        self.read.remarks += count.remarks
        self._condition()
        self._part()
        self._left_over()
        self.read.fields["text"] = self._rest().text
        return self.read

    def _marked_part(self) -> None:
        """``p/n 4410-77``, ``#41-993``, and a span behind ``#``."""
        for at, token in enumerate(self.tokens):
            lead = phrase_at("part no", self.tokens, at)
            behind = lead[1] if lead else at + 1 if token.low == "#" else 0
            while 0 < behind < len(self.tokens) and self.tokens[behind].low in ("#", ":", "no", "."):
                behind += 1
            if token.kind == "name" and token.text.startswith("#") and not self._is_size(at):
                self._take_part(token.text[1:], at, at + 1)
                return
            if behind and behind < len(self.tokens) and self._can_be_part(self.tokens[behind], bool(lead)):
                number = self.tokens[behind]
                text = (
                    self.body.cut(number.start, number.end).text
                    if number.kind == "span"
                    else self.body.raw[number.start : number.end]
                )
                self._take_part(text, at, behind + 1)
                return

    def _is_size(self, at: int) -> bool:
        before = self.tokens[at - 1] if at else None
        named = before is not None and before.kind == "word" and before.low not in ("x", "no", "part")
        return named and _DASH_SIZE.fullmatch(self.tokens[at].text) is not None

    def _can_be_part(self, token: Token, led: bool) -> bool:
        if token.kind == "span":
            return not led
        return (
            token.kind in ("name", "number", "word", "phone", "day") and any(char.isdecimal() for char in token.text)
        ) or (not led and token.kind == "word")

    def _take_part(self, text: str, first: int, behind: int) -> None:
        self.read.fields["part"] = text
        self.taken.update(range(first, behind))

    def _part(self) -> None:
        if "part" in self.read.fields:
            return
        free = [at for at in range(len(self.tokens)) if at not in self.taken]
        for place_of, at in enumerate(free):
            token = self.tokens[at]
            typed = self.body.raw[token.start : token.end]
            priced = at + 1 < len(self.tokens) and self.tokens[at + 1].kind == "money"
            fits = is_part_number(typed) if place_of == 0 or priced else stands_out(typed)
            if token.kind in ("name", "phone") and fits and self._alternative(at):
                return
            if token.kind in ("name", "phone") and fits:
                self._take_part(typed, at, at + 1)
                return

    def _alternative(self, at: int) -> bool:
        """``40-1183 or 40-1138``: which of the two was fitted is asked."""
        if at + 2 >= len(self.tokens) or self.tokens[at + 1].low not in ("or", "/"):
            return False
        other = self.tokens[at + 2]
        if not is_part_number(self.body.raw[other.start : other.end]):
            return False
        where = place(self.tokens, at, at + 3)
        self.read.remarks.append(
            unread(self.body, where, "Two part numbers stand here; write the one that was fitted.", blocks=True)
        )
        return True

    def _condition(self) -> None:
        tokens = self.tokens
        free = [at for at in range(len(tokens)) if at not in self.taken]
        if not free:
            return
        sublet = phrase_at("sublet", tokens, free[0])
        if sublet and len(free) > 1:
            self._take_condition(
                "sublet", free[0], sublet[1] + (sublet[1] < len(tokens) and tokens[sublet[1]].low == ":")
            )
            return
        for at in free:
            hit = phrase_at("condition", tokens, at) or phrase_at("sublet", tokens, at)
            meaning = one_of(CONDITIONS, hit[0]) if hit else ""
            if hit and meaning and self._is_condition(meaning, at, hit[1], free):
                self._take_condition(meaning, at, hit[1])
                return

    def _is_condition(self, meaning: str, at: int, behind: int, free: list[int]) -> bool:
        """At the end, alone behind a comma, or in front of the name; ``new style`` and ``used oil`` are names."""
        last = not any(place in free for place in range(behind, len(self.tokens)) if self.tokens[place].kind != "mark")
        alone = (
            at > 0
            and self.tokens[at - 1].low in ",("
            and (behind >= len(self.tokens) or self.tokens[behind].low in ",)@")
        )
        if last or alone:
            return True
        front = [place for place in free if place < at and self.tokens[place].kind != "mark"] == []
        follows = self.tokens[behind].low if behind < len(self.tokens) else ""
        if not front or follows in ("style", "type", "design", "old", "generation", "version", "-"):
            return False
        counted = self.read.fields.get("unit") in ("x", "set", "pair")
        return counted and (meaning != "used" or at == 0)

    def _take_condition(self, meaning: str, first: int, behind: int) -> None:
        self.read.fields["condition"] = meaning
        self.taken.update(range(first, behind))

    def _left_over(self) -> None:
        """Sums, shares, second amounts and long bare figures that nothing took."""
        asked = [(remark.start - self.body.at, remark.end - self.body.at) for remark in self.read.remarks]
        for at, token in enumerate(self.tokens):
            if at in self.taken or any(start <= token.start < end for start, end in asked):
                continue
            if token.kind in ("money", "count", "number"):
                self._ask_what(at, token)

    def _ask_what(self, at: int, token: Token) -> None:
        """What a figure that is left over may be; a bare one in the middle of words is part of the name."""
        where, typed = place(self.tokens, at, at + 1), token.text
        follows = self.tokens[at + 1].low if at + 1 < len(self.tokens) else ""
        opens = at > 0 and self.tokens[at - 1].low in (",", "+")
        unit = sold_unit(self.tokens, at) if opens and token.kind == "number" else None
        if token.kind == "money":
            self._ask(where, f"What is {typed}? A price stands behind @.", blocks=True)
        elif token.kind == "count":
            self._ask(where, f"Is {typed} how many? Another amount stands here already.")
        elif unit:
            where = place(self.tokens, at, unit[1])
            self._ask(where, f"What is {self.body.raw[slice(*where)]}? Give each part a line of its own.")
        elif has_cents(token) and (not follows or follows in ",;.(" or "price" not in self.read.fields):
            self._ask(
                where, f"Is {typed} the price of one? Write it behind @.", f"@ {plain_number(typed)}", blocks=True
            )
        elif opens and (not follows or follows in ",;+") and "price" not in self.read.fields and typed.isdecimal():
            self._ask(where, f"Is {typed} the price of one? Write it behind @.", f"@ {typed}", blocks=True)
        elif follows == "%":
            where = place(self.tokens, at, at + 2)
            self._ask(where, "A share is no price and no count; write the sum behind @.", blocks=True)
        elif typed.isdecimal() and len(typed) >= _LONG_FIGURE and "part" not in self.read.fields:
            self._ask(where, f"Is {typed} the part number? Write it with #.", f"#{typed}")

    def _ask(self, where: Range, text: str, *answers: str, blocks: bool = False) -> None:
        self.read.remarks.append(unread(self.body, where, text, *answers, blocks=blocks))

    def _rest(self) -> Body:
        ranges: list[Range] = [place(self.tokens, at, at + 1) for at in sorted(self.taken)]
        if _FORCED.match(self.body.bare):
            ranges.append((0, self.body.bare.index("=") + 1))
        return without(self.body, ranges)


def write_used(fact: Used, pen: Pen) -> str:
    """The head of a part, a fluid or work bought outside."""
    amount = join("=" if pen.marked and fact.amount else "", fact.amount, fact.unit)
    part = fact.part
    if part and (pen.marked or not is_part_number(part)):
        part = "#" + pen.text("part", part)
    text = pen.text("text", fact.text) if fact.text or pen.marked else ""
    line = join(amount, part, text)
    if fact.condition:
        line += f", {fact.condition}"
    if fact.price:
        per = f"/{fact.unit}" if measured(fact.unit) and "/" not in fact.unit else ""
        line += f" @ {money_in(fact.price)}{per}"
    return line
