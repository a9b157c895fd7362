"""A whole story against its ticket: every sentence, what must be told, and what one sentence may not say to another."""

from collections.abc import Iterator, Sequence
from typing import Any

from support.faithful.check import check
from support.faithful.figures import scan
from support.faithful.finding import Finding, Flaw
from support.faithful.language import Language, load
from support.faithful.rule_reasons import same_thing
from support.faithful.rule_surface import opening
from support.faithful.told import Told as Sentence
from support.faithful.told import read_story
from ticket.job.case import Case
from ticket.job.empty_lines import says_nothing
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Found, Later, Maybe, Offer, Photo, Proof, Ruled, Told
from ticket.job.offer_answers import standing
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Run
from ticket.readings.inexact import parts
from ticket.readings.pairing import judge_entry, measured
from ticket.readings.verdict import Verdict

_SECTION_MOST = "most_sentences"
_DECLARED = ("forecast", "meaning", "converted", "item")  # what cannot be worked out from the sources alone
# Kinds each reader must be told of: the terse copy for the shop leaves out what the next technician does not need.
_MUST: dict[str, frozenset[str]] = {
    "customer": frozenset("says code found cause ruled offer did used proof later".split()),
    "payer": frozenset("says code found cause ruled offer did used proof later told".split()),
    "shop": frozenset("cause ruled did proof later note".split()),
}

# What these rules ask is settled before a line is told: a note is the typed line itself, whole and in order, and
# `ticket.language` tells a line only where one reading fits. Its lists of work, sides and short forms are larger than
# those here, so these rules would object to words that were typed.
_GAUGE_WORDS = {"none": "nada"}  # what a gauge showed instead of a figure, as Spanish tells it
_WORDING = frozenset({"F6", "F7", "F12", "F14", "F16", "F18", "F25"})
_ELSEWHERE = {"note": _WORDING | {"F2", "F4", "F5", "F11", "F19", "F26"}, "listed": _WORDING | {"F2", "F4", "F5"},
              "sentence": _WORDING | {"F2"}}  # fmt: skip


def check_story(document: dict[str, Any], case: Case, *, language: str = "") -> tuple[Flaw, ...]:
    """Every rule a story breaks, sentence by sentence and as a whole; empty where it breaks none.

    Args:
        document: ``{ticket, reader, sections: [{title, sentences: [{text, sources, derived?}]}]}``; a source is an
            entry's number, ``2107/12``, ``ticket`` or ``caution:id``; a reworded sentence holds ``reworded``.
        case: the ticket it tells, with the earlier tickets it may cite.
        language: which word lists apply; left out, those of the language the story names.
    """
    reader = str(document.get("reader", "customer"))
    language = language or str(document.get("language", "en"))
    story = list(read_story(document, case))
    flaws = [flaw for sentence in story for flaw in _sentence(sentence, case, reader, language)]
    flaws += _must_tell(story, case, reader, load(language))
    if reader == "customer":
        flaws += _openings(story, load(language))
        flaws += _quarrels(story, load(language))
    return tuple(flaws)


def _sentence(told: Sentence, case: Case, reader: str, language: str) -> Iterator[Flaw]:
    for problem in told.problems:
        yield Flaw(told.section, told.place, told.text, problem)
    if told.unresolved or told.reworded:
        return  # a writer's own words are judged where they are let in
    derived = [text for op, text in told.derived if op in _DECLARED]
    for finding in check(
        told.text, told.entries, reader=reader, ticket=case.ticket, earlier=told.earlier, derived=derived,
        caution=told.caution, language=language,
    ):  # fmt: skip
        if reader != "customer" and finding.rule == "F19" and told.hedged_by_title:
            continue
        if finding.rule in _ELSEWHERE.get(told.form, frozenset()) and not told.reworded:
            continue
        yield Flaw(told.section, told.place, told.text, finding)


def _openings(story: Sequence[Sentence], language: Language) -> Iterator[Flaw]:
    """Neighbours in one section do not begin alike, and a paragraph ends after some sentences (F26)."""
    before: Sentence | None = None
    count = 0
    for told in story:
        if before is None or told.section_no != before.section_no:
            before, count = told, 1
            continue
        count += not any(isinstance(entry.fact, Later) for entry in told.entries)
        mine, last = opening(told.text, language), opening(before.text, language)
        quoted = told.text[:1] == "“" or before.text[:1] == "“"
        lines = told.form == before.form and told.form in _ELSEWHERE  # rows of one list name the same thing rightly
        if len(mine) == 2 and mine == last and not quoted and not lines:
            finding = Finding("F26", "It begins like the sentence before it.", 0, len(told.text), advice=True)
            yield Flaw(told.section, told.place, told.text, finding)
        if count == int(language.data["surface"][_SECTION_MOST]) + 1:
            finding = Finding("F26", "The section is long: tell some of it as a list.", 0, 0, advice=True)
            yield Flaw(told.section, told.place, told.text, finding)
        before = told


def _quarrels(story: Sequence[Sentence], language: Language) -> Iterator[Flaw]:
    """One sentence says that it was not so, another that it may be so (F19); a picture of both says neither."""
    story = [told for told in story if not any(isinstance(entry.fact, Photo) for entry in told.entries)]
    ruled = {entry.no: entry for told in story for entry in told.entries if isinstance(entry.fact, Ruled)}
    for told in story:
        for entry in told.entries:
            if not isinstance(entry.fact, Maybe):
                continue
            for other in ruled.values():
                if isinstance(other.fact, Ruled) and same_thing(entry.fact.text, other.fact.text, load()):
                    reason = f"Entry {other.no} rules out what entry {entry.no} suspects: both cannot be told."
                    yield Flaw(told.section, told.place, told.text, Finding("F19", reason, 0, len(told.text)))
                    break


def _must_tell(story: Sequence[Sentence], case: Case, reader: str, language: Language) -> Iterator[Flaw]:
    """What must be told is cited, with its figures (F23)."""
    texts: dict[int, list[str]] = {}
    for told in story:
        for entry in told.entries:
            if case.ticket.entry(entry.no) == entry:
                texts.setdefault(entry.no, []).append(told.text)
    settled = _settled(case.ticket, language)
    for entry in case.ticket.living:
        if entry.kind not in _MUST[reader] or (reader != "shop" and entry.shop_only) or says_nothing(entry.fact):
            continue
        told_texts = texts.get(entry.no)
        if told_texts is None:
            if entry.no not in settled:
                yield _missing(f"Entry {entry.no} ({entry.kind}) is told nowhere.")
            continue
        text = " ".join(told_texts)
        for what in _lost(entry, text, case, language):
            yield _missing(f"Entry {entry.no} ({entry.kind}): {what} is not told.")


def _missing(reason: str) -> Flaw:
    return Flaw("", -1, "", Finding("F23", reason))


def _settled(ticket: Ticket, language: Language) -> set[int]:
    """Offers that another entry speaks for: their answer, or the same work put off."""
    living = {entry.no: entry for entry in ticket.living}
    contacts = [entry.fact for entry in living.values() if isinstance(entry.fact, Told)]
    answered = {ref.no for contact in contacts for one in contact.answers for ref in one.to}
    answered |= {no for no, one in standing(ticket).items() if one.told in living and living[one.told].shop_only}
    waiting = [entry.fact.text for entry in living.values() if isinstance(entry.fact, Later)]
    return {
        no
        for no, entry in living.items()
        if isinstance(entry.fact, Offer)
        and (no in answered or any(same_thing(entry.fact.text, text, load()) for text in waiting))
    }


def _lost(entry: Entry, text: str, case: Case, language: Language) -> Iterator[str]:
    """Figures and words of an entry that its sentences leave out."""
    fact = entry.fact
    shown = fold(text)
    if isinstance(fact, Code) and fact.code != "none":
        yield from (part for part in (fact.code, fact.sub) if part and fold(part) not in shown)
    if isinstance(fact, Found | Proof):
        yield from _lost_readings(entry, text, case, language)
    if isinstance(fact, Later):
        digits = {figure.digits for figure in scan(text, language)}
        due = fact.due
        for part in (due.distance, due.time, due.hours, due.odometer) if due else ():
            if part is not None and part.number.replace(",", "") not in digits:
                yield f"when to come back ({part})"
        for name in () if language.translated else ("because", "risk"):
            words = {language.stem(word) for word in fold(getattr(fact, name)).split() if word.isalpha()}
            words -= {language.stem(word) for word in language.empty}
            said = {language.stem(word.strip(".,;:()“”")) for word in shown.split()}
            if len(words & said) * 2 < len(words):
                yield f"its {'reason' if name == 'because' else 'risk'}"
    if isinstance(fact, Cause) and not shown:
        yield "the cause"


def _lost_readings(entry: Entry, text: str, case: Case, language: Language) -> Iterator[str]:
    """A reading out of limits is told with its value and its limit."""
    verdicts = iter(judge_entry(case.ticket, entry, case.earlier))
    digits = {figure.digits for figure in scan(text, language)}
    for taken in measured(case.ticket, entry, case.earlier).groups:
        for value in taken.run.values:
            verdict = next(verdicts)
            if verdict.word in ("low", "high"):
                yield from _untold(value.number, verdict, taken.run, digits, text, language)


def _untold(
    typed: str, verdict: Verdict, run: Run, digits: set[str], text: str, language: Language
) -> Iterator[str]:  # fmt: skip
    said = parts(typed)
    numbers = {number.lstrip("+-−").replace(",", "") for number in (said.number, said.to) if number}
    # rows of readings for the payer and the shop stay as typed in every language
    words = {typed, _GAUGE_WORDS.get(fold(typed), typed) if language.translated else typed}
    if not numbers <= digits and not any(fold(word) in fold(text) for word in words):
        yield f"the reading {typed} {run.unit}"
    limit = verdict.limit.split(" ")[0].lstrip("+-−").replace(",", "")
    nominal = run.limits.nominal if run.limits else ""
    if limit and not {limit, nominal} & digits and limit.strip("0."):
        yield f"the limit {verdict.limit}"


def check_removal(before: dict[str, Any], after: dict[str, Any], no: int) -> tuple[Flaw, ...]:
    """F24 on two stories, the second told after entry ``no`` was taken off: what cited it is gone or rebuilt.

    A sentence that did not cite the entry is still told from the same sources; its opening may differ.
    """
    flaws = []
    remaining = {tuple(sentence["sources"]) for _, sentence in _all(after)}
    for title, sentence in _all(after):
        if no in sentence["sources"]:
            finding = Finding("F24", f"It still cites entry {no}, which was taken off.", 0, len(sentence["text"]))
            flaws.append(Flaw(title, 0, sentence["text"], finding))
    cited_together = {
        source for _, sentence in _all(before) if no in sentence["sources"] for source in sentence["sources"]
    }
    for title, sentence in _all(before):
        sources = tuple(sentence["sources"])
        if sources not in remaining and no not in sources and not cited_together & set(sources):
            finding = Finding("F24", f"It did not rest on entry {no}, and is gone with it.", 0, len(sentence["text"]))
            flaws.append(Flaw(title, 0, sentence["text"], finding))
    return tuple(flaws)


def _all(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for section in document["sections"]:
        yield from ((section["title"], sentence) for sentence in section["sentences"])
