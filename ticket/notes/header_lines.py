"""What stands about money above the entries, as one line each: discount, and who else pays.

``10 % of labour, part; regular customer`` and ``Oakline Cover; deductible 50; approval 7731``. Flags, form and plain
ticket files all read and write these lines here.
"""

import re
from collections.abc import Callable
from typing import TypeVar

from ticket.job.regex import Regex
from ticket.job.ticket import Cover, Discount
from ticket.money.prices import LINES
from ticket.notes.pen import Pen
from ticket.notes.shapes import MONEY, SIGN, money_in
from ticket.notes.spans import Body

DISCOUNT_FORM = "a sum or a share such as 20.00 or 10 % of labour, then a semicolon and the reason"
COVER_FORM = "a name, then perhaps ; deductible 50.00 and ; approval NUMBER"

_PERCENT = Regex(r"([0-9]{1,3}(?:\.[0-9]{1,6})?) ?%")
_AMOUNT = Regex(rf"({SIGN} ?{MONEY})")
_OF = Regex(r"(?P<what>.+?)(?:\s+of\s+(?P<of>.+))?\Z", re.S | re.I)
_DEDUCTIBLE = Regex(r"\s*deductible\s+(.+?)\s*\Z", re.I | re.S)
_APPROVAL = Regex(r"\s*approval\s+", re.I)
_QUOTED = Pen(marked=True)

T = TypeVar("T", Discount, Cover)


def _pieces(text: str, most: int) -> list[Body]:
    """The pieces between the first semicolons outside of quote marks."""
    body = Body.of(text.strip())
    pieces: list[Body] = []
    while len(pieces) + 1 < most and (at := body.bare.find(";")) >= 0:
        pieces.append(body.cut(0, at))
        body = body.cut(at + 1)
    return [*pieces, body]


def discount_in(text: str) -> Discount | None:
    """A discount from its line, none from no text; ``None`` where it is no discount."""
    if not text.strip():
        return Discount()
    head, *rest = _pieces(text, 2)
    match = _OF.match(head.raw.strip())
    classes = tuple(" ".join(word.split()).lower() for word in (match["of"] or "").split(",")) if match else ()
    classes = tuple(word for word in classes if word)
    if match is None or any(word not in LINES for word in classes):
        return None
    reason = rest[0].text if rest else ""
    share = _PERCENT.fullmatch(match["what"].strip())
    if share:
        return Discount(percent=share[1], of=classes, reason=reason)
    amount = money_in(match["what"]) if _AMOUNT.fullmatch(match["what"].strip()) else ""
    return Discount(amount=amount, of=classes, reason=reason) if amount else None


def discount_text(discount: Discount) -> str:
    """A discount as its line."""

    def line(pen: Pen) -> str:
        what = f"{discount.percent} %" if discount.percent else discount.amount
        of = f" of {', '.join(discount.of)}" if discount.of else ""
        return f"{what}{of}" + (f"; {pen.text('reason', discount.reason)}" if discount.reason else "")

    return _plainest(discount, discount_in, line) if discount != Discount() else ""


def cover_in(text: str) -> Cover | None:
    """A payer beside the customer from its line, none from no text; ``None`` where a figure in it is no amount."""
    if not text.strip():
        return Cover()
    name, *rest = _pieces(text, 4)
    found: dict[str, str] = {}
    for piece in rest:
        money, number = _DEDUCTIBLE.match(piece.raw), _APPROVAL.match(piece.bare)
        if number and "approval" not in found:
            found["approval"] = piece.cut(number.end()).text
        elif money and "deductible" not in found and money_in(money[1]):
            found["deductible"] = money_in(money[1])
        else:
            return None
    return Cover(name=name.text, **found)


def cover_text(cover: Cover) -> str:
    """A payer beside the customer as its line."""

    def line(pen: Pen) -> str:
        parts = [pen.text("name", cover.name)]
        parts += [f"deductible {cover.deductible}"] if cover.deductible else []
        parts += [f"approval {pen.text('approval', cover.approval)}"] if cover.approval else []
        return "; ".join(parts)

    return _plainest(cover, cover_in, line) if cover != Cover() else ""


def _plainest(value: T, read: Callable[[str], T | None], line: Callable[[Pen], str]) -> str:
    """The plain line where it reads back as the same, else the one with quote marks."""
    plain = line(Pen())
    return plain if read(plain) == value else line(_QUOTED)
