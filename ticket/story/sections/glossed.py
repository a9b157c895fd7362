"""Hard terms of the other language explained once, in brackets, where a value ends with them; at most three."""

import re
from dataclasses import replace

from ticket.story.sections.talk import Talk
from ticket.story.sentence import Lit, Phrase, Section, Val

MOST = 3
_TOLD = frozenset({"found", "cause", "unknown", "did", "proof", "later"})
_OPS = frozenset({"told", "meaning"})


def explain(talk: Talk, sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """The sections with their hard terms explained."""
    left = sorted(talk.leaves.glosses(), key=lambda row: -len(row[0]))
    told = 0
    out: list[Section] = []
    for section in sections:
        sentences = list(section.sentences)
        for i, sentence in enumerate(sentences if section.id in _TOLD else ()):
            found = _explained(sentence.parts, left) if told < MOST else None
            if found is not None:
                parts, term = found
                sentences[i] = replace(sentence, parts=parts)
                left = [row for row in left if row[0] != term]
                told += 1
        out.append(replace(section, sentences=tuple(sentences)))
    return tuple(out)


def _explained(parts: Phrase, terms: list[tuple[str, str]]) -> tuple[Phrase, str] | None:
    """The parts with one term explained behind the value that ends with it, and the term."""
    for i, part in enumerate(parts):
        if not isinstance(part, Val) or part.op not in _OPS:
            continue
        behind = parts[i + 1].text if i + 1 < len(parts) else ""
        if behind.lstrip().startswith("("):
            continue
        for term, gloss in terms:
            if re.search(rf"(?i)(?<!\w){re.escape(term)}\Z", part.text):
                return (*parts[: i + 1], Lit(f" ({gloss})"), *parts[i + 1 :]), term
    return None
