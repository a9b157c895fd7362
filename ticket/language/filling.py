"""What may stand in the places of a phrase, and how it is told in the wording."""

from ticket.job.book_entry import BookEntry
from ticket.job.regex import Regex
from ticket.language.certain import taught_words
from ticket.language.clauses import named_things
from ticket.language.figures import figure
from ticket.language.groups import Doubt, is_plural
from ticket.language.lexicon import TYPED
from ticket.language.nouns import Untold, group_noun, things_text
from ticket.language.phrasebook import Phrases
from ticket.language.records import Span, Things
from ticket.language.slots import Piece, kind_of, listed, pieces
from ticket.language.voices import voice
from ticket.readings.units import find

Filling = tuple[tuple[str, tuple[Span, ...]], ...]
"""The spans in each slot, in the order of the phrase."""

_SIGNS = frozenset("mm cm m km g kg s min h bar kPa MPa V mV kV A mA W kW L mL psi rpm N Nm".split())
"""Signs of units that are told in every language: the international system, and two of the trade."""

_CLASSES = ("m", "f", "mp", "fp")  # the order of four forms to choose from
_LAST_WORD = Regex(r"(?:^|\s)([^\W\d_]+)\s$")


def fits(kind: str, spans: tuple[Span, ...], book: Phrases) -> bool:
    """Whether these spans may stand in a slot of a kind."""
    first = spans[0]
    if kind == "thing":
        return things(spans, book) is not None
    if kind == "n":
        return first.cls == "figure"
    if kind == "state":
        return first.cls in ("state", "quality") or "state" in first.also
    return first.cls == kind


def things(spans: tuple[Span, ...], book: Phrases) -> Things | None:
    """The certain things that spans name, and nothing else."""
    if all(span.cls == "side" for span in spans):
        return None
    try:
        return named_things(spans, taught_words(spans, book))
    except Doubt:
        return None


def told(entry: BookEntry, filled: Filling, book: Phrases) -> str:
    """A wording with its places filled, without capital and stop; empty where the language has no word for one."""
    held = dict(filled)
    out = ""
    try:
        for i, piece in enumerate(pieces(entry.told)):
            if piece.slot:
                form = ""
                if kind_of(piece.slot) == "thing":
                    form, out = _behind(entry.language, out)
                out += _slot(piece.slot, i, entry, held, form, book)
            elif piece.forms:
                out += _chosen(piece, i, entry, held, book)
            else:
                out += piece.text
    except Untold:
        return ""
    return out


def form_behind(language: str, before: str) -> str:
    """The form that a thing takes behind what is told so far: ``the``, ``bare``, ``of`` ..."""
    return _behind(language, before)[0]


def _behind(language: str, before: str) -> tuple[str, str]:
    """That form, and what is told so far without a word that the form brings."""
    last = _LAST_WORD.search(before)
    form = dict(listed(language, "before")).get(last[1].lower(), "the") if last else "the"
    if last and form not in ("the", "bare"):
        return form, before[: last.start(1)]
    return form, before


def thing_told(spans: tuple[Span, ...], language: str, form: str, book: Phrases) -> str:
    """A thing in one form; empty where it is no certain thing, or the language has no word for it."""
    held = things(spans, book)
    try:
        return things_text(held, voice(language), form, book) if held else ""
    except Untold:
        return ""


def _slot(
    slot: str, at: int, entry: BookEntry, held: dict[str, tuple[Span, ...]], form: str, book: Phrases
) -> str:  # fmt: skip
    spans, kind = held[slot], kind_of(slot)
    first = spans[0]
    words: str | None = first.text
    if kind == "thing":
        words = thing_told(spans, entry.language, form, book)
    elif kind == "n":
        words = figure(first.value, first.unit, entry.language) or _with_sign(first)
    elif kind == "side":
        words = _side(first.base, entry, at, held, book)
    elif kind == "state":
        words = voice(entry.language).state(first.base, _class(entry, at, held, book)[0])
    if not words:
        raise Untold(first.text)
    return words


def _with_sign(span: Span) -> str | None:
    """A figure with the sign of its unit, which is read in every language; none for a unit that is a word."""
    unit = find(span.unit)
    return f"{span.value}\u00a0{unit.sign}" if unit and (unit.sign in _SIGNS or not unit.sign.isalpha()) else None


def _side(side: str, entry: BookEntry, at: int, held: dict[str, tuple[Span, ...]], book: Phrases) -> str:
    if entry.language == TYPED:
        return side
    told = [voice(entry.language).quality(word, _class(entry, at, held, book)[0]) for word in side.split()[::-1]]
    if None in told:
        raise Untold(side)
    return " ".join(word for word in told if word)


def _chosen(piece: Piece, at: int, entry: BookEntry, held: dict[str, tuple[Span, ...]], book: Phrases) -> str:
    cls, many = _class(entry, at, held, book)
    if len(piece.forms) == 2:
        return piece.forms[many]
    cls = cls.replace("fa", "f")  # "el agua": another article, the same agreement
    if cls not in _CLASSES:
        raise Untold(cls)
    if many and not cls.endswith("p"):
        cls += "p"
    return piece.forms[_CLASSES.index(cls)]


def _class(entry: BookEntry, at: int, held: dict[str, tuple[Span, ...]], book: Phrases) -> tuple[str, bool]:
    """The class of nouns of the thing in front of a place of the wording, else of the one behind; and if it is several.

    Without a thing, what stands for itself.
    """
    parts = pieces(entry.told)
    front = [one.slot for one in parts[:at] if kind_of(one.slot) == "thing"]
    behind = [one.slot for one in parts[at:] if kind_of(one.slot) == "thing"]
    if not front and not behind:
        return "m", False
    named = things(held[front[-1] if front else behind[0]], book)
    if named is None:
        raise Untold(entry.typed)
    group = named.groups[-1]
    many = is_plural(named) or group.count not in ("", "1", "one")
    return group_noun(group, voice(entry.language), book).cls, many
