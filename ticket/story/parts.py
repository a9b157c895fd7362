"""One part line in words: "two new front discs", "3.2 liters of coolant", "one set of new front brake pads"."""

from ticket.job.entry import Entry
from ticket.job.kinds import Used
from ticket.job.numbers import whole
from ticket.job.regex import Regex
from ticket.readings.units import find
from ticket.story.catalogue import say
from ticket.story.context import told
from ticket.story.sentence import Phrase
from ticket.story.words import tag
from ticket.story.words.clauses import noun_group
from ticket.story.words.compare import agree
from ticket.story.words.forms import number_word
from ticket.story.words.lexicon import plural_of
from ticket.story.words.spell import join, measure, spell
from ticket.story.words.tokens import CODE, WORD, Token

_PIECES = frozenset({"", "x", "pc", "pcs", "piece", "pieces", "ea", "each"})
_SETS = frozenset(
    {"set", "sets", "pair", "pairs", "can", "cans", "bottle", "bottles", "tube", "tubes", "roll", "rolls"}
)
_TOLD_CONDITIONS = frozenset({"new", "used", "rebuilt", "reconditioned"})
_OWN = "customer's own"
_NUMBER = Regex(r"[A-Za-z]+-?[0-9][0-9A-Za-z-]*\Z")


def part_words(entry: Entry, fact: Used) -> Phrase:
    """The part with its count or measure and its condition; never its number or price."""
    unit = fact.unit.lower()
    count = whole(fact.amount)
    several = (unit in _PIECES and count > 1) or unit in _SETS
    words = _description(fact.text, several=several)
    if fact.condition in _TOLD_CONDITIONS and not words.startswith(f"{fact.condition} "):
        words = f"{fact.condition} {words}"
    if fact.condition == _OWN:
        words = f"{words} of your own"
    described = told(entry, "text", words)
    if not fact.amount:
        return say("used.plain", words=described)
    if unit in _SETS and count:
        base = unit.removesuffix("s")
        sets = told(entry, "unit", plural_of(base) if count > 1 else base)
        return say("used.set", count=_count(entry, count, fact.amount), set=sets, words=described)
    if unit in _PIECES and count:
        return say("used.item", count=_count(entry, count, fact.amount), words=described)
    if unit in _PIECES or find(fact.unit) is None:
        amount = told(
            entry, "amount", f"{fact.amount} {fact.unit}".strip() if unit not in _PIECES else fact.amount, "typed"
        )
        return say("used.item", count=amount, words=described)
    return say("used.measure", amount=told(entry, "amount", measure(fact.amount, fact.unit), "number"), words=described)


def _count(entry: Entry, count: int, typed: str) -> Phrase:
    word = number_word(count)
    return (told(entry, "amount", word if word != str(count) else typed, "count"),)


def _description(text: str, *, several: bool) -> str:
    """The description in plain words, plural for several pieces; the typed words where in doubt."""
    pieces = spell(text)
    if not pieces:
        return _shown(text)
    while len(pieces) > 1 and pieces[0].kind == CODE and _NUMBER.match(pieces[0].text):
        pieces = pieces[1:]
    found = noun_group(pieces)
    if found is None:
        return join(pieces)
    group, _ = found
    words = group.bare()
    if several and not group.many and group.noun.counted:
        words = _plural(words)
    told_words = f"{words} {join(pieces[group.end :])}".strip()
    typed = " ".join(piece.text for piece in pieces)
    return told_words if agree(typed, told_words) else join(pieces)


def _plural(words: str) -> str:
    """The head noun in the plural; it stands before " of ..." or last."""
    head, of, rest = words.partition(" of the ")
    first, _, last = head.rpartition(" ")
    noun = tag.noun(Token(last, WORD))
    if noun is None:
        return words
    many = plural_of(last)
    return f"{first} {many}".strip() + of + rest


def _shown(text: str) -> str:
    return f"“{text}”"
