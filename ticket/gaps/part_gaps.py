"""Questions about parts and fluids: number, quantity, kind and source (CA B&P 9884.8, 16 CCR 3356(c) and 3358)."""

import re
from collections.abc import Iterator
from fractions import Fraction

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.named_in_work import counted, head
from ticket.gaps.ticket_lookup import all_text, claimed, each, serviced, small, with_it
from ticket.job.case import Case
from ticket.job.kinds import Cause, Code, Did, Found, Later, Says, Used
from ticket.job.likeness import content_words
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings.limit_bounds import as_limits
from ticket.readings.measured_groups import Group, groups, words_of
from ticket.readings.units import convert, find

_SUBLET_BILL = Regex(r"\b(?:bill|invoice|inv|receipt)\b|\bno\.? ?[0-9]", re.I)
_TAG = Regex(r"\b(?:tag(?:ged)?|hold|held|kept|keep|returned|sent back|shelf|core)\b")
_ONCE = Regex(r"\b(?:single-use|one-time|once-only|use once|stretch bolts?|torque-to-yield|tty)\b")
_FASTENER = Regex(r"\b(?:bolts?|nuts?|screws?|studs?|fasteners?|fixing kit|hardware)\b")
_CHANGE = Regex(
    r"\b(?:chang\w+|drain(?:ed|ing)?(?: and refill\w*)?|refill\w*|flush\w*) (?:the |all |engine |brake |gear |power |"
    r"fan-drive |steering |hydraulic )*(oil|coolant|fluid)\b(?! filter| pan| plug| level| cap| hose| cooler)"
)


def sublet(part: Used) -> bool:
    """Work bought outside."""
    return part.condition == "sublet" or part.text.lower().startswith("sublet")


def part_incomplete(case: Case) -> Iterator[Gap]:
    """A part line has quantity and kind, and for a payer its number (auditor's list, row 8; 16 CCR 3356(c))."""
    payer = claimed(case)
    for entry, part in each(case, Used):
        if small(part) or sublet(part):
            continue
        lacking = [
            name
            for name, there in (
                ("how many", part.amount),
                ("whether it is new, used or rebuilt", part.condition),
                ("its part number", part.part or not payer or part.condition == "customer's own"),
            )
            if not there
        ]
        if lacking:
            yield Gap("part-incomplete", ADVICE, f"The part line does not say {' and '.join(lacking)}.", entry.no)


def sublet_bill(case: Case) -> Iterator[Gap]:
    """Work bought outside names the bill it came with (auditor's list, row 14; 16 CCR 3358(a))."""
    for entry, part in each(case, Used):
        if sublet(part) and not part.part and not _SUBLET_BILL.search(f"{part.text} {all_text(case)}"):
            yield Gap("sublet-bill", ADVICE, "Is the other shop's bill attached? Add its number.", entry.no)


def hold_tag_missing(case: Case) -> Iterator[Gap]:
    """A part that a payer pays is kept with a tag for the payer's hold period (auditor's list, row 12)."""
    if _TAG.search(all_text(case)):
        return
    for entry, part in each(case, Used):
        if part.pays in ("warranty", "contract") and not small(part) and not sublet(part) and not part.core:
            question = "Where is the old part kept for the payer? Add: note: old part kept, tag ..."
            yield Gap("hold-tag-missing", ADVICE, question, entry.no)
            return


def count_differs(case: Case) -> Iterator[Gap]:
    """As many pieces were fitted as are billed (W17)."""
    for entry, fact in each(case, Did):
        for count, thing in counted(fact.text):
            lines = [
                part
                for _, part in each(case, Used)
                if head(part.text) == head(thing) and content_words(thing) <= content_words(part.text)
            ]
            amounts = [exact(part.amount) if part.unit in ("", "x") else None for part in lines]
            if lines and None not in amounts and sum(amount or 0 for amount in amounts) != count:
                billed = " + ".join(part.amount for part in lines)
                question = f"The work says {count}, the part lines say {billed}. How many were fitted?"
                yield Gap("count-differs", BLOCKING, question, entry.no)


def refill_above_limit(case: Case) -> Iterator[Gap]:
    """No more fluid goes in than the limits of its filling allow (W17)."""
    for entry, part in each(case, Used):
        amount, unit = exact(part.amount), find(part.unit)
        if amount is None or unit is None or unit.dimension not in ("volume", "mass"):
            continue
        for other, fact in each(case, Found):
            for group in groups(fact):
                allowed = _below(group, part, amount)
                if allowed:
                    question = f"{part.amount} {part.unit} went in, entry {other.no} allows {allowed}."
                    yield Gap("refill-above-limit", BLOCKING, f"{question} Which is right?", entry.no)


def _below(group: Group, part: Used, amount: Fraction) -> str:
    """The most of a fluid that a reading's limits allow, where more of it went in."""
    words, bracket = content_words(part.text), as_limits(group.run.limits, group.run.unit)
    if not words or not words <= content_words(group.what) or bracket.high is None:
        return ""
    most = convert(bracket.high, group.run.unit, part.unit)
    return f"{bracket.high_text} {bracket.unit or group.run.unit}" if most is not None and amount > most else ""


def drained_not_refilled(case: Case) -> Iterator[Gap]:
    """A fluid that was changed or drained has its line: what went in, and how much (W18)."""
    fluids = " ".join(fold(part.text) for _, part in each(case, Used))
    for entry, fact in each(case, Did):
        match = _CHANGE.search(fact.text.lower())
        if match and match[1] not in fluids and not ("fluid" in fluids or "oil" in fluids or "coolant" in fluids):
            question = f"Which {match[1]} went in, and how much? Add: used: 4.6 qt NUMBER {match[1]}"
            yield Gap("drained-not-refilled", BLOCKING, question, entry.no)


def single_use_kept(case: Case) -> Iterator[Gap]:
    """Fasteners that may be used once only are on the parts list (W18)."""
    renewed = any(_FASTENER.search(part.text.lower()) for _, part in each(case, Used))
    for entry in case.ticket.living:
        if not renewed and _ONCE.search(words_of(entry.fact).lower()) and not isinstance(entry.fact, Used):
            question = "Fasteners that may be used only once are named here. Which new ones were fitted?"
            yield Gap("single-use-kept", BLOCKING, question, entry.no)
            return


def line_twice(case: Case) -> Iterator[Gap]:
    """The same line does not stand twice (W22)."""
    seen: dict[object, int] = {}
    for kind in (Did, Used):
        for entry, fact in each(case, kind):
            if isinstance(fact, Used) and not fact.part:
                continue
            key = (entry.concern, fact)
            if key in seen:
                question = f"This is the same line as entry {seen[key]}. Was it done or fitted twice?"
                yield Gap("line-twice", ADVICE, question, entry.no)
            seen.setdefault(key, entry.no)


def parts_without_fault(case: Case) -> Iterator[Gap]:
    """No part is billed where no fault could be found (auditor's list, row 16)."""
    for entry, part in each(case, Used):
        mine = with_it(case, entry)
        unseen = any(isinstance(other.fact, Says) and other.fact.reproduced == "not reproduced" for other in mine)
        reason = any(
            isinstance(other.fact, Cause | Later) or (isinstance(other.fact, Code) and other.fact.code != "none")
            for other in mine
        )
        if unseen and not reason and part.pays != "shop" and not small(part) and not serviced(case, entry):
            question = "No fault was found. Why was this part fitted, and who pays for it?"
            yield Gap("parts-without-fault", BLOCKING, question, entry.no)


RULES: tuple[Rule, ...] = (
    part_incomplete,
    sublet_bill,
    hold_tag_missing,
    count_differs,
    refill_above_limit,
    drained_not_refilled,
    single_use_kept,
    line_twice,
    parts_without_fault,
)
