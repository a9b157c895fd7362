"""What every story promises, over random whole tickets: sources, figures, what must be told, and what removal does."""

import dataclasses
import json
import re
import unicodedata
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from story_jobs import case_of, sentences
from test_story_readable import demo_cases

from support.tickets import tickets
from ticket.job.case import Case
from ticket.job.codec import encode_fact
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Note, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.papers.markdown import as_markdown
from ticket.papers.plain_text import as_text
from ticket.readings.measured_groups import measures, values
from ticket.readings.pairing import judge_entry, measured
from ticket.story.build import build
from ticket.story.cautions import cautions
from ticket.story.context import Job
from ticket.story.document import to_document
from ticket.story.facts.certainty import confirmed
from ticket.story.sections.catalogue import english
from ticket.story.sentence import CAUTION, READERS, TICKET, Lit, Sentence, Story, Val

READER = st.sampled_from(READERS)
# A figure: digits with their marks; codes and part numbers are longer words and are looked up whole.
_FIGURE = re.compile(r"(?<![\w.,/-])[0-9][0-9.,/]*(?<![.,/])(?![\w-])")


def visible(ticket: Ticket, reader: str) -> dict[Ref, Entry]:
    hidden = reader != "shop"
    return {
        Ref(entry.no): entry
        for entry in ticket.living
        if not (hidden and (entry.shop_only or isinstance(entry.fact, Note)))
    }


def raw(ticket: Ticket, entry: Entry) -> str:
    """All that was typed for an entry, with what a proof takes over from the reading it repeats."""
    facts = [encode_fact(entry.fact)]
    if isinstance(entry.fact, Proof):
        taken = measured(ticket, entry)
        facts += [dataclasses.asdict(one.run) | {"what": one.what} for one in taken.groups]
        facts.append({"what": taken.what})
    amendment = f"{entry.reason} {entry.at.astimezone().date():%Y %-m %-d}" if entry.amended else ""
    return f"{json.dumps(facts, ensure_ascii=False)} {entry.no} {amendment}"


def numbers(text: str) -> set[str]:
    """The figures of a text, grouping removed, as decimals are compared: by digits, not by sign."""
    plain = unicodedata.normalize("NFC", text)
    return {match.replace(",", "").rstrip(".") for match in re.findall(r"[0-9][0-9.,/]*", plain)}


def all_sentences(story: Story) -> list[Sentence]:
    return [sentence for section in story.sections for sentence in section.sentences]


def check_every_sentence_names_entries_that_this_reader_may_see(ticket: Ticket, reader: str, story: Story) -> None:
    seen = visible(ticket, reader)
    absences = {english().patterns[name][0] for name in ("proof.none", "used.none")}
    for sentence in all_sentences(story):
        assert sentence.sources
        for source in sentence.sources:
            if isinstance(source, Ref):
                assert source in seen
            elif source == TICKET:
                assert sentence.text in absences or reader == "payer"
            else:
                assert source.removeprefix(CAUTION) in {caution.id for caution in cautions()}
                assert sentence.sources[0] in seen


def check_every_value_comes_from_an_entry_the_sentence_cites(ticket: Ticket, reader: str, story: Story) -> None:
    for sentence in all_sentences(story):
        for part in sentence.parts:
            if isinstance(part, Val):
                assert part.no in sentence.sources


def check_every_figure_stands_in_the_cited_entries_or_is_declared(ticket: Ticket, reader: str) -> None:
    for sentence in all_sentences(build(case_of(ticket), reader)):
        if any(str(source).startswith(CAUTION) for source in sentence.sources):
            continue
        cited = [ticket.entry(source.no) for source in sentence.sources if isinstance(source, Ref)]
        typed = set().union(*(numbers(raw(ticket, entry)) for entry in cited if entry is not None))
        declared = set().union(*(numbers(item.text) for item in sentence.derived)) if sentence.derived else set()
        told = numbers(" ".join(_FIGURE.findall(sentence.text.replace("\u00a0", " "))))
        assert told <= typed | declared, (sentence.text, told - typed - declared)


def check_no_figure_stands_in_catalogue_text(ticket: Ticket, reader: str, story: Story) -> None:
    for sentence in all_sentences(story):
        if not any(str(source).startswith(CAUTION) for source in sentence.sources):
            literal = "".join(part.text for part in sentence.parts if isinstance(part, Lit))
            assert not re.search(r"[0-9]", literal), sentence.text


def must_tell(ticket: Ticket, reader: str) -> set[Ref]:
    """Entries each reader must be told of: F23 of the style sheet."""
    refs = set()
    for ref, entry in visible(ticket, reader).items():
        fact = entry.fact
        if isinstance(fact, Says | Code | Cause | Ruled | Did | Used | Proof | Later):
            refs.add(ref)
        elif isinstance(fact, Found):
            words = [verdict.word for verdict in judge_entry(ticket, entry)]
            if any(word in ("low", "high") for word in words) or not measures(fact):
                refs.add(ref)
        elif (isinstance(fact, Offer) and reader != "customer") or (isinstance(fact, Told) and fact.answers):
            refs.add(ref)
    return refs


def check_what_must_be_told_is_told(ticket: Ticket, reader: str, story: Story) -> None:
    cited = {source for sentence in all_sentences(story) for source in sentence.sources}
    settled = {
        ref for entry in ticket.living if isinstance(entry.fact, Later) and entry.fact.answer for ref in [Ref(entry.no)]
    }
    assert must_tell(ticket, reader) - cited - settled == set()


def check_a_reading_out_of_its_limits_is_told_with_its_value(ticket: Ticket, story: Story) -> None:
    for entry in ticket.living:
        if entry.shop_only or not isinstance(entry.fact, Found):
            continue
        for value, verdict in zip(values(entry.fact), judge_entry(ticket, entry), strict=True):
            if verdict.word in ("low", "high"):
                about = [item.text for item in all_sentences(story) if Ref(entry.no) in item.sources]
                shown = value.number.lstrip("+-><")
                assert any(shown in text.replace(",", "") for text in about), (shown, about)


def check_a_cause_without_proof_is_never_told_as_a_fact(ticket: Ticket, story: Story) -> None:
    job = Job(case_of(ticket))
    for entry in job.entries:
        if isinstance(entry.fact, Cause) and not confirmed(job, entry):
            cause = next(
                section
                for section in story.sections
                if any(Ref(entry.no) in s.sources for s in section.sentences if section.id == "cause")
            )
            first = next(item for item in cause.sentences if item.sources[0] == Ref(entry.no))
            assert "likely" in first.text or first.text.startswith("The readings fit ")


@settings(max_examples=40)
@given(tickets(), READER, st.data())
def test_without_an_entry_no_sentence_cites_it(ticket: Ticket, reader: str, data: st.DataObject) -> None:
    gone = data.draw(st.sampled_from(ticket.entries))
    rest = tuple(entry for entry in ticket.entries if gone.no not in (entry.no, entry.replaces))
    before, after = (build(case_of(one), reader) for one in (ticket, dataclasses.replace(ticket, entries=rest)))
    assert all(Ref(gone.no) not in sentence.sources for sentence in all_sentences(after))
    if Ref(gone.no) not in visible(ticket, reader):
        return
    # Whoever was told of before, the removed entry and what only answered it apart, is told of still.
    cited = {source for item in all_sentences(after) for source in item.sources}
    for item in all_sentences(before):
        if Ref(gone.no) not in item.sources and item.sources[0] != TICKET and len(item.sources) == 1:
            assert item.sources[0] in cited


def check_the_same_ticket_gives_the_same_bytes(ticket: Ticket, reader: str, story: Story) -> None:
    one, other = story, build(case_of(ticket), reader)
    assert as_text(one, sources=True) == as_text(other, sources=True)
    assert to_document(one) == to_document(other)


@settings(max_examples=20)  # eight checks for three readers each
@given(tickets())
def test_every_story_keeps_its_promises(ticket: Ticket) -> None:
    stories = {reader: build(case_of(ticket), reader) for reader in READERS}
    for reader, story in stories.items():
        check_every_sentence_names_entries_that_this_reader_may_see(ticket, reader, story)
        check_every_value_comes_from_an_entry_the_sentence_cites(ticket, reader, story)
        check_what_must_be_told_is_told(ticket, reader, story)
        check_no_figure_stands_in_catalogue_text(ticket, reader, story)
        check_the_same_ticket_gives_the_same_bytes(ticket, reader, story)
        check_papers_hold_no_character_a_terminal_would_obey(ticket, reader, story)
    check_a_reading_out_of_its_limits_is_told_with_its_value(ticket, stories["customer"])
    check_a_cause_without_proof_is_never_told_as_a_fact(ticket, stories["customer"])


@given(tickets(hostile=False), READER)
def test_no_figure_is_invented(ticket: Ticket, reader: str) -> None:
    check_every_figure_stands_in_the_cited_entries_or_is_declared(ticket, reader)


_CODE = re.compile(r"\b[PCBU][0-9A-F]{4}\b|\b[PCBU][0-3][0-9A-F]{3}-[0-9A-F]{2}\b")


def anywhere(text: str) -> set[str]:
    """Every figure of a text, wherever it stands, by a scanner that knows nothing of how sentences are made."""
    found = re.findall(r"[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?(?:/[0-9]+)?", text)
    return {one.replace(",", "").lstrip("0") or "0" for one in found}


def known_of(case: Case, source: Any) -> str:
    """All that was typed where a source of a document points, in this ticket or an earlier one, with its days."""
    if not isinstance(source, int) and "/" not in source:
        assert source == TICKET or source.startswith(CAUTION), source
        return ""
    home, _, no = str(source).rpartition("/")
    owner = next((old for old in case.earlier if str(old.number) == home), case.ticket)
    (entry,) = (entry for entry in owner.entries if entry.no == int(no))
    runs = [taken.run for taken in measured(owner, entry, case.earlier).groups]
    # The place of a value in a list without labels counts as typed: cylinder 3 is the third figure.
    bare = [run for run in runs if len(run.values) > 2 and not any(value.label for value in run.values)]
    places = " ".join(str(i + 1) for run in bare for i in range(len(run.values)))
    days = " ".join(f"{at.day} {at.year}" for at in (entry.at, owner.opened, owner.closed) if at)
    return f"{raw(owner, entry)} {runs!r} {places} {days}"


def check_figures_of_the_document(case: Case, reader: str) -> None:
    codes = {fact.code for entry in case.ticket.entries if isinstance(fact := entry.fact, Code)}
    both = {f"{entry.fact.code}-{entry.fact.sub}" for entry in case.ticket.entries if isinstance(entry.fact, Code)}
    for section in to_document(build(case, reader))["sections"]:
        for sentence in section["sentences"]:
            known = " ".join(derived["text"] for derived in sentence.get("derived", ()))
            known += " ".join(known_of(case, source) for source in sentence["sources"])
            assert anywhere(sentence["text"]) <= anywhere(known), (sentence, known)
            assert set(_CODE.findall(sentence["text"])) <= set(_CODE.findall(known)) | both | codes


@pytest.mark.parametrize("reader", READERS)
def test_every_figure_of_the_demo_stories_stands_in_their_sources(reader: str) -> None:
    for case in demo_cases():
        check_figures_of_the_document(case, reader)


@given(tickets(), READER)
def test_every_figure_of_any_document_stands_in_its_sources(ticket: Ticket, reader: str) -> None:
    check_figures_of_the_document(case_of(ticket), reader)


@settings(max_examples=20)  # three stories each
@given(tickets())
def test_what_the_shop_keeps_to_itself_reaches_nobody_else(ticket: Ticket) -> None:
    secret = dataclasses.replace(
        ticket,
        entries=(
            *ticket.entries,
            Entry(999, Note(text="zzqx remark"), "Bo Karst", ticket.opened),
            Entry(1000, Found(what="zzqy hose dry"), "Bo Karst", ticket.opened, shop_only=True),
        ),
    )
    for reader in ("customer", "payer"):
        assert "zzq" not in " ".join(sentences(build(case_of(secret), reader))).lower()
    told = sentences(build(case_of(secret), "shop"))
    assert "Zzqx remark." in told
    assert "Zzqy hose dry." in told


def check_papers_hold_no_character_a_terminal_would_obey(ticket: Ticket, reader: str, story: Story) -> None:
    for paper in (as_text(story, 60, sources=True), as_markdown(story, sources=True)):
        assert not [c for c in paper if c != "\n" and unicodedata.category(c) in ("Cc", "Cf", "Cs")]


@pytest.mark.parametrize(
    "words", ["fixed", "cured", "solved", "perfect", "refused", "neglected", "careless", "dangerous"]
)
def test_words_that_promise_or_blame_stand_in_no_pattern(words: str) -> None:
    catalogue = " ".join(text for variants in english().patterns.values() for text in variants).lower()
    assert not re.search(rf"\b{words}\b", catalogue)


def test_left_and_right_stand_in_no_pattern() -> None:
    catalogue = [text for variants in english().patterns.values() for text in variants]
    assert [text for text in catalogue if re.search(r"\b(left|right)\b", text.replace("We left a message", ""))] == []
