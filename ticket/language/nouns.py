"""Groups told as nouns of a language, with their sides, qualities, counts and articles."""

from dataclasses import replace

from ticket.language.letters import words_of
from ticket.language.phrasebook import Phrases
from ticket.language.records import Group, Span, Things
from ticket.language.voice import Noun, Voice

_ARTICLES = frozenset({"the", "a", "an"})
_BARE = frozenset({"bare", "to", "of", "in", "from", "into"})


class Untold(Exception):
    """A language has no telling for these words."""


def things_text(held: Things, words: Voice, form: str, book: Phrases) -> str:
    """Groups with an article each. ``named`` takes ``a`` for what is broken or a fault, else ``the``."""
    told: list[str] = []
    if words.behind and len(held.groups) > 1 and len({_is_defect(group) for group in held.groups}) > 1:
        raise Untold(held.link)  # "leaking pump or hose": the quality may be said of both, and agrees with one
    for i, group in enumerate(held.groups):
        own = form
        if form == "named":
            own = "a" if _is_defect(group) else "bare" if i and _is_defect(held.groups[0]) else "the"
        if form in _BARE and i and form != "bare":
            own = "the"
        if i and len(held.groups) == 2 and not words.behind and own in ("the", "a") and _shares(held.groups[0], group):
            own = "bare"
        if i and form == "named" and own == "the" and not words.behind and _goes_on(held.groups[0], group):
            own = "bare"
        told.append(group_text(group, words, own, book))
    return words.joined(told, words.word(held.link))


def _shares(first: Group, other: Group) -> bool:
    """Whether an article in front of the first stands for the other: "the right rear pads and rotors"."""
    fresh = first.spans[0].base in ("new", "used", "remanufactured")
    sided = bool(first.side and not first.behind)
    return (fresh or sided) and not (other.side or other.determiner or other.count)


def _goes_on(first: Group, other: Group) -> bool:
    """Whether what is wrong with the first may be meant of a bare one behind it: "a corroded socket and ground"."""
    return _is_defect(first) and len(other.spans) == 1 and not (other.side or other.determiner or other.count)


def _is_defect(group: Group) -> bool:
    words = words_of(group.head)
    if any(word.cls == "matter" or word.kind == "fault" for word in words):
        return True
    front = [word for span in group.spans[:-1] for word in words_of(span)]
    return any((word.cls == "state" and word.sense != "=") or word.kind == "bad" for word in front)


def group_text(group: Group, words: Voice, form: str, book: Phrases) -> str:
    """One group with its article, determiner or count, and a lone side behind it."""
    noun = group_noun(group, words, book)
    told: str | None
    if group.determiner and not (form == "bare" and group.determiner in _ARTICLES):
        told = words.determined(group.determiner, _counted(group, noun, words))
    elif group.count:
        told = (
            words.counted(group.count, noun)
            if group.count.isdecimal() or not words.behind
            else _counted_text(group, noun, words)
        )
    elif form == "a" and (noun.uncounted or any(word.cls == "matter" for word in words_of(group.head))):
        told = noun.text
    else:
        told = words.put(form, noun)
    if told is None:
        raise Untold(group.determiner or group.count)
    if form in _BARE - {"bare"} and (group.count or (group.determiner and group.determiner != "the")):
        told = words.after(form, told)
    if group.behind and group.side:
        record = "sided" if group.side in ("left", "right") else "sided end"
        side = words.quality(group.side, "m") if words.behind else group.side
        template = words.template(record)
        if side is None or template is None:
            raise Untold(group.side)
        told = template.replace("{x}", told).replace("{y}", side)
    return told


def _counted(group: Group, noun: Noun, words: Voice) -> Noun:
    if not group.count:
        return noun
    told = words.counted(group.count, noun)
    if told is None:
        raise Untold(group.count)
    return replace(noun, text=told)


def _counted_text(group: Group, noun: Noun, words: Voice) -> str | None:
    return words.determined(group.count, noun)


def group_noun(group: Group, words: Voice, book: Phrases) -> Noun:
    """The noun of a group with its qualities and its side, without article."""
    last = max(i for i, span in enumerate(group.spans) if i == 0 or span.cls not in ("label", "count"))
    labels = list(group.spans[last + 1 :])
    label = "".join(f" {label_text(span, words)}" for span in labels)
    held = list(group.spans[: last + 1])
    if words.behind:
        return _behind(group, held, words, book, label)
    noun = _in_order(group, held, words, book)
    return replace(noun, text=noun.text + label)


def label_text(span: Span, words: Voice) -> str:
    """A name or a number as it is told: ``#4`` is number 4."""
    return f"{words.word('number')} {span.text[1:].strip()}" if span.text.startswith("#") else span.text


def _in_order(group: Group, held: list[Span], words: Voice, book: Phrases) -> Noun:
    """Words in typed order, the side in front."""
    head = words.noun(held[-1].base) or _taught(held[-1], words, book)
    if head is None:
        raise Untold(held[-1].text)
    front: list[str] = []
    states = next((i for i, span in enumerate(held[:-1]) if not _is_state(span)), len(held) - 1)
    for i, span in enumerate(held):
        if i == states and group.side and not group.behind:
            front.append(group.side)
        if i == len(held) - 1:
            break
        told = _quality(span, words, head.cls)
        if told is None:
            raise Untold(span.text)
        front.append(told)
    return replace(head, text=" ".join([*front, head.text]))


def _is_state(span: Span) -> bool:
    """A state that stands in front of its noun, and of the side of it: "a broken left front spring"."""
    words = words_of(span)
    return any(word.cls == "state" for word in words) and not any(word.cls in ("quality", "thing") for word in words)


def _quality(span: Span, words: Voice, cls: str) -> str | None:
    if span.cls in ("label", "count"):
        return label_text(span, words)
    if span.cls == "figure":
        return words.rated(span.value, span.unit)
    if span.cls == "unknown":
        return words.unlisted(span.text if span.text.isupper() else span.base)
    return words.quality(span.base, cls)


def _taught(span: Span, words: Voice, book: Phrases) -> Noun | None:
    entry = book.word(span.base, words.language)
    return Noun(entry.told, entry.cls or "s", entry.kind == "matter") if entry is not None else None


def _behind(group: Group, held: list[Span], words: Voice, book: Phrases, label: str) -> Noun:
    """The longest listed name at the end, then qualities behind it, then "of" each noun in front.

    A side in front of two nouns that are not listed as one name belongs to either: no telling.
    """
    for start in range(len(held)):
        name = " ".join(span.base for span in held[start:])
        noun = words.noun(name) or (_taught(held[-1], words, book) if start == len(held) - 1 else None)
        if noun is not None:
            break
    else:
        raise Untold(held[-1].base)
    front = held[:start]
    qualities: list[str] = []
    nouns: list[tuple[Span, Noun]] = []
    for span in reversed(front):
        told = words.quality(span.base, noun.cls)
        if told is not None and not nouns:
            qualities.append(told)
        elif (other := words.noun(span.base)) is not None:
            nouns.append((span, other))
        else:
            raise Untold(span.base)
    if group.side and not group.behind:
        if nouns:
            raise Untold(f"{group.side} {name}")
        for side in reversed(group.side.split(" ")):
            told = words.quality(side, noun.cls)
            if told is None:
                raise Untold(side)
            qualities.append(told)
    if len(nouns) > 1 or (nouns and label):
        raise Untold(" ".join(span.base for span in held))
    text = " ".join([noun.text, *qualities]) + label
    for span, other in nouns:
        text += f" {words.put('of', other if _is_part(span) else Noun(other.text, '*'))}"
    return replace(noun, text=text)


def _is_part(span: Span) -> bool:
    """A part of the vehicle, which takes its article behind "of": no fluid, no quantity, no system."""
    words = words_of(span)
    return any(word.kind == "part" for word in words) and not any(word.kind in ("mass", "quantity") for word in words)
