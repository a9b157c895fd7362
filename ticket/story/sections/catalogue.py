"""Sentence patterns of one language by id: English from ``catalogue_en.tsv``, others from gettext catalogues.

In a gettext catalogue ``msgctxt`` is the id, ``msgid`` the English (so that a translator sees what is meant) and
``msgstr`` the translation. An id with a number behind a bar (``did|2``) is a further variant, for when the sentence
before opened alike. The header's ``Language`` names the locale of numbers, dates and lists.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.regex import Regex
from ticket.story.sentence import Lit, Part, Phrase, Val

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog as Babel

_SLOT = Regex(r"\{([a-z0-9]+)\}")
_ENGLISH = Path(__file__).parent.parent / "catalogue_en.tsv"

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
    plural: Callable[[int], int]

    def has(self, name: str) -> bool:
        """Whether there is such a pattern."""
        return name in self.patterns

    def first(self, *names: str) -> str:
        """The first of some ids that there is a pattern for; the last one where there is none."""
        return next((name for name in names if name in self.patterns), names[-1])

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
        return _compiled(self.rule)(n)


@cache  # a story asks for the form of many numbers; the rule is text that gettext compiles anew each time
def _compiled(rule: str) -> Callable[[int], int]:
    from gettext import c2py

    return c2py(rule)


@cache
def _pieces(pattern: str) -> tuple[str, ...]:
    """Words and names of slots, in turn."""
    return tuple(_SLOT.split(pattern))


def filled(pattern: str, slots: dict[str, Slot]) -> Phrase:
    """The pattern as parts: its own text, and what stands in its slots."""
    out: list[Part] = []
    for i, piece in enumerate(_pieces(pattern)):
        if i % 2 == 0:
            if piece:
                out.append(Lit(piece))
            continue
        held = slots[piece]
        out += [held] if isinstance(held, Lit | Val) else held
    return tuple(out)


@cache
def english() -> Catalogue:
    """The English patterns; a third column holds the plural form."""
    patterns: dict[str, tuple[str, ...]] = {}
    text = _ENGLISH.read_text(encoding="utf-8")
    for line in [line for line in text.split("\n") if line and not line.startswith("#")][1:]:
        name, *forms = line.split("\t")
        patterns[name] = tuple(form for form in forms if form)
    return Catalogue("en_US", patterns, lambda n: int(n != 1))


def read(path: Path) -> Catalogue:
    """A catalogue from its file. What nobody translated yet is told in English."""
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        held = read_po(file, abort_invalid=True)
    own = dict(_patterns(held))
    needed = {name: forms for name, forms in english().patterns.items() if not optional(name)}
    return Catalogue(str(held.locale_identifier or path.stem), needed | own, Plural(held.plural_expr))


def optional(name: str) -> bool:
    """Whether a language may do without a pattern: it says more closely what a pattern that all have says too."""
    head, _, tail = name.partition(".")
    return name in _ENGLISH_ONLY or (head in _CLOSER and tail.partition(".")[0] in _QUANTITIES)


_ENGLISH_ONLY = frozenset(
    {"title.noted", "code.unit", "told.way.by", "gloss.is", "code.truck", "code.truck|2", "code.truck.unnamed"}
)
_CLOSER = frozenset({"reading", "noun", "verdict", "brief"})
_QUANTITIES = frozenset(
    "thickness tread drop drop_along loss compression leakdown amount resistance temperature gap play".split()
)


def _patterns(held: "Babel") -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every pattern of a file: its translation, or its English where there is none."""
    for message in held:
        if message.context:
            told = message.string if message.string and not message.fuzzy else message.id
            forms = (told,) if isinstance(told, str) else tuple(told)
            english_forms = (message.id,) if isinstance(message.id, str) else tuple(message.id)
            yield message.context, forms if all(forms) else english_forms
