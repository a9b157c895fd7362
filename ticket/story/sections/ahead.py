"""When a distance will be reached, as a customer is told it: between two weeks, never one day, never a percentage."""

from ticket.followups.calendar_span import ABOUT, NOT_BEFORE, SOON_WORD, Told
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.story.context import told
from ticket.story.forecast import forecast_span
from ticket.story.sections.talk import Talk
from ticket.story.sentence import Phrase


def ahead(talk: Talk, entry: Entry, fact: Later, said: Phrase) -> Phrase:
    """A sentence on when something is due, with when that will be if driving stays as it is."""
    found = forecast_span(talk.job.case, entry, fact)
    if found is None:
        return said
    span, change = found
    name = f"later.forecast.{change}" if change else "later.forecast"
    return talk.say(name, said=said, span=span_phrase(talk, entry, span))


def span_phrase(talk: Talk, entry: Entry, span: Told) -> Phrase:
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
