"""What an auditor of a warranty or contract looks for besides; quiet while the customer pays."""

import re
from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.gaps.ticket_lookup import all_text, bad_values, claimed, each
from ticket.job.case import Case
from ticket.job.kinds import Cause, Did, Found, Told
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import Person
from ticket.readings.measured_groups import words_of

_TOOL = Regex(
    r"\b(?:gauge|meter|multimeter|micrometer|calipers?|vernier|scope|scan tool|tester|thermometer|infrared|dial|probe|"
    r"tool|rig|bench|test hose|torque wrench|feeler)\b"
)
_NUMBER = Regex(r"\b(?:approv\w*|authori[sz]\w*|claim|order|reference|ref|case)\b.{0,20}?[0-9]{3,}", re.I | re.S)


def tool_not_named(case: Case) -> Iterator[Gap]:
    """The readings a cause rests on name the tool that took them (auditor's list, row 5)."""
    if not claimed(case) or _TOOL.search(all_text(case)):
        return
    for _, cause in each(case, Cause):
        for ref in cause.refs:
            entry = None if ref.ticket else case.ticket.entry(ref.no)
            if entry is not None and isinstance(entry.fact, Found) and bad_values(case.ticket, entry):
                question = "Which tool took this reading? Name it with its number, once for all."
                yield Gap("tool-not-named", ADVICE, question, entry.no)
                return


def _lacking(case: Case, yes: Told) -> list[str]:
    """What a payer's yes does not say."""
    header = case.ticket.header
    numbered = header.warranty.approval or header.contract.approval or _NUMBER.search(all_text(case))
    parts = (("who", yes.who), ("when", yes.at), ("the sum", yes.total or yes.ceiling), ("its number", numbered))
    return [name for name, there in parts if not there]


def approval_incomplete(case: Case) -> Iterator[Gap]:
    """A payer's yes has its number, who gave it, when, and for what sum (auditor's list, row 15; 16 CCR 3353)."""
    if not claimed(case):
        return
    customer = fold(case.ticket.header.customer.name)
    given = [
        (entry, fact)
        for entry, fact in each(case, Told)
        if any(answer.answer == "yes" for answer in fact.answers) and (fold(fact.who) != customer or _sole(case, fact))
    ]
    if not given:
        first = next((entry.no for entry, _ in each(case, Did)), None)
        question = "Who of the payer agreed, when, and to what sum? Add: told: NAME by phone, yes; total ...; at ..."
        yield Gap("approval-incomplete", ADVICE, question, first)
        return
    entry, fact = given[-1]
    if lacking := _lacking(case, fact):
        question = f"The payer's approval lacks {', '.join(lacking)}. Add it, or: note: approval 0000"
        yield Gap("approval-incomplete", ADVICE, question, entry.no)


def _sole(case: Case, fact: Told) -> bool:
    """Whether the customer is the payer too: nobody else was asked."""
    return all(fold(other.who) == fold(fact.who) for _, other in each(case, Told))


def odometer_out_missing(case: Case) -> Iterator[Gap]:
    """A payer is told the odometer at return as well as at arrival (201 CMR 11.17; auditor's list, row 9)."""
    if claimed(case) and case.ticket.status in ("ready", "signed") and case.ticket.header.odometer_out is None:
        yield Gap("odometer-out-missing", ADVICE, "What did the odometer read when the vehicle left?")


def who_did_it(case: Case) -> Iterator[Gap]:
    """Work and findings name a technician (MI 257.1334(g), WI ATCP 132.08; auditor's list, row 7)."""
    staff = {fold(person.name): person for person in case.people}
    mechanics = {name for name, person in staff.items() if person.repairs}
    audited = claimed(case)
    for entry in case.ticket.living:
        if isinstance(entry.fact, Did):
            name = fold(entry.fact.by or entry.person)
            if name in staff and name not in mechanics:
                yield Gap("who-did-it", ADVICE, "Which technician did this work? Add: by NAME", entry.no)
        elif isinstance(entry.fact, Found) and audited and _writes(staff.get(fold(entry.person))):
            if not any(name in fold(words_of(entry.fact)) for name in mechanics):
                yield Gap("who-did-it", ADVICE, "Which technician found this? Name them in the line.", entry.no)


def _writes(person: Person | None) -> bool:
    return person is not None and person.role == "writer"


RULES: tuple[Rule, ...] = (
    tool_not_named,
    approval_incomplete,
    odometer_out_missing,
    who_did_it,
)
