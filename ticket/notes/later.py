"""Deferred work: what waits, and when it falls due where the words say so."""

from ticket.job.values import Due
from ticket.notes.asking import place, unread, without
from ticket.notes.due import find_due
from ticket.notes.heads import Head
from ticket.notes.phrases import phrase_at
from ticket.notes.shapes import Context, money_in
from ticket.notes.spans import Body
from ticket.notes.sums import figure_of
from ticket.notes.tokens import tokens_of


def read_later(body: Body, _context: Context) -> Head:
    """``recheck tie rod in 3 mos or 3k mi``: the due is taken out of the words."""
    tokens = tokens_of(body.bare)
    if not any(char.isdigit() for char in body.bare) and not any(
        token.low
        in (
            "next",
            "before",
            "by",
            "till",
            "til",
            "until",
            "after",
            "at",
            "in",
            "this",
            "with",
            "a",
            "tomorrow",
            "two",
            "three",
            "six",
            "coming",
        )
        for token in tokens
    ):
        return Head({"text": body.text})
    found = find_due(body, tokens)
    head = Head(remarks=list(found.remarks))
    if found.due != Due():
        head.fields["due"] = found.due
    if found.date:
        head.fields["date"] = found.date
    taken = set(found.taken)
    for at in range(len(tokens)):
        lead = phrase_at("price lead", tokens, at)
        if lead and lead[1] < len(tokens) and at not in taken and "estimate" not in head.fields:
            figure = lead[1] + (tokens[lead[1]].low in (":", "of", "at", "="))
            amount = figure_of(tokens, figure) if figure < len(tokens) and figure not in taken else ""
            if amount and (tokens[figure].kind == "money" or lead[0] == "estimate"):
                head.fields["estimate"] = amount
                taken.update(range(at, figure + 1))
    for at, token in enumerate(tokens):
        if token.kind == "money" and at not in taken:
            where = place(tokens, at, at + 1)
            text = f"Is {token.text} the estimate? Write est {money_in(token.text) or '400'}."
            head.remarks.append(unread(body, where, text, f"est {money_in(token.text)}", blocks=True))
    head.fields["text"] = without(body, (place(tokens, at, at + 1) for at in sorted(taken))).text
    return head
