"""Sentence patterns of one language, from a gettext catalogue.

``msgctxt`` is the id of a pattern, ``msgid`` its English (so that a translator sees what is meant), ``msgstr`` the
translation. An id with a number behind a bar (``reading.low|2``) is a further variant, for when the sentence before
opened alike. The header's ``Language`` names the locale of numbers, dates and lists.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from babel.messages.catalog import Catalog as Babel
from babel.messages.pofile import read_po

from ticket.job.regex import Regex
from ticket.story.sentence import Lit, Part, Phrase, Val

_TEMPLATE = Path(__file__).parent.parent / "locale" / "story.pot"
_SLOT = Regex(r"\{([a-z0-9]+)\}")

Slot = Phrase | Part


@dataclass(frozen=True)
class Catalogue:
    """The patterns of one language.

    Attributes:
        locale: for numbers, dates and lists, such as ``es_US``.
        patterns: by id, one form each, or one for each plural of the language.
        plural: which form belongs to a number.
    """

    locale: str
    patterns: dict[str, tuple[str, ...]]
    plural: "Plural"

    def has(self, name: str) -> bool:
        """Whether there is such a pattern."""
        return name in self.patterns

    def say(self, name: str, /, n: int = 1, **slots: Slot) -> Phrase:
        """A pattern with its slots filled; the form that belongs to ``n``.

        Raises:
            KeyError: for an unknown pattern or an unfilled slot: a fault of the files, not of a ticket.
        """
        return filled(self._form(name, n), slots)

    def variants(self, name: str, /, n: int = 1, **slots: Slot) -> tuple[Phrase, ...]:
        """All variants of a pattern, in order of liking."""
        out = [self.say(name, n, **slots)]
        while f"{name}|{len(out) + 1}" in self.patterns:
            out.append(self.say(f"{name}|{len(out) + 1}", n, **slots))
        return tuple(out)

    def text(self, name: str) -> str:
        """The text of a pattern without slots."""
        return self.patterns[name][0]

    def _form(self, name: str, n: int) -> str:
        forms = self.patterns[name]
        return forms[min(self.plural(n), len(forms) - 1)]


@dataclass(frozen=True)
class Plural:
    """The plural rule of a catalogue's header, compiled by the standard library's gettext."""

    rule: str

    def __call__(self, n: int) -> int:
        """The place of the form for a number."""
        from gettext import c2py

        return int(c2py(self.rule)(n))


def filled(pattern: str, slots: dict[str, Slot]) -> Phrase:
    """The pattern as parts: its own text, and what stands in its slots."""
    out: list[Part] = []
    for i, piece in enumerate(_SLOT.split(pattern)):
        if i % 2 == 0:
            if piece:
                out.append(Lit(piece))
            continue
        held = slots[piece]
        out += [held] if isinstance(held, Lit | Val) else held
    return tuple(out)


def read(path: Path) -> Catalogue:
    """A catalogue from its file. What nobody translated yet is told in the English of the template."""
    with _TEMPLATE.open("rb") as file:
        patterns = dict(_patterns(read_po(file, abort_invalid=True)))
    with path.open("rb") as file:
        held = read_po(file, abort_invalid=True)
    patterns |= dict(_patterns(held))
    return Catalogue(str(held.locale_identifier or path.stem), patterns, Plural(held.plural_expr))


def _patterns(held: "Babel") -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every pattern of a file: its translation, or its English where there is none."""
    for message in held:
        if message.context:
            told = message.string if message.string and not message.fuzzy else message.id
            forms = (told,) if isinstance(told, str) else tuple(told)
            english = (message.id,) if isinstance(message.id, str) else tuple(message.id)
            yield message.context, forms if all(forms) else english
