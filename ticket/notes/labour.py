"""Labour and parts: billed hours, amounts, part numbers, conditions and prices."""

import re

from ticket.job.entry import Remark
from ticket.job.kinds import CONDITIONS, Did, Used
from ticket.job.numbers import NUMBER
from ticket.notes.heads import Head, join
from ticket.notes.measures import unit_end
from ticket.notes.pen import Pen
from ticket.notes.questions import decimal_commas
from ticket.notes.series import COUNTED, NUMBERED, POSITIONS
from ticket.notes.shapes import MONEY, SIGN, Context, is_number, money_in, one_of
from ticket.notes.spans import BLANK, Body
from ticket.readings.units import find, same

_HOURS = re.compile(rf"\s*({NUMBER})\s?(?:h|hr|hrs|hours?)(?=[\s,;]|\Z)\s*[,;]?", re.I)
_MORE_TIME = re.compile(rf"\s*(?:and\s|&)?\s*{NUMBER}\s?(?:min|mins|minutes?|h|hr|hrs|hours?)(?=[\s,;]|\Z)", re.I)
_FRONT = re.compile(
    rf"\s*((?:{NUMBER}|[0-9]+,[0-9]+)(?:\s?(?:h|hr|hrs|hours?|min|mins|minutes?))?)(?=[\s;]|,(?![0-9])|\Z)", re.I
)
_END = re.compile(rf"(?:\A|(?<=[\s,;(]))({NUMBER}\s?(?:h|hr|hrs|hours?|min|mins|minutes?)?)[\s.)]*\Z", re.I)
IS_IT_HOURS = "Is this the time to bill? Write it in front as one figure in hours, such as 1.5 h."
_AMOUNT = re.compile(rf"\s*(= ?)?({NUMBER})(?![0-9/.])")
_PIECES = re.compile(r"\s?[xX×](?=\s|\Z)")
_PRICE = re.compile(rf"(?:\A|\s)@ ?({SIGN} ?{MONEY}) ?(?:/ ?([^/@]{{1,40}}?)|each|ea\.?)?\s*\Z", re.I)
_ODD_PRICE = re.compile(rf"@ ?{SIGN} ?[0-9][^\s@]*\s*\Z")
_CONDITION = re.compile(r",[^,]*\Z")
_TOKEN = re.compile(r"[^\s,@\0]+")
_VISCOSITY = re.compile(r"[0-9]+W-?[0-9]+", re.I)
# A size or a rating, such as 12-volt, 10-pin or M8-1.25, is no part number.
_SIZE = re.compile(r"[0-9.,/]+-[a-z]{2,}|M[0-9.]+[xX-][0-9.xX]+", re.A)
# Bought by these dimensions; a bolt of 10 mm and a bulb of 12 V are not ten and twelve of anything.
_SOLD_BY = frozenset({"volume", "mass"})
_SOLD_UNITS = frozenset({"m", "ft", "h"})
_LONGEST_LOOK = 120
_NO_CHARGE = re.compile(r",\s*(?:at )?(?:no charge|free of charge)\s*\Z", re.I)
_NEW_SOME = re.compile(r"\s*(new|used|rebuilt|reconditioned) +(?=[0-9])", re.I)
_NEW = re.compile(r"\s*(new|rebuilt|reconditioned) +(?=[a-z])(?!style|type|design|old|generation|version)", re.I)
_SUBLET = re.compile(r"\s*(sublet):? +(?=\S)", re.I)


def read_did(body: Body, _context: Context) -> Head:
    """``1.2 h operation``: hours are billed only in front; ``, no charge`` behind it means that the shop pays."""
    free = _NO_CHARGE.search(body.bare, max(0, len(body.bare) - _LONGEST_LOOK))
    pays = {"pays": "shop"} if free else {}
    body = body.cut(0, free.start()) if free else body
    match = _HOURS.match(body.bare)
    if match and is_number(match[1]) and not _MORE_TIME.match(body.bare, match.end()):
        return Head({"hours": match[1], "text": body.cut(match.end()).text} | pays)
    head = Head({"text": body.text} | pays, list(decimal_commas(body.cut(0, 40))))
    if figure := _front_or_end(body.bare):
        head.remarks.append(Remark(IS_IT_HOURS, body.at + figure.start(1), body.at + figure.end(1)))
    return head


def _front_or_end(text: str) -> re.Match[str] | None:
    """The figure a piece of labour begins or ends with, where a person may have written its hours."""
    front = _FRONT.match(text)
    end = None if front else _END.search(text, max(0, len(text) - _LONGEST_LOOK))
    before = text[: end.start(1)].split()[-1:] if end else []
    if end and before and before[0].casefold() in NUMBERED | COUNTED and end[1].isdigit():
        return None  # "coil of cyl 2"
    return front or end


def unread_hours(fact: Did) -> str:
    """The figure that may be the hours of a piece of labour and bills nothing; empty where there is none.

    Behind hours that were read only more time at the start of the text may be some: "1 h" and "20 min pump".
    """
    if fact.hours:
        more = _MORE_TIME.match(fact.text)
        return more[0].strip() if more else ""
    figure = _front_or_end(fact.text)
    return figure[1].strip() if figure else ""


def write_did(fact: Did, pen: Pen) -> str:
    """The head of labour."""
    return join(f"{fact.hours} h" if fact.hours else "", pen.text("text", fact.text) if fact.text or pen.marked else "")


def read_used(body: Body, _context: Context) -> Head:
    """``1 x 4410-77 drain washer, new @ 1.85``."""
    head = Head(remarks=list(decimal_commas(body.cut(0, 40))))
    rest = _amount(_before_amount(body, head), head)
    rest = _before_name(rest, head)
    rest = _condition(rest, head)
    rest = _price(rest, head)
    rest = _condition(rest, head)
    rest = _part(rest.strip(), head)
    head.fields["text"] = rest.text
    return head


def _before_amount(body: Body, head: Head) -> Body:
    """``new 1 tire`` and ``rebuilt 2 x caliper``: the condition in front of the amount; a bare amount counts pieces."""
    match = _NEW_SOME.match(body.bare)
    if match is None:
        return body
    head.fields["condition"] = match[1].lower()
    rest = body.cut(match.end())
    bare = _AMOUNT.match(rest.bare)
    if bare and not bare[1] and not _PIECES.match(rest.bare, bare.end()) and rest.bare[bare.end() :][:1] == " ":
        at = bare.end() + 1
        if not _sold(" ".join(rest.bare[at : unit_end(rest.bare, at)].split())):
            head.fields |= {"amount": bare[2], "unit": "x"}
            return rest.cut(at)
    return rest


def _before_name(body: Body, head: Head) -> Body:
    """``sublet wheel alignment`` and ``1 x new tire``: the condition in front of the name."""
    match = _SUBLET.match(body.bare) or (_NEW.match(body.bare) if head.fields.get("unit") in ("x", "set") else None)
    if match is None or "condition" in head.fields:
        return body
    head.fields["condition"] = match[1].lower()
    return body.cut(match.end())


def _amount(body: Body, head: Head) -> Body:
    match = _AMOUNT.match(body.bare)
    if match is None or not is_number(match[2]):
        return body
    forced, end = bool(match[1]), match.end()
    pieces = _PIECES.match(body.bare, end)
    if pieces:
        head.fields |= {"amount": match[2], "unit": "x"}
        return body.cut(pieces.end())
    at = end + (body.bare[end : end + 1] == " ")
    stop = unit_end(body.bare, at)
    unit = " ".join(body.bare[at:stop].split())
    named = body.bare[stop:].split(maxsplit=1)
    left = unit in ("L", "l") and not forced and bool(named) and named[0].casefold() in POSITIONS  # "2 L front bolts"
    if stop > at and (forced or _sold(unit)) and not left and body.bare[stop : stop + 1] in ("", " ", ","):
        head.fields |= {"amount": match[2], "unit": unit}
        return body.cut(stop)
    if forced:
        head.fields["amount"] = match[2]
        return body.cut(end)
    if body.bare[end : end + 1] in ("", " "):
        text = f"How many pieces? Write {match[2]} x in front, or 1 x if {match[2]} belongs to the name."
        head.remarks.append(Remark(text, body.at + match.start(2), body.at + end))
    return body


def _sold(unit: str) -> bool:
    known = find(unit)
    return known is not None and (
        known.dimension in _SOLD_BY or known.dimension.startswith("pieces") or known.name in _SOLD_UNITS
    )


def _price(body: Body, head: Head) -> Body:
    at = body.bare.rfind("@")
    if at < 0 or len(body.bare) - at > _LONGEST_LOOK:
        return body
    match = _PRICE.match(body.bare, max(0, at - 1))
    if match is None:
        odd = _ODD_PRICE.match(body.bare, at)
        if odd:
            text = f"{odd[0].strip()} was not read as a price; write it like @ 21.40."
            head.remarks.append(Remark(text, body.at + at, body.at + odd.end()))
        return body
    unit, per = head.fields.get("unit", ""), match[2] or ""
    start, end = body.at + match.start(), body.at + len(body.bare)
    if per and not (unit and same(per, unit)) and not (unit in ("", "x") and per.lower() in ("x", "each", "ea", "pc")):
        text = f"The price is for one {per}, the amount is in {unit or 'pieces'}; it stays text."
        head.remarks.append(Remark(text, start, end))
        return body
    if not per and _by_measure(unit):
        head.remarks.append(Remark(f"Is this the price of one {unit}? It is taken so.", start, end))
    head.fields["price"] = money_in(match[1])
    return body.cut(0, match.start())


def _by_measure(unit: str) -> bool:
    known = find(unit)
    return known is not None and not known.dimension.startswith("pieces")


def _condition(body: Body, head: Head) -> Body:
    if "condition" in head.fields:
        return body
    at = body.bare.rfind(",")
    match = _CONDITION.match(body.bare, at) if at >= 0 and len(body.bare) - at < _LONGEST_LOOK else None
    condition = one_of(CONDITIONS, match[0][1:].strip()) if match else ""
    if not condition:
        return body
    head.fields["condition"] = condition
    return body.cut(0, at)


def _part(body: Body, head: Head) -> Body:
    """A part number in front: marked with ``#``, or of a shape no word has."""
    if body.bare.startswith("#" + BLANK):
        end = next((i for i, char in enumerate(body.bare[1:], 1) if char != BLANK), len(body.bare))
        head.fields["part"] = body.cut(1, end).text
        return body.cut(end)
    marked = body.bare.startswith("#")
    match = _TOKEN.match(body.bare, int(marked))
    if match is None or not (marked or is_part_number(match[0])):
        return body
    head.fields["part"] = match[0]
    return body.cut(match.end())


def is_part_number(token: str) -> bool:
    """A token that can only be a part number: digits with a dash, or many digits; no number, size or viscosity."""
    digits = sum(char in "0123456789" for char in token)
    shaped = ("-" in token and digits >= 2) or (len(token) >= 6 and digits >= 4)
    if not shaped or len(token) > _LONGEST_LOOK or "/" in token or not token.isascii():
        return False
    return not (is_number(token) or _VISCOSITY.fullmatch(token) or _SIZE.fullmatch(token))


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
        per = f"/{fact.unit}" if _by_measure(fact.unit) and "/" not in fact.unit else ""
        line += f" @ {money_in(fact.price)}{per}"
    return line
