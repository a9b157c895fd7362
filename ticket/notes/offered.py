"""Proposed work: its hours and its estimate where the words name them."""

from ticket.notes.asking import place, unread, without
from ticket.notes.heads import Head
from ticket.notes.hours import amounts, as_hours, standing
from ticket.notes.shapes import Context, is_number
from ticket.notes.spans import Body
from ticket.notes.sums import loose_sums, sums
from ticket.notes.tokens import has_decimal_comma, tokens_of


def read_offer(body: Body, _context: Context) -> Head:
    """``replace front pads 1.5 hrs, est 400``: what is named is taken out of the words."""
    if not any(char.isdecimal() for char in body.bare):
        return Head({"text": body.text})
    tokens = tokens_of(body.bare)
    head = Head()
    taken: set[int] = set()
    asked: set[int] = set()
    found = amounts(tokens)
    plain = [amount for amount in found if amount.whole and standing(tokens, amount) in ("plain", "labour")]
    if len(plain) == 1 and not plain[0].doubt:
        hours = plain[0].typed
        head.fields["hours"] = hours if is_number(hours) else as_hours(plain[0].hours)
        taken.update(range(plain[0].first, plain[0].behind))
    for amount in found:
        if amount.whole and amount.first not in taken and standing(tokens, amount) != "runs":
            where = place(tokens, amount.first, amount.behind)
            text = f"Are {body.raw[slice(*where)]} the hours of this work? Write hours {as_hours(amount.hours)}."
            head.remarks.append(unread(body, where, text, blocks=True))
            asked.update(range(amount.first, amount.behind))
    for item in sums(tokens, 0, taken | asked):
        doubtful = any(has_decimal_comma(token) for token in tokens[item.first : item.behind])
        if item.role in ("estimate", "total") and "estimate" not in head.fields and not doubtful:
            head.fields["estimate"] = item.amount
            taken.update(range(item.first, item.behind))
    for at, sum_of_all in loose_sums(tokens, 0, taken | asked):
        text = f"Is {tokens[at].text} the whole price? Write est {sum_of_all}."
        head.remarks.append(unread(body, place(tokens, at, at + 1), text, f"est {sum_of_all}", blocks=True))
    head.fields["text"] = without(body, (place(tokens, at, at + 1) for at in sorted(taken))).text
    return head
