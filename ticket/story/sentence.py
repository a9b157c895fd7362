"""What a story is made of: sentences as lists of parts, so that every figure can be traced to its entry.

A part is either text of the catalogue or a value of an entry. Only values may hold figures, codes and names;
the literals of the catalogue hold none, and a test keeps it so.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from ticket.job.reworded_sentence import READERS as READERS  # noqa: PLC0414 - the stories' readers, for whoever tells them
from ticket.job.reworded_sentence import Rewording
from ticket.job.ticket import Ticket
from ticket.job.values import Ref

TICKET = "ticket"  # the source of the few sentences that tell an absence
CAUTION = "caution:"  # prefix of the source of a caution, in front of its id

# Operations whose result is not typed text; such figures are listed beside the sentence.
DERIVED = frozenset({"count", "tolerance", "converted", "forecast", "place", "item", "meaning"})


@dataclass(frozen=True, slots=True)
class Lit:
    """Text of the catalogue."""

    text: str


@dataclass(frozen=True, slots=True)
class Val:
    """Text that stands for a field of an entry.

    Attributes:
        no: the entry; it names its ticket when that is not this one.
        field: the field of the entry's fact, such as ``run`` or ``because``.
        op: how the text comes from the field: ``told`` (cleaned words), ``typed`` (as typed, short forms spelled
            out), ``quoted`` (as typed), ``number`` (its digits, thousands grouped), ``size`` (the same without its
            sign), ``money``, ``date``, ``unit``, ``count`` (a number word), ``tolerance`` (a bound worked out from
            a typed tolerance), ``converted``, ``forecast``, ``place`` (position in a counted list),
            ``item`` (number of an item of this story), ``meaning``
            (of a code, from the tables).
        text: what is told.
    """

    no: Ref
    field: str
    op: str
    text: str


Part = Lit | Val
Phrase = tuple[Part, ...]
Source = Ref | str


@dataclass(frozen=True, slots=True)
class Derived:
    """A figure that was not typed as it stands: what it says, how it was made, and from which entry."""

    text: str
    op: str
    no: Ref


COMPUTED, LISTED, SENTENCE, BOOK, NOTE = "computed", "listed", "sentence", "book", "note"
FORMS = (COMPUTED, LISTED, SENTENCE, BOOK, NOTE)
"""How a line is told: worked out by the program in a full sentence; worked out, its name as typed; a sentence made of
typed words that are certain; a wording of the shop's book; the whole line as typed, its short forms spelled out."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence (or one line of a terse reader) and what it rests on.

    Attributes:
        parts: what is read.
        sources: entries, ``ticket`` for a told absence, or ``caution:id``; never empty.
        reworded: whose words it is in, where they are not the story's own.
        before: its own parts, where it was reworded.
        form: one of ``FORMS``.
        under: the sub-heading it stands under ("In the technician's words"), or empty.
        label: the word in front of it that says what it is ("Why:"); its parts begin with it.
        cells: of a listed one, its name, its value with the limits, and its verdict; a cell may be empty.
        own: its own sources, where it was reworded; ``sources`` then holds all that the new words rest on.
    """

    parts: Phrase
    sources: tuple[Source, ...]
    reworded: Rewording | None = None
    before: Phrase = ()
    form: str = COMPUTED
    under: str = ""
    label: str = ""
    cells: tuple[Phrase, ...] = ()
    own: tuple[Source, ...] = ()

    @property
    def text(self) -> str:
        """The sentence as it is read."""
        return text_of(self.parts)

    @property
    def generated(self) -> Phrase:
        """The story's own parts, reworded or not."""
        return self.before or self.parts

    @property
    def original(self) -> str:
        """The story's own words."""
        return text_of(self.generated)

    @property
    def derived(self) -> tuple[Derived, ...]:
        """The figures in it that were worked out, not typed."""
        return tuple(
            Derived(part.text, part.op, part.no) for part in self.parts if isinstance(part, Val) and part.op in DERIVED
        )


@dataclass(frozen=True, slots=True)
class Section:
    """Sentences under one title.

    Attributes:
        title: as it is read.
        sentences: in order; none for the head of a concern.
        id: which section it is, whatever the language.
        items: places of the sentences that open an item, where the section is a list.
        level: 2 under the head of a concern.
        plain: its title without saying that the words are typed ones, where ``title`` says so.
        noted: the sub-heading that says it then of those that still are.
    """

    title: str
    sentences: tuple[Sentence, ...]
    id: str = ""
    items: tuple[int, ...] = ()
    level: int = 1
    plain: str = ""
    noted: str = ""


@dataclass(frozen=True, slots=True)
class Story:
    """What one reader is told about one ticket.

    Attributes:
        stale: rewordings that no longer stand for what the story says or rests on; nobody is shown them.
        language: it is told in.
    """

    ticket: Ticket
    reader: str
    sections: tuple[Section, ...]
    stale: tuple[Rewording, ...] = ()
    language: str = "en"


def text_of(phrase: Iterable[Part]) -> str:
    """The text of some parts."""
    return "".join(part.text for part in phrase)


def capital(phrase: Phrase) -> Phrase:
    """The same parts with the first letter raised; quote marks and brackets before it stay."""
    for i, part in enumerate(phrase):
        bare = part.text.lstrip("“‘(")
        if bare:
            at = len(part.text) - len(bare)
            raised = part.text[:at] + bare[0].upper() + bare[1:]
            return phrase if raised == part.text else (*phrase[:i], replace(part, text=raised), *phrase[i + 1 :])
    return phrase


def words_in(phrase: Phrase) -> int:
    """How many words the parts hold, brackets left out."""
    depth = 0
    kept = []
    for letter in text_of(phrase):
        depth += (letter == "(") - (letter == ")")
        kept.append(letter if depth == 0 and letter != ")" else " ")
    return len("".join(kept).split())


def in_order(sources: Iterable[Source]) -> tuple[Source, ...]:
    """The sources without repetition, in the order first met."""
    return tuple(dict.fromkeys(sources))
