"""The places in a phrase and in its wording, and what no wording may say: a figure, a side or a denial of its own."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from ticket.job.book_entry import WORD_CLASSES, BookEntry
from ticket.job.regex import Regex
from ticket.job.text import visible
from ticket.language.lexicon import TYPED
from ticket.language.spans import spans
from ticket.language.tables import languages, rows

KINDS = ("n", "count", "side", "thing", "state", "code")
LONGEST = 300  # characters of a phrase or a wording
_SLOT = Regex(r"\{([a-z]+)([1-9]?)\}")
_CHOICE = Regex(r"\[([^\[\]{}|]*(?:\|[^\[\]{}|]*)+)\]")
_PART = Regex(rf"{_SLOT.pattern}|{_CHOICE.pattern}")
_WORD = Regex(r"[^\W\d_]+(?:['’/][^\W\d_]+)*")
_NUMBER = Regex(r"\d+(?:[.,/]\d+)*")
_ENDS = (".", "!", "?")
_FORMS = (2, 4)  # singular and plural, or those of two genders


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a wording: words, the name of a slot, or the forms that the thing beside it chooses from."""

    text: str = ""
    slot: str = ""
    forms: tuple[str, ...] = ()


def kind_of(slot: str) -> str:
    """The kind of a slot by its name: ``n2`` is an ``n``."""
    return slot.rstrip("123456789")


def pieces(text: str) -> tuple[Piece, ...]:
    """The pieces of a phrase or a wording in their order."""
    found: list[Piece] = []
    last = 0
    for match in _PART.finditer(text):
        if match.start() > last:
            found.append(Piece(text[last : match.start()]))
        name = f"{match[1]}{match[2]}" if match[1] else ""
        found.append(Piece(slot=name, forms=tuple(match[3].split("|")) if match[3] is not None else ()))
        last = match.end()
    return (*found, Piece(text[last:])) if last < len(text) else tuple(found)


def slots(text: str) -> tuple[str, ...]:
    """The names of the slots in their order."""
    return tuple(piece.slot for piece in pieces(text) if piece.slot)


def fixed(text: str) -> str:
    """A phrase without its slots; of forms to choose from, all."""
    return " ".join(" ".join((piece.text, *piece.forms)) for piece in pieces(text))


def tidied(entry: BookEntry) -> BookEntry:
    """An entry as it is kept: single spaces, no stop, a small first letter where a sentence began, verbs that agree."""
    typed, told = (" ".join(text.split()) for text in (entry.typed, entry.told))
    if entry.size != "word":
        told = _small_start(told.removesuffix(".").rstrip())
        typed = typed.removesuffix(".").rstrip()
        for word, many in listed(entry.language, "agrees"):
            told = re.sub(rf"(\{{thing[1-9]?\}}) (?:{word}|{many})(?![\w|])", rf"\1 [{word}|{many}]", told)
    plural, told_plural, past = (" ".join(text.split()) for text in (entry.plural, entry.told_plural, entry.past))
    return replace(entry, typed=typed, told=told, plural=plural, told_plural=told_plural, past=past)


def _small_start(told: str) -> str:
    first = _WORD.match(told)
    sentence = first is not None and len(first[0]) > 1 and first[0].istitle()
    return told[0].lower() + told[1:] if sentence or told[:2] in ("A ", "O ", "Y ") else told


def flaw(entry: BookEntry) -> str:
    """Why an entry cannot be kept, without a final stop; empty where nothing speaks against it."""
    return next(_flaws(entry), "")


def _flaws(entry: BookEntry) -> Iterator[str]:
    texts = {"phrase": entry.typed, "wording": entry.told}
    more = (entry.plural, entry.told_plural, entry.past, entry.origin)
    for name, text in texts.items():
        if not text.strip():
            yield f"the {name} is empty"
        if len(text) > LONGEST:
            yield f"the {name} is longer than {LONGEST} characters"
    if any(visible(text) != text or set(text) & set("\n\t\u2028\u2029") for text in (*texts.values(), *more)):
        yield "it holds a character that cannot be seen"
    if entry.language not in languages() or not listed(entry.language, "denial"):
        yield f"there is no language {entry.language!r}: {', '.join(languages())}"
        return
    yield from _word_flaws(entry) if entry.size == "word" else _phrase_flaws(entry)


def _word_flaws(entry: BookEntry) -> Iterator[str]:
    if entry.where not in WORD_CLASSES:
        yield f"a word is one of {', '.join(WORD_CLASSES)}, not {entry.where!r}"
    for text in (entry.typed, entry.told, entry.plural, entry.told_plural, entry.past):
        if set(text) & set("{}[]|,;:.!?()") or len(text.split()) > 4:
            yield f"{text!r} is no word"
        if _NUMBER.search(text) and text not in (entry.typed, entry.plural) and not _numbers(text) <= _typed(entry)[0]:
            yield f"{text!r} holds a figure that the phrase does not"


def _phrase_flaws(entry: BookEntry) -> Iterator[str]:
    if entry.where in WORD_CLASSES:
        yield f"{entry.where!r} is no kind of line"
    for text in (entry.typed, entry.told):
        yield from _slot_flaws(text)
    if _CHOICE.search(entry.typed):
        yield "only a wording has forms to choose from"
    if entry.size == "clause" and set(",;") & set(entry.typed):
        yield "a clause is a phrase between commas; keep this as a line"
    if not any(len(word) > 1 for word in _WORD.findall(fixed(entry.typed))):
        yield "a phrase needs a word of its own beside its places"
    there, told = Counter(slots(entry.typed)), Counter(slots(entry.told))
    for name in dict.fromkeys((*there, *told)):
        if there[name] != told[name] or there[name] != 1:
            yield f"each place stands once in the phrase and once in its wording, and {{{name}}} does not"
    if entry.told.endswith(_ENDS):
        yield "a wording has no stop at its end"
    yield from _sense_flaws(entry)


def _slot_flaws(text: str) -> Iterator[str]:
    rest = _PART.sub("", text)
    if set(rest) & set("{}[]|"):
        yield f"{text!r} holds a bracket that opens no place: {', '.join('{' + kind + '}' for kind in KINDS)}"
    names = slots(text)
    for name in names:
        if kind_of(name) not in KINDS:
            yield f"{{{name}}} is no place: {', '.join('{' + kind + '}' for kind in KINDS)}"
    several = Counter(map(kind_of, names))
    for name in names:
        if several[name] > 1:
            yield f"two places of one kind are numbered: {{{name}1}} and {{{name}2}}"
    for piece in pieces(text):
        if piece.forms and (len(piece.forms) not in _FORMS or not any(kind_of(name) == "thing" for name in names)):
            yield f"[{'|'.join(piece.forms)}] needs a thing, and two forms (one, many) or four"


def _sense_flaws(entry: BookEntry) -> Iterator[str]:
    """Figures, sides and denials that only one of the two texts has."""
    numbers, sides, denied = _typed(entry)
    told = fixed(entry.told)
    new = (_numbers(told) | _told(entry.language, told, "number")) - numbers
    if new:
        yield f"the wording says {min(new)}, and the phrase does not"
    new_sides = _told(entry.language, told, "side") - sides
    if new_sides:
        yield f"the wording says a side ({min(new_sides)}) that the phrase does not"
    denies = bool(_told(entry.language, told, "denial"))
    if denied and not denies:
        yield "the phrase denies something, and the wording does not"
    if denies and not denied and not _lacks(entry):
        yield "the wording denies something, and the phrase does not"


def _lacks(entry: BookEntry) -> bool:
    """Whether the phrase says that something is not there or does not work, and the wording does not deny just that."""
    typed, told = (set(_WORD.findall(text.lower())) for text in (_spelled(entry), fixed(entry.told)))
    lack = {word for word, _ in listed(TYPED, "lack")}
    return bool(lack & typed) and not lack & told


def _spelled(entry: BookEntry) -> str:
    """The typed phrase as typed and with its short forms spelled out."""
    text = fixed(entry.typed)
    held = spans(text, entry.where if entry.size != "word" else "found")
    return " ".join((text, *(span.base for span in held)))


def _typed(entry: BookEntry) -> tuple[frozenset[str], frozenset[str], bool]:
    """Numbers, sides, and whether it denies: of the typed phrase."""
    base = _spelled(entry)
    held = spans(fixed(entry.typed), entry.where if entry.size != "word" else "found")
    numbers = _numbers(base) | _told(TYPED, base, "number")
    denied = bool(_told(TYPED, base, "denial")) or any(span.cls in ("no", "not") for span in held)
    return numbers, _told(TYPED, base, "side"), denied


def _numbers(text: str) -> frozenset[str]:
    return frozenset(_NUMBER.findall(text))


def _told(language: str, text: str, kind: str) -> frozenset[str]:
    words = set(_WORD.findall(text.lower().replace("’", "'")))
    return frozenset(stands for word, stands in listed(language, kind) if word in words)


@cache
def listed(language: str, kind: str) -> tuple[tuple[str, str], ...]:
    """The words of one kind in what a language's wordings are held against, each with what it stands for."""
    try:
        found = rows(language, "checks")
    except OSError:
        return ()
    return tuple((word, stands) for word, held, stands in found if held == kind)
