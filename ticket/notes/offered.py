"""Proposed work: its hours and its estimate where the words name them."""

from ticket.notes.asking import place, unread, without
from ticket.notes.heads import Head
from ticket.notes.hours import amounts, as_hours, standing
from ticket.notes.phrases import phrase_at
from ticket.notes.shapes import Context, is_number
from ticket.notes.spans import Body
from ticket.notes.sums import figure_of
from ticket.notes.tokens import has_decimal_comma, tokens_of


def read_offer(body: Body, _context: Context) -> Head:
    """``replace front pads 1.5 hrs, est 400``: what is named is taken out of the words."""
    if not any(char.isdigit() for char in body.bare):
        return Head({"text": body.text})
    tokens = tokens_of(body.bare)
    head = Head()
    taken: set[int] = set()
    found = [amount for amount in amounts(tokens) if amount.whole and standing(tokens, amount) in ("plain", "labour")]
    if len(found) == 1 and not found[0].doubt:
        hours = found[0].typed
        head.fields["hours"] = hours if is_number(hours) else as_hours(found[0].hours)
        taken.update(range(found[0].first, found[0].behind))
    for at in range(len(tokens)):
        lead = phrase_at("price lead", tokens, at)
        lead = lead if lead and lead[0] == "estimate" else phrase_at("total", tokens, at)
        figure = lead[1] if lead else 0
        while figure and figure < len(tokens) and tokens[figure].low in (":", "of", "at", "="):
            figure += 1
        doubtful = not figure or figure >= len(tokens) or has_decimal_comma(tokens[figure])
        amount = "" if doubtful else figure_of(tokens, figure)
        if amount and "estimate" not in head.fields:
            head.fields["estimate"] = amount
            taken.update(range(at, figure + 1))
    for at, token in enumerate(tokens):
        if token.kind == "money" and at not in taken:
            text = f"Is {token.text} the whole price? Write est {figure_of(tokens, at)}."
            head.remarks.append(
                unread(body, place(tokens, at, at + 1), text, f"est {figure_of(tokens, at)}", blocks=True)
            )
    head.fields["text"] = without(body, (place(tokens, at, at + 1) for at in sorted(taken))).text
    return head
