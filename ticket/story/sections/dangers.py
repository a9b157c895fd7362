"""What the customer reads first: each danger as it was found or typed, the shop's judgement, and what was warned of."""

from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.values import Ref
from ticket.story.context import sources
from ticket.story.facts.answered import numbered
from ticket.story.facts.dangers_found import Danger, dangers, forbids, warned
from ticket.story.facts.feared import feared, no_driving, waits_for_part, work_and_wait
from ticket.story.sections.found import tell_findings
from ticket.story.sections.said import tell_warnings
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, SENTENCE, Phrase, capital


def tell_dangers(talk: Talk, writer: Writer) -> frozenset[int]:
    """Every danger that still holds, then the warnings of the talks; the entries that need not be told again."""
    held = dangers(talk.job)
    stops = any(danger.sentence == "danger.stop" for danger in held)
    warnings = list(warned(talk.job))
    first = [one for one in warnings if not stops and forbids(one[1].words)]
    for entry, fact in first:
        tell_warnings(talk, entry, fact, writer)
    for danger in held:
        if danger.findings:
            tell_findings(talk, list(danger.findings), writer)
            _risk(talk, danger.item, writer)
        else:
            _worded(talk, danger, writer)
        _asked(talk, danger, writer)
        if danger.sentence:
            writer.add(sources(*danger.cited), talk.say(_judged(danger), ban=talk.ban))
    for entry, fact in warnings:
        if (entry, fact) not in first:
            tell_warnings(talk, entry, fact, writer)
    told = [one for danger in held for one in danger.findings] + [entry for entry, _ in warnings]
    return frozenset(one.no for one in told)


def _judged(danger: Danger) -> str:
    """The judgement by its id; "must not wait" is not said of what has to wait for a part."""
    fact = danger.item.fact
    held_up = danger.sentence == "danger.now" and isinstance(fact, Later) and waits_for_part(fact)
    return "danger.urgent" if held_up else danger.sentence


def _text(item: Entry, field: str) -> str:
    """What was typed in a field, without what stands behind it and is no part of it."""
    text = str(getattr(item.fact, field, ""))
    if not isinstance(item.fact, Later):
        return text
    if field in ("risk", "because"):
        return str(getattr(feared(item.fact), field))
    return work_and_wait(text)[0] if field == "text" else text


def _asked(talk: Talk, danger: Danger, writer: Writer) -> None:
    """What is asked of whoever drives till it is done, beside the order that the judgement gives."""
    item, stops = danger.item, danger.sentence == "danger.stop"
    behind = feared(item.fact) if isinstance(item.fact, Later) else None
    own = talk.as_typed
    for field, text in behind.until if behind is not None else ():
        said = own.say("labelled", label=own.say("label.until"), text=own.note(item, field, text, field))
        writer.add(sources(item), said, form=NOTE, label=own.title("label.until"))
    for field, text in behind.please if behind is not None else ():
        if stops and no_driving(text):
            continue
        said = stop(own.say("later.please", text=own.typed(item, field, text, field)))
        writer.add(sources(item), said, form=SENTENCE if talk.english else NOTE)


def _risk(talk: Talk, item: Entry, writer: Writer) -> None:
    """What may happen meanwhile, beside the findings it is feared from."""
    text = _text(item, "risk")
    if text.strip():
        form = SENTENCE if _certain(talk, item, "risk") else NOTE
        writer.add(sources(item), _labelled(talk, item, "risk", text), form=form)


def _certain(talk: Talk, item: Entry, field: str) -> bool:
    """Whether what was typed there may be told in certain words."""
    text = _text(item, field)
    if not talk.english:
        return False
    if field == "text":
        return bool(talk.todo(item, field, text))
    return bool(talk.clauses(item, field, text, field) or talk.as_said(item, field, text, field))


def _labelled(talk: Talk, item: Entry, field: str, text: str) -> Phrase:
    own = talk.as_typed
    whole = own.as_said(item, field, text, field) if field != "text" and not own.leaves.clauses(text, field) else ()
    said = stop(capital(whole)) if whole else own.note(item, field, text, field)
    label = {"because": "why"}.get(field, field)
    return said if field == "text" else own.say("labelled", label=own.say(f"label.{label}"), text=said)


def _worded(talk: Talk, danger: Danger, writer: Writer) -> None:
    """The work that is not done; "2 rear tires. Risk: Can burst." where its own words name the danger, as typed."""
    entry = danger.item
    work = talk.todo(entry, "text", _text(entry, "text"))
    if work and not danger.fields:
        writer.add(sources(entry), stop(work), form=SENTENCE)
        return
    named = [_labelled(talk, one, "text", _text(one, "text")) for one in _named(talk, danger)]
    named += [_labelled(talk, entry, name, _text(entry, name)) for name in danger.fields if name != "text"]
    certain = all(_certain(talk, entry, name) for name in ("text", *danger.fields))
    writer.add(sources(entry), joined(named, " "), form=SENTENCE if certain else NOTE)


def _named(talk: Talk, danger: Danger) -> list[Entry]:
    """The entries that name the work: the item, or the offers of one that says no more than their numbers."""
    fact = danger.item.fact
    if not (isinstance(fact, Later) and numbered(fact)):
        return [danger.item]
    offers = [talk.job.entry(ref) for ref in danger.cited if isinstance(ref, Ref)]
    return [one for one in offers if one is not None]
