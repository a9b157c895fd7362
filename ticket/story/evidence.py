"""The findings behind a cause in short: subject and verdict, no figures; a finding without a short form is quoted."""

from dataclasses import dataclass, replace

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Found, Proof, Ruled
from ticket.job.text import one_line
from ticket.job.values import Ref
from ticket.readings.groups import seen as seen_beside
from ticket.story.catalogue import say
from ticket.story.context import Job, told
from ticket.story.lists import phrase_list
from ticket.story.readings import Reading, be, brief, name_of, noun, readings
from ticket.story.sentence import Lit, Phrase, text_of, words_in
from ticket.story.words.observed import observed

_LIMIT = 25
_TELLS = frozenset({"other", "thickness", "gap", "play", "compression", "leakdown", "level", "loss", "tread"})


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of evidence: the entries it rests on, its words, and how they may join others.

    Attributes:
        subject: what it speaks of, where words and verdict stand apart.
        verdict: the rest of the clause.
        many: the subject is plural.
        good: it tells that something was as it should be.
    """

    refs: tuple[Ref, ...]
    text: Phrase
    subject: Phrase = ()
    verdict: Phrase = ()
    many: bool = False
    good: bool = False
    all_subjects: tuple[Phrase, ...] = ()

    @property
    def subjects(self) -> tuple[Phrase, ...]:
        """The subjects one by one."""
        return self.all_subjects or (self.subject,)


def pieces(job: Job, refs: tuple[Ref, ...]) -> list[Piece]:
    """Evidence of the entries in the order given, equal verdicts and equal subjects joined."""
    out: list[Piece] = []
    for ref in refs:
        entry = job.entry(ref)
        if entry is not None:
            out += _of(job, ref, entry)
    return _joined(out)


def _of(job: Job, ref: Ref, entry: Entry) -> list[Piece]:
    fact = entry.fact
    if isinstance(fact, Ruled | Code):
        return []
    if not isinstance(fact, Found | Proof):
        return [_quoted(ref, entry)]
    taken = readings(job, entry)
    if taken:
        bad = [reading for reading in taken if reading.bad]
        chosen = bad or list(taken[:1])
        if bad or all(reading.good for reading in taken):
            return [_reading(ref, reading) for reading in chosen]
        return [Piece((ref,), brief(taken[0]))]
    text = seen_beside(fact)
    seen = observed(text)
    if seen.first:
        return [Piece((ref,), (told(entry, "what", seen.first),), good=seen.sense == "good")]
    if seen.how == "trial" and seen.trial is not None and seen.trial.outcomes:
        return [Piece((ref,), (told(entry, "what", seen.trial.outcomes[0]),))]
    return [_quoted(ref, entry, text)]


def _quoted(ref: Ref, entry: Entry, text: str = "") -> Piece:
    words = text or getattr(entry.fact, "text", "")
    return Piece((ref,), say("cause.noted", text=told(entry, "text", one_line(words), "quoted")))


def _reading(ref: Ref, reading: Reading) -> Piece:
    whole = brief(reading)
    if not reading.bad:
        return Piece((ref,), whole, good=True, subject=noun(reading), verdict=())
    if reading.quantity not in _TELLS:
        return Piece((ref,), whole)
    name = name_of(reading)
    rest = whole[len(name) :]
    verb = be(reading)
    many = verb.text == "were"
    return Piece((ref,), whole, name, rest, many)


def _joined(items: list[Piece]) -> list[Piece]:
    """Equal verdicts share a verb, equal subjects a noun, neighbours only."""
    out: list[Piece] = []
    for item in items:
        last = out[-1] if out else None
        if last is not None and last.verdict and item.verdict:
            if _plain(text_of(last.verdict)) == _plain(text_of(item.verdict)):
                out[-1] = _same_verdict(last, item)
                continue
            if text_of(last.subject) == text_of(item.subject):
                verdict = (*last.verdict, Lit(" and"), *item.verdict)
                out[-1] = Piece(last.refs + item.refs, (*last.subject, *verdict), last.subject, verdict, last.many)
                continue
        out.append(item)
    return out


def _same_verdict(one: Piece, other: Piece) -> Piece:
    """Subjects side by side before one verdict; a subject met before is not named again."""
    refs = one.refs + other.refs
    if text_of(other.subject) in (text_of(subject) for subject in one.subjects):
        return replace(one, refs=refs)
    subjects = (*one.subjects, other.subject)
    subject = phrase_list(list(subjects))
    verdict = _plural(other.verdict)
    return Piece(refs, (*subject, *verdict), subject, verdict, many=True, all_subjects=subjects)


def _plain(verdict: str) -> str:
    return verdict.replace(" were ", " was ", 1)


def _plural(verdict: Phrase) -> Phrase:
    return tuple(Lit("were") if part == Lit("was") else part for part in verdict)


def spread_out(items: list[Piece], lead: Phrase) -> list[tuple[tuple[Ref, ...], Phrase]]:
    """The evidence in sentences of at most so many words; the first opens with the lead, the others with "Also"."""
    held: list[list[Piece]] = []
    for item in items:
        if held and words_in((*lead, *_together([*held[-1], item]))) <= _LIMIT:
            held[-1].append(item)
        else:
            held.append([item])
    return [(tuple(ref for piece in group for ref in piece.refs), _together(group)) for group in held]


def _together(items: list[Piece]) -> Phrase:
    if len(items) == 2:
        first, second = items
        if second.good and not first.good:
            return (*first.text, *_spaced("list.while"), *second.text)
        return (*first.text, Lit(","), *_spaced("list.and"), *second.text)
    return phrase_list([item.text for item in items], mark=",") if len(items) > 2 else items[0].text


def _spaced(name: str) -> Phrase:
    return (Lit(" "), *say(name), Lit(" "))
