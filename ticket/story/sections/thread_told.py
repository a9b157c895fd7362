"""What waits through several visits, as it is read: on which days it was seen, what a second look says, when next."""

from collections.abc import Iterator
from dataclasses import replace

from ticket.followups.recheck import FELL, ROSE, STAYED, Again, Recheck
from ticket.followups.thread import Look
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.values import Due, Ref
from ticket.readings.wear import REACHED, TOO_SMALL, WEARS
from ticket.story.context import sources, told
from ticket.story.facts.threads_seen import SeenAgain, looked_again, seen_threads, still_waiting
from ticket.story.sections.ahead import ahead
from ticket.story.sections.measured import noun, taken
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.waiting import spans_phrase
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Phrase

_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}
_SEVERAL = 2  # earlier visits from which it is said on which days it was seen


def tell_seen_again(talk: Talk, seen: SeenAgain, writer: Writer) -> None:
    """Of a thread that was looked at today: on which days it was seen, and what its readings say."""
    if seen.look is None or seen.answer is None:
        return
    if len(seen.visits) >= _SEVERAL:
        _tell_days(talk, seen, writer, talk.say("thread.seen", days=_days(talk, seen)))
    _tell_recheck(talk, seen, writer)


def tell_threads(talk: Talk, writer: Writer) -> None:
    """The same of each thread for the payer and the next technician, named by the work."""
    for seen in seen_threads(talk.job):
        if seen.look is None or seen.answer is None:
            continue
        work = talk.work_or_typed(seen.thread.ref, "text", seen.begun.text) or talk.say("line.thread.some")
        _tell_days(talk, seen, writer, talk.say("line.thread", thing=work, days=_days(talk, seen)))
        _tell_recheck(talk, seen, writer)


def _tell_days(talk: Talk, seen: SeenAgain, writer: Writer, said: Phrase) -> None:
    cited = tuple(look.ref for look in seen.visits)
    writer.add((*cited, *(sources(seen.answer) if seen.answer else ())), stop(said))


def _days(talk: Talk, seen: SeenAgain) -> Phrase:
    days = [talk.date(look.ref, "at", look.day) for look in seen.visits]
    return talk.listed([*days, talk.say("thread.today")])


def _tell_recheck(talk: Talk, seen: SeenAgain, writer: Writer) -> None:
    found = looked_again(talk.job, seen)
    if found is None:
        return
    for one in found.again:
        _tell_rate(talk, one, found, writer)
    levels = [one for one in found.again if one.is_level]
    cited, several = _cited(talk, *levels), len(levels) > 1
    if found.giver is not None:
        writer.add(cited, talk.say("thread.crosses"))
    elif any(one.moved == FELL for one in levels):
        writer.add(cited, talk.say("thread.falls.several" if several else "thread.falls"))
    elif levels and all(one.moved == STAYED for one in levels):
        writer.add(cited, talk.say("thread.stays.several" if several else "thread.stays"))


def _tell_rate(talk: Talk, one: Again, found: Recheck, writer: Writer) -> None:
    """How much it went up or down over which distance, and how far its limit is; nothing without a distance.

    Of several readings each is told by its name; one without a certain name is left to where it was measured.
    """
    trend = one.trend
    thing = _thing(talk, one) or (talk.say("thread.it") if len(found.again) == 1 else ())
    if trend is None or not thing or trend.wear.state not in (WEARS, TOO_SMALL, REACHED):
        return
    cited = _cited(talk, one)
    ref = cited[0]
    way: Phrase = (told(ref, "what", talk.leaves.measure(_whole(trend.distance), trend.distance_unit), "forecast"),)
    if one.moved == STAYED or trend.wear.state == TOO_SMALL:
        writer.add(cited, stop(talk.say("thread.too.small", thing=thing, way=way)))
        return
    by: Phrase = (told(ref, "what", talk.leaves.measure(f"{abs(float(one.by)):g}", one.now.typed.unit), "forecast"),)
    writer.add(cited, stop(talk.say("thread.up" if one.moved == ROSE else "thread.down", thing=thing, by=by, way=way)))
    if trend.wear.left is not None and trend.wear.state == WEARS and trend.wear.earliest is not None:
        ends = (trend.wear.earliest, trend.wear.latest or 0.0)
        low, high = (talk.leaves.measure(_whole(end), trend.distance_unit) for end in ends)
        first: Phrase = (told(ref, "what", low, "forecast"),)
        last: Phrase = (told(ref, "what", high, "forecast"),)
        writer.add(cited, stop(talk.say("thread.limit", first=first, last=last)))


def _thing(talk: Talk, one: Again) -> Phrase:
    """The name of what was measured, where it is a certain one."""
    entry = talk.job.ticket.entry(one.now.ref.no)
    for reading in taken(talk, entry) if entry else ():
        same = (reading.name or reading.what, reading.label) == (one.now.what, one.now.label)
        named = talk.leaves.name(reading) if same else None
        if named is not None:
            return noun(talk, reading, named)
    return ()


def _whole(distance: object) -> str:
    return f"{float(distance):,.0f}"  # type: ignore[arg-type]


def _cited(talk: Talk, *found: Again) -> tuple[Ref, ...]:
    """The entries behind some readings, those of this ticket by their number alone."""
    refs = (ref for one in found for ref in (one.now.ref, one.before.ref))
    return tuple(dict.fromkeys(_here(talk, ref) for ref in refs))


def _here(talk: Talk, ref: Ref) -> Ref:
    return Ref(ref.no) if ref.ticket == talk.job.ticket.number else ref


def tell_still_waiting(talk: Talk, writer: Writer) -> tuple[int, ...]:
    """What was looked at and still waits in the words of the earlier visit, item by item; where each begins."""
    starts = []
    for seen in still_waiting(talk.job):
        starts.append(len(writer.sentences))
        _tell_item(talk, seen, writer)
    return tuple(starts)


def _tell_item(talk: Talk, seen: SeenAgain, writer: Writer) -> None:
    fact, begun, answer = seen.thread.fact, seen.thread.ref, seen.answer
    if answer is None:
        return
    cited = (begun, *sources(answer))
    work = talk.work_or_typed(begun, "text", seen.begun.text)
    if not work:
        writer.add(cited, talk.note(begun, "text", seen.begun.text, "remedy"), form=NOTE)
    else:
        judged = _JUDGED.get(fact.judgement, "")
        writer.add(cited, stop(talk.say(f"later.title.{judged}" if judged else "later.title", work=work)))
    held = list(_due(talk, seen))
    due = spans_phrase(talk, held)
    if due:
        anew = any(ref == Ref(answer.no) for ref, _ in held)
        said = talk.say("thread.anew" if anew else "thread.again", due=due)
        said = ahead(talk, begun, seen.thread.terms, said)
        cited = (*cited, *(ref for ref, _ in held if ref not in cited))
        writer.add(cited, stop(talk.say("labelled", label=talk.say("label.when"), text=said)))


def _due(talk: Talk, seen: SeenAgain) -> Iterator[tuple[Ref, Due]]:
    """What it is due after now, each measure with the entry that typed it last."""
    held = seen.thread.fact.due or Due()
    for measure in ("distance", "time", "hours"):
        value = getattr(held, measure)
        if value is not None:
            typed = next((ref for ref in _typed(talk, seen, measure, value)), seen.thread.ref)
            yield typed, replace(Due(), **{measure: value})


def _typed(talk: Talk, seen: SeenAgain, measure: str, value: object) -> Iterator[Ref]:
    """The entries of a thread that typed a measure of its due, the newest first."""
    for look in reversed(seen.thread.looks):
        fact = _fact(talk, look)
        if fact is not None and fact.due is not None and getattr(fact.due, measure) == value:
            yield _here(talk, look.ref)


def _fact(talk: Talk, look: Look) -> Later | None:
    job = talk.job
    ticket = next((one for one in (job.ticket, *job.case.earlier) if one.number == look.ref.ticket), None)
    entry: Entry | None = ticket.entry(look.ref.no) if ticket else None
    return entry.fact if entry is not None and isinstance(entry.fact, Later) else None
