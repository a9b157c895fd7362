"""What waits through several visits, as the customer reads it: when it was seen, what a second look says."""

from ticket.followups.recheck import FELL, STAYED, Again, Recheck
from ticket.job.values import Ref
from ticket.readings.wear import REACHED, TOO_SMALL, WEARS
from ticket.story.context import sources, told
from ticket.story.facts.threads_seen import SeenAgain, looked_again, seen_threads, still_waiting
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.waiting import due_phrase
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Phrase

_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}
_SEVERAL = 2  # earlier visits from which it is said on which days it was seen


def tell_seen_again(talk: Talk, writer: Writer) -> None:
    """Of each thread that was looked at today: on which days it was seen, and what its readings say."""
    for seen in seen_threads(talk.job):
        if seen.look is None or seen.answer is None:
            continue
        if len(seen.visits) >= _SEVERAL:
            days = [talk.date(look.ref, "at", look.day) for look in seen.visits]
            cited = (*(look.ref for look in seen.visits), Ref(seen.answer.no))
            writer.add(cited, stop(talk.say("thread.seen", days=talk.listed([*days, talk.say("thread.today")]))))
        found = looked_again(talk.job, seen)
        if found is not None:
            _tell_recheck(talk, found, writer)


def _tell_recheck(talk: Talk, found: Recheck, writer: Writer) -> None:
    for one in found.again:
        _tell_rate(talk, one, writer)
    levels = [one for one in found.again if one.is_level]
    cited = _cited(talk, *levels)
    if found.giver is not None:
        writer.add(cited, talk.say("thread.crosses"))
    elif any(one.moved == FELL for one in levels):
        writer.add(cited, talk.say("thread.falls"))
    elif levels and all(one.moved == STAYED for one in levels):
        writer.add(cited, talk.say("thread.stays"))


def _tell_rate(talk: Talk, one: Again, writer: Writer) -> None:
    """How much was lost over which distance, and how far the limit is; nothing where no distance is known."""
    trend = one.trend
    if trend is None or trend.wear.state not in (WEARS, TOO_SMALL, REACHED):
        return
    cited = _cited(talk, one)
    ref = cited[0]
    way: Phrase = (told(ref, "what", talk.leaves.measure(_whole(trend.distance), trend.distance_unit), "forecast"),)
    if trend.wear.state == TOO_SMALL:
        writer.add(cited, stop(talk.say("thread.too.small", way=way)))
        return
    lost = talk.leaves.measure(f"{abs(float(one.by)):g}", one.now.typed.unit)
    writer.add(cited, stop(talk.say("thread.lost", lost=(told(ref, "what", lost, "forecast"),), way=way)))
    if trend.wear.left is not None and trend.wear.state == WEARS and trend.wear.earliest is not None:
        ends = (trend.wear.earliest, trend.wear.latest or 0.0)
        low, high = (talk.leaves.measure(_whole(end), trend.distance_unit) for end in ends)
        first: Phrase = (told(ref, "what", low, "forecast"),)
        last: Phrase = (told(ref, "what", high, "forecast"),)
        writer.add(cited, stop(talk.say("thread.limit", first=first, last=last)))


def _whole(distance: object) -> str:
    return f"{float(distance):,.0f}"  # type: ignore[arg-type]


def _cited(talk: Talk, *found: Again) -> tuple[Ref, ...]:
    """The entries behind some readings, those of this ticket by their number alone."""
    number = talk.job.ticket.number
    refs = (ref for one in found for ref in (one.now.ref, one.before.ref))
    return tuple(dict.fromkeys(Ref(ref.no) if ref.ticket == number else ref for ref in refs))


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
    due = due_phrase(talk, begun, seen.begun)
    if due:
        said = talk.say("thread.again", due=due)
        writer.add(cited, stop(talk.say("labelled", label=talk.say("label.when"), text=said)))
