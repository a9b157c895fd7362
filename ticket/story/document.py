"""A story as a plain document; its shape is ``schemas/story.json``."""

from typing import Any

from ticket.job.codec import instant
from ticket.job.values import Ref
from ticket.story.sentence import Sentence, Source, Story

Json = dict[str, Any]


def to_document(story: Story) -> Json:
    """The story as JSON values: sections of sentences, each with the entries it rests on."""
    return {
        "ticket": story.ticket.number,
        "reader": story.reader,
        "language": story.language,
        "sections": [
            {"title": section.title}
            | ({"level": section.level} if section.level > 1 else {})
            | {"sentences": [_sentence(item) for item in section.sentences]}
            for section in story.sections
        ],
    }


def _sentence(item: Sentence) -> Json:
    document: Json = {"text": item.text, "form": item.form, "sources": [_source(source) for source in item.sources]}
    if item.under:
        document["under"] = item.under
    if item.derived:
        document["derived"] = [{"text": d.text, "op": d.op, "from": _source(d.no)} for d in item.derived]
    if item.reworded:
        who = item.reworded
        document["reworded"] = {"by": who.by, "at": instant(who.at), "original": who.original}
        if who.merges:
            document["reworded"]["merges"] = [one.original for one in who.merges]
        if who.unproved:
            document["reworded"]["unproved"] = who.unproved
    return document


def _source(source: Source) -> int | str:
    """An entry of this ticket as its number, everything else as text."""
    return source.no if isinstance(source, Ref) and not source.ticket else str(source)
