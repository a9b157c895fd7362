"""Which kinds of labour a typed text holds, by the table of labour of the dictionary."""

from collections.abc import Iterator

from support.faithful.language import Language, Words, Work
from support.faithful.tokens import Text


def labour_of(text: Text, language: Language) -> Iterator[Work]:
    """Verbs of a line of labour: in first place of a clause, or behind "and"; elsewhere the word is a noun."""
    joining = {*language.data["joining"], *language.data["work"]["bare"]}
    nouns: dict[str, str] = language.data["work"]["nouns"]
    for i, key in enumerate(text.keys):
        between = text.raw[text.words[i - 1].end : text.words[i].start] if i else ""
        starts = i == 0 or text.clause[i] != text.clause[i - 1] or text.keys[i - 1] in joining or not between.isspace()
        for words, row in typed_at(text, i, language):
            if starts or len(words) > 1:
                yield row
        if key in nouns:
            yield from (row for _, row in language.typed_work.get(language.stem(nouns[key]), ()))


def typed_at(text: Text, i: int, language: Language) -> Iterator[tuple[Words, Work]]:
    """The kinds of labour whose typed words stand at a word, in any inflection."""
    for words, row in language.typed_work.get(text.stems[i], ()):
        if i + len(words) <= len(text.words) and all(
            language.stem(word) == text.stems[i + k] for k, word in enumerate(words)
        ):
            yield words, row


def seen_in(text: Text, language: Language) -> Iterator[Work]:
    """Findings and tests hold acts of looking in any place, other acts only in the past form ("codes cleared")."""
    looking = set(language.list("work", "looking"))
    for i, key in enumerate(text.keys):
        for words, row in typed_at(text, i, language):
            if row.kind in looking or key != words[0]:
                yield row
