"""Names and numbers of customers where they can hardly be forgotten: in a finding, a cause, a line of work."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.job.case import Case
from ticket.job.kinds import Told
from ticket.job.phone_numbers import phone_numbers
from ticket.job.text import fold
from ticket.readings.measured_groups import words_of


def customer_in_text(case: Case) -> Iterator[Gap]:
    """A telephone number, or the customer's whole name, belongs to the header or a contact: there it can be erased.

    Said with ``docs/trust.md``, Forgetting; GDPR article 5(1)(c) asks for as little as is needed (from memory).
    """
    name = fold(case.ticket.header.customer.name)
    for entry in case.ticket.living:
        if isinstance(entry.fact, Told):
            continue
        text = words_of(entry.fact)
        what = "a telephone number" if phone_numbers(text) else ""
        if not what and " " in name and f" {name} " in f" {fold(text)} ":
            what = "the customer's name"
        if what:
            question = (
                f"Entry {entry.no} holds {what}: names and numbers belong in told: or the vehicle page. Retype it?"
            )
            yield Gap("customer-in-text", ADVICE, question, entry.no)


RULES: tuple[Rule, ...] = (customer_in_text,)
