"""Observations and trials as sentences."""

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.readings.groups import groups, measures
from ticket.readings.groups import seen as seen_beside
from ticket.story.catalogue import say, variants
from ticket.story.context import Job, sources, told
from ticket.story.customer.remarks import remark_of
from ticket.story.customer.said import inner
from ticket.story.lists import phrase_list
from ticket.story.readings import Reading
from ticket.story.sentence import Lit, Phrase
from ticket.story.words.forms import listed
from ticket.story.words.observed import Seen, observed
from ticket.story.words.things import split
from ticket.story.words.trials import Trial, circumstances
from ticket.story.writer import Writer


def words_of(entry: Entry) -> tuple[str, str]:
    """The text of a finding or proof that is no reading, and the field it stands in."""
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return "", "what"
    return seen_beside(fact), "seen" if measures(fact) or not fact.what else "what"


def tell_seen(job: Job, entry: Entry, writer: Writer, *, reading: Reading | None = None) -> None:
    """What was seen, unless the sentence of the reading told it already."""
    text, field = words_of(entry)
    if not text.strip():
        return
    if reading is not None:
        remark = remark_of(reading)
        if remark.contradicts:
            return
        if remark.own:
            writer.add(sources(entry), *variants("seen.plain", text=remark.own))
            return
    seen = observed(text)
    for phrases in seen_phrases(entry, field, seen):
        writer.add(sources(entry), *phrases)
    del job


def whole_text(reading: Reading) -> str:
    """All that was typed of a single reading: its name, the figure and what was seen."""
    fact = reading.entry.fact
    seen = f", {fact.seen}" if isinstance(fact, Found | Proof) and fact.seen and reading.alone else ""
    return " ".join(part for part in (reading.what, reading.label, reading.number, reading.unit) if part) + seen


def tell_lead(entry: Entry, writer: Writer) -> None:
    """What a finding says of the thing before it names what was measured: "bearing rough, play 0.25 mm"."""
    fact = entry.fact
    names = [group.name for group in groups(fact)] if isinstance(fact, Found | Proof) else []
    for what in dict.fromkeys(names):
        lead = split(what)[0] if "," in what else ""
        if lead:
            for phrases in seen_phrases(entry, "what", observed(lead)):
                writer.add(sources(entry), *phrases)


def seen_phrases(entry: Entry, field: str, seen: Seen) -> list[tuple[Phrase, ...]]:
    """The sentences of an observation, each with its variants."""
    if seen.how == "trial" and seen.trial is not None:
        return [trial_sentences(entry, field, seen.trial)]
    if seen.how == "checked":
        item = told(entry, field, seen.object)
        if not seen.text:
            return [variants("seen.checked.only", object=item)]
        return [variants("seen.checked", object=item, text=told(entry, field, seen.text))]
    if seen.how == "quoted":
        return [variants("seen.quoted", text=told(entry, field, inner(seen.text), "quoted"))]
    if seen.how == "noted":
        return [variants("seen.noted", text=told(entry, field, inner(seen.text).rstrip(". "), "typed"))]
    if seen.how == "none":
        return [variants("seen.none", text=told(entry, field, seen.text))]
    return [variants("seen.plain", text=told(entry, field, seen.text))]


def acts_of(entry: Entry, field: str, trial: Trial) -> Phrase:
    """ "drove 9 miles and made 10 stops"."""
    return (told(entry, field, listed(list(trial.acts))),)


def outcomes_of(entry: Entry, field: str, trial: Trial) -> list[Phrase]:
    """What came of a trial, clause by clause."""
    out: list[Phrase] = [(told(entry, field, text),) for text in trial.outcomes]
    if trial.again:
        out.append(say("trial.again", again=told(entry, field, trial.again)))
    return out


def trial_sentences(entry: Entry, field: str, trial: Trial) -> tuple[Phrase, ...]:
    """The whole trial in one sentence: what we did; what came of it. All its variants."""
    more = told(entry, field, circumstances(trial))
    outcomes = outcomes_of(entry, field, trial)
    if not trial.acts:
        return ((*phrase_list(outcomes), Lit(".")),)
    if not outcomes:
        return variants("trial.only", acts=acts_of(entry, field, trial), more=more)
    return variants("trial.one", acts=acts_of(entry, field, trial), more=more, outcomes=clause_list(outcomes))


def clause_list(items: list[Phrase]) -> Phrase:
    """Clauses side by side: "A, and B"; "A, B, and C"."""
    if len(items) == 2:
        return (*items[0], Lit(", and "), *items[1])
    return phrase_list(items, mark=",")
