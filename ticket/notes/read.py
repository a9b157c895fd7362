"""Reading the notation: any text gives drafts, and where something is unclear a remark with its place."""

import dataclasses
from collections.abc import Callable, Sequence
from typing import Any

from ticket.job.entry import Draft, Remark
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import KINDS, Found
from ticket.job.regex import Regex
from ticket.job.text import clean
from ticket.job.values import Due
from ticket.notes.bare_lead import bare_lead
from ticket.notes.bought import read_used
from ticket.notes.code import read_code
from ticket.notes.days import no_day
from ticket.notes.found import holds_limited_reading, read_found, read_proof, read_ruled
from ticket.notes.heads import Head
from ticket.notes.kind_asked import ASKED, as_kind, asked_kind, entry_again
from ticket.notes.labour import read_did
from ticket.notes.later import read_later
from ticket.notes.lead import Lead, lead_of, near_word, without_lead
from ticket.notes.offered import read_offer
from ticket.notes.plain_kind import Plain, plain_kind
from ticket.notes.segments import cut
from ticket.notes.shapes import SIGNED_START, Context
from ticket.notes.spans import Body
from ticket.notes.told import read_told

LONGEST = 65536
"""Longest line, in characters, whose structure is read; a longer one is kept as text."""

_LONGEST_ASKED = 400
_LOST = Regex("[\0\ud800-\udfff]")
_HOURS_FIRST = Regex(r"\s*[0-9][0-9.,/ ]{0,20}\s?(?:h|hr|hrs|hours?)(?=[\s,;]|\Z)")
_NOW_FIRST = Regex(r"\s*(?:[0-9]{1,9}/)?[0-9]{1,9}\s+now\b")
_HEADS: dict[str, Callable[[Body, Context], Head | list[Head]]] = {
    "code": read_code, "found": read_found, "did": read_did, "used": read_used, "told": read_told,
    "proof": read_proof, "later": read_later, "ruled": read_ruled,
    "offer": read_offer,
}  # fmt: skip


def read(text: str, people: Sequence[str] = (), rates: Sequence[str] = (), *, live: bool = False) -> tuple[Draft, ...]:
    """The facts a typed line or a pasted block states.

    Args:
        text: any text; a line is one fact, several codes on one line are several, blank lines are none.
        people: names of the people of the shop, for ``by``.
        rates: labour rate classes of the shop, for ``rate``.
        live: the text is still being typed: a bracket or quote mark that is open at its end is no mistake yet.

    Returns:
        The drafts in order. Positions of remarks count in ``Draft.line``.
    """
    typed = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    strict = Context(tuple(people), tuple(rates))
    drafts: list[Draft] = []
    for number, line in enumerate(typed):
        context = Context(strict.people, strict.rates, live=True) if live and number == len(typed) - 1 else strict
        if line.strip():
            drafts.extend(read_line(clean(line), context, _lost(line)))
    return tuple(drafts)


def _lost(line: str) -> tuple[Remark, ...]:
    match = _LOST.search(line)
    return (Remark("A character that cannot be kept was replaced.", match.start(), match.end()),) if match else ()


def read_line(line: str, context: Context, remarks: tuple[Remark, ...] = ()) -> tuple[Draft, ...]:
    """The drafts of one cleaned line that is not blank."""
    lead = lead_of(line)
    if not lead.kind:
        lead = bare_lead(line) or lead
    if len(line) > LONGEST:
        return (_uncut(line, lead, remarks),)
    body = Body.of(line[lead.end :], lead.end)
    found: list[Remark] = []
    if lead.short and _is_reading(lead, body):
        text = f"If {lead.word}: is meant as a word of the notation, write {lead.kind}: in full."
        found.append(Remark(text, lead.start, lead.end))
        lead = without_lead(lead)
        body = Body.of(line[lead.end :], lead.end)
        return _drafts("found", lead, body, context, line, [*remarks, *found])
    if lead.twice:
        text = f"Two words of the notation stand here; {lead.kind}: was taken. Write one of them."
        found.append(Remark(text, lead.start, lead.end, "question", answers=(f"{lead.kind}:", f"{lead.twice}:")))
    if not lead.kind:
        found.extend(_near(line))
    if lead.kind:
        return _drafts(lead.kind, lead, body, context, line, [*remarks, *found])
    plain = Plain("note") if lead.shop_only else Plain("found") if found else plain_kind(body)
    asked = _asked(body) if plain.kind == "found" and not found else ()
    drafts = _drafts(plain.kind, lead, body.cut(plain.start), context, line, [*remarks, *found, *asked])
    return tuple(_unmeasured(draft, body) for draft in drafts) if asked else drafts


_PROSE = tuple(ASKED[kind] for kind in ("told", "used", "offer", "later"))


def _unmeasured(draft: Draft, body: Body) -> Draft:
    """While a line may be a sale or a talk its figures are no readings; of other lines those with a unit are."""
    fact = draft.fact
    if not isinstance(fact, Found) or not fact.measurements:
        return draft
    prose = any(remark.text in _PROSE for remark in draft.remarks)
    if any(remark.text == ASKED["proof"] for remark in draft.remarks):
        again = entry_again(body.bare)
        return dataclasses.replace(draft, fact=Found(what=body.strip().raw), roles=()) if again else draft  # read alike
    if not prose and all(one.unit for one in fact.measurements):
        return draft
    return dataclasses.replace(draft, fact=Found(what=body.strip().raw))


def _drafts(kind: str, lead: Lead, body: Body, context: Context, line: str, remarks: list[Remark]) -> tuple[Draft, ...]:
    done = cut(kind, body, context)
    reader = None if kind == "ruled" and "reason" in done.fields else _HEADS.get(kind)
    heads = reader(done.head, context) if reader else Head({_first(kind).name: done.head.text})
    heads = heads if isinstance(heads, list) else [heads]
    for head in heads:
        head.remarks = [done.placed(remark) for remark in head.remarks]
        _join_due(head.fields, done.fields)
    if any(head.fields.keys() & done.fields.keys() for head in heads):
        remarks.append(Remark("Something is given twice here; what stands behind the semicolon counts.", 0, len(line)))
    if not context.live:
        remarked = [*done.remarks, *(remark for head in heads for remark in head.remarks)]
        asked = {remark.start for remark in remarked}
        remarks += [*_open_ends(kind, lead, body), *(one for one in no_day(kind, body) if one.start not in asked)]
    return tuple(
        Draft(
            KINDS[kind](**(head.fields | done.fields)),
            lead.concern,
            lead.shop_only,
            tuple(sorted({*remarks, *done.remarks, *head.remarks}, key=lambda remark: (remark.start, remark.end))),
            line,
            head.spoken,
            head.roles,
        )
        for head in heads
    )


def _first(kind: str) -> FieldSpec:
    """The field that holds the start of a line of a kind without a reader of its own."""
    return next(spec for spec in specs(KINDS[kind]) if spec.place == "head")


def _join_due(head: dict[str, Any], fields: dict[str, Any]) -> None:
    """One due of the words and of the fields, where they name different things: ``next PM; in 2 weeks``."""
    one, other = head.get("due"), fields.get("due")
    if not isinstance(one, Due) or not isinstance(other, Due):
        return
    slots = {item.name: getattr(one, item.name) for item in dataclasses.fields(Due) if getattr(one, item.name)}
    if not any(getattr(other, name) for name in slots):
        fields["due"] = dataclasses.replace(other, **slots)
        del head["due"]


def _open_ends(kind: str, lead: Lead, body: Body) -> list[Remark]:
    if not body.raw.strip():
        return [Remark(f"Nothing stands behind {lead.word or kind}: yet.", lead.start, lead.end)]
    at = body.unclosed
    return [Remark("This quote mark is not closed.", at, body.at + len(body.raw))] if at >= 0 else []


def _is_reading(lead: Lead, body: Body) -> bool:
    """A short lead in front of a figure is a position or a sign, as in ``l: 4 mm`` for the left side."""
    if SIGNED_START.match(body.bare):
        if lead.kind == "did":
            return _HOURS_FIRST.match(body.bare) is None
        if lead.kind == "proof":
            return _NOW_FIRST.match(body.bare) is None
        return not (lead.kind == "used" and "amount" in read_used(body, Context()).fields)
    return lead.kind not in ("found", "proof") and holds_limited_reading(body)


def _asked(body: Body) -> tuple[Remark, ...]:
    """The question what a line is meant as, where it is likely no finding; its answer puts the word in front."""
    kind = asked_kind(body.bare) if len(body.bare) <= _LONGEST_ASKED else ""
    if not kind:
        return ()
    whole = body.strip()  # the kind decides what each piece of the line means, so the question stands under all of it
    answer = as_kind(kind, whole.raw)
    return (Remark(ASKED[kind], whole.at, whole.at + len(whole.raw), "question", answers=(answer,)),)


def kind_remark(line: str) -> Remark | None:
    """The question which kind a line without a word is meant as, where it is asked; nothing else of it is read."""
    lead = lead_of(line)
    if lead.kind or lead.shop_only or bare_lead(line):
        return None
    body = Body.of(line[lead.end :], lead.end)
    asked = _asked(body)
    return asked[0] if asked and plain_kind(body).kind == "found" else None


def _near(line: str) -> tuple[Remark, ...]:
    near = near_word(line)
    if near is None:
        return ()
    typed, meant, start, end = near
    return (Remark(f"{typed}: is no word of the notation, so this is a finding. Is {meant}: meant?", start, end),)


def _uncut(line: str, lead: Lead, remarks: tuple[Remark, ...]) -> Draft:
    """A line too long to be looked into: all of it is the text of its kind."""
    kind = lead.kind or ("note" if lead.shop_only else "found")
    own = specs(KINDS[kind])
    texts = (spec.name for spec in own if spec.name in ("text", "what", "words") and spec.place == "head")
    place = next(texts, own[0].name)
    fields: dict[str, Any] = {spec.name: "" for spec in own if spec.required}
    fields[place] = line[lead.end :].strip()
    remark = Remark(f"This line is longer than {LONGEST:,} characters; it was kept as text.", LONGEST, len(line))
    return Draft(KINDS[kind](**fields), lead.concern, lead.shop_only, (*remarks, remark), line)
