"""When a distance will be reached, as a customer is told it: between two weeks, never one day, never a percentage."""

from ticket.followups.calendar_span import ABOUT, NOT_BEFORE, SOON_WORD, Told
from ticket.followups.forecast import Terms, terms_of
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import Job, told
from ticket.story.facts.threads_seen import seen_threads
from ticket.story.sections.talk import Talk
from ticket.story.sentence import Phrase
from ticket.story.span_ahead import forecast_span


def ahead(talk: Talk, entry: Entry | Ref, terms: Terms, said: Phrase) -> Phrase:
    """A sentence on when something is due, with when that will be if driving stays as it is."""
    found = forecast_span(talk.job.case, terms)
    if found is None:
        return said
    span = span_phrase(talk, entry, found.span)
    if talk.job.reader != "customer":
        return talk.say("line.forecast", said=said, span=span)
    if not found.change or found.turned is None:
        return talk.say("later.forecast", said=said, span=span)
    month = (told(entry, "due", talk.leaves.month_of_year(found.turned), "forecast"),)
    times = (told(entry, "due", talk.leaves.count(found.times), "forecast"),)
    return talk.say(f"later.forecast.{found.change}", said=said, span=span, month=month, times=times)


def due_terms(job: Job, entry: Entry, fact: Later) -> Terms:
    """When an item of this ticket is due: of work that was put off before with what still holds of its older words."""
    for seen in seen_threads(job):
        if seen.answer is not None and seen.answer.no == entry.no and seen.thread.waits:
            return seen.thread.terms
    header = job.ticket.header
    return terms_of(fact, local_day(entry.at), header.odometer_out or header.odometer_in)


def span_phrase(talk: Talk, entry: Entry | Ref, span: Told) -> Phrase:
    """ "about mid-February, between January 26 and March 22, 2026"."""

    def value(text: str) -> Phrase:
        return (told(entry, "due", text, "forecast"),)

    style = talk.job.case.settings.dates
    if span.form == NOT_BEFORE or span.last is None:
        return talk.say("span.open", first=value(talk.leaves.day(span.first, style)))
    if span.form == SOON_WORD:
        return talk.say("span.soon", last=value(talk.leaves.day(span.last, style)))
    same = span.first.year == span.last.year
    first = talk.leaves.day_of_year(span.first, style) if same else talk.leaves.day(span.first, style)
    begins, ends = value(first), value(talk.leaves.day(span.last, style))
    if span.form != ABOUT or span.month is None:
        return talk.say("span.some", first=begins, last=ends)
    month = value(talk.leaves.month(span.month))
    part = talk.say(f"span.month.{span.part or 'whole'}", month=month)
    return talk.say("span.about", part=part, first=begins, last=ends)
