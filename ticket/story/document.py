"""A story as a plain document; its shape is ``schemas/story.json``."""

from typing import Any

from ticket.story.sentence import Sentence, Story

Json = dict[str, Any]


def to_document(story: Story) -> Json:
    """The story as JSON values: sections of sentences, each with the entries it rests on."""
    return {
        "ticket": story.ticket.number,
        "reader": story.reader,
        "sections": [
            {"title": section.title, "sentences": [_sentence(item) for item in section.sentences]}
            for section in story.sections
        ],
    }


def _sentence(item: Sentence) -> Json:
    document: Json = {"text": item.text, "sources": [str(source) for source in item.sources]}
    if item.derived:
        document["derived"] = [{"text": d.text, "op": d.op, "from": str(d.no)} for d in item.derived]
    return document
