"""What was corrected or added after the signature says so, once in a story, where it is told first."""

from collections.abc import Callable
from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import Job
from ticket.story.sentence import NOTE, Lit, Phrase, Section, Sentence, capital, in_order

_RETOLD = frozenset({"short", "care"})  # sections that tell again what stands elsewhere
_SENTENCES = ("amended.added", "amended.corrected")
_LINES = ("t.amended.added", "t.amended.corrected")

Group = tuple[Entry, ...]
Note = Callable[[str, Entry], Phrase]  # a pattern by its id, with the day and the reason of an entry


def mark(job: Job, sections: tuple[Section, ...], note: Note, typed: Note | None = None) -> tuple[Section, ...]:
    """The sections with a note behind what rests on an amendment: which day, and the reason as it was typed.

    The customer reads a sentence of its own; in the lines of the payer and of the shop the note ends the line.

    Args:
        job: what is told to whom.
        sections: the story so far.
        note: how it is said.
        typed: how it is said in the language of the typed lines, where that is another: the reason stands in a note,
            by itself behind a sentence of the language, else behind the note that it is about.
    """
    for group in _together([entry for entry in job.entries if entry.amended and entry.reason.strip()], sections):
        place = _place(sections, group[0].no)
        if place is not None:
            sections = _noted(job, sections, place, group, note, typed)
    return sections


def _together(amended: list[Entry], sections: tuple[Section, ...]) -> list[Group]:
    """Amendments of one day, reason and place share a note."""
    groups: dict[object, Group] = {}
    for entry in amended:
        key = (_place(sections, entry.no), local_day(entry.at), entry.reason, bool(entry.replaces))
        groups[key] = (*groups.get(key, ()), entry)
    return list(groups.values())


def _place(sections: tuple[Section, ...], no: int) -> tuple[int, int] | None:
    """Section and sentence: the last of those in a row that first tell an entry, else that first rest on it.

    A sentence names what it tells in front of what shows it: a corrected finding is not marked at the cause it shows.
    """
    for first in (True, False):
        for i, section in enumerate(sections):
            resting = [
                k for k, one in enumerate(section.sentences) if Ref(no) in (one.sources[:1] if first else one.sources)
            ]
            if resting and section.id not in _RETOLD:
                last = resting[0]
                while last + 1 in resting:
                    last += 1
                return i, last
    return None


def _noted(
    job: Job, sections: tuple[Section, ...], place: tuple[int, int], group: Group, note: Note,
    typed: Note | None,
) -> tuple[Section, ...]:  # fmt: skip
    i, k = place
    names, add = (_SENTENCES, _behind) if job.reader == "customer" else (_LINES, _at_end)
    name = names[_corrects(job, group[0])]
    if typed is None:
        return (*sections[:i], add(sections[i], k, capital(note(name, group[0])), group), *sections[i + 1 :])
    line = sections[i].sentences[k]
    if line.form == NOTE:
        return (*sections[:i], _at_end(sections[i], k, capital(typed(name, group[0])), group), *sections[i + 1 :])
    reason = typed("amended.reason", group[0])
    marked = _with_reason(add(sections[i], k, capital(note(name, group[0])), group), reason, group)
    return (*sections[:i], marked, *sections[i + 1 :])


def _with_reason(section: Section, reason: Phrase, group: Group) -> Section:
    """The reason as a note: in front of a list, else behind."""
    one = Sentence(reason, in_order(Ref(entry.no) for entry in group), form=NOTE)
    held = (one, *section.sentences) if section.items else (*section.sentences, one)
    return replace(section, sentences=held, items=tuple(start + 1 for start in section.items))


def _corrects(job: Job, entry: Entry) -> bool:
    """Whether it stands in for something this reader was told; else it was added."""
    old = job.ticket.entry(entry.replaces) if entry.replaces else None
    return old is not None and not (old.shop_only and job.reader != "shop")


def _behind(section: Section, k: int, note: Phrase, group: Group) -> Section:
    one = Sentence(note, in_order(Ref(entry.no) for entry in group))
    items = tuple(start + (start > k) for start in section.items)
    return replace(section, sentences=(*section.sentences[: k + 1], one, *section.sentences[k + 1 :]), items=items)


def _at_end(section: Section, k: int, note: Phrase, _: Group) -> Section:
    line = section.sentences[k]
    longer = replace(line, parts=(*line.parts, Lit(" "), *note))
    return replace(section, sentences=(*section.sentences[:k], longer, *section.sentences[k + 1 :]))
