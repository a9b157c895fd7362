"""Phrases that are met again and again: read from the index over all tickets, for the question about them."""

from dataclasses import replace
from typing import TYPE_CHECKING

from ticket.job.case import Case, Met
from ticket.job.values import Ref
from ticket.language.fields import pieces_of

if TYPE_CHECKING:
    from ticket.store.store import Store

TIMES = 3


def with_met(store: "Store", case: Case) -> Case:
    """The case of an open ticket with those of its phrases that stand on three entries or more."""
    if case.ticket.status == "signed":
        return case
    held = {entry.no: pieces_of(entry.fact) for entry in case.ticket.living}
    found = store.met([piece for pieces in held.values() for piece in pieces], TIMES)
    met = tuple(
        Met(no, piece.partition(": ")[2], tuple(_ref(case, *one) for one in found[piece]))
        for no, pieces in held.items()
        for piece in pieces
        if piece in found
    )
    return replace(case, met=met) if met else case


def _ref(case: Case, number: int, no: int) -> Ref:
    return Ref(no, 0 if number == case.ticket.number else number)
