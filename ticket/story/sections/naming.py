"""What an English story calls the thing that was measured, with the quantity its sentence tells."""

from dataclasses import dataclass
from functools import lru_cache

from ticket.language.forms import plural
from ticket.readings.units import find
from ticket.story.readings import Reading
from ticket.story.words import tag
from ticket.story.words.things import position, thing
from ticket.story.words.tokens import WORD, Token


@dataclass(frozen=True, slots=True)
class Named:
    """What was measured.

    Attributes:
        text: its name with the article.
        many: the name is a plural.
        shapes: ways to say what it measured, the closest first (``thickness``, then ``was``).
        held: the conditions it was taken under, or empty.
        tail: what stands behind the figure (" in 15 seconds").
        cls: class of its noun, where the language has such.
        quantity: it names something that is measured, so that a bare figure of it says something.
    """

    text: str
    many: bool = False
    shapes: tuple[str, ...] = ("was",)
    held: str = ""
    tail: str = ""
    cls: str = ""
    quantity: bool = True


@lru_cache(maxsize=1024)
def named(what: str, unit: str, label: str) -> Named | None:
    """ "the left front disc", measured in millimetres: its thickness."""
    found = thing(what, unit, label)
    if found is None or not found.name:
        return None
    tail = found.tail
    if found.quantity == "loss" and _column(unit):
        tail = f" of pressure{tail}"
    noun = tag.noun(Token(found.head, WORD))
    quantity = found.quantity != "other" or (noun is not None and noun.kind == "quantity")
    return Named(found.name, found.many, (found.quantity, "was"), found.conditions, tail, quantity=quantity)


def shared_name(reading: Reading) -> Named | None:
    """The name that the readings of a run share, in the plural."""
    found = named(reading.what, reading.unit, "")
    whole = thing(reading.what, reading.unit) if found is None else None
    if whole is not None and whole.head == "cylinder":
        return Named("the cylinders", True, (whole.quantity, "was"), whole.conditions)
    if found is None or found.many or found.shapes[0] in ("compression", "leakdown"):
        return found
    head, _, last = found.text.rpartition(" ")
    noun = tag.noun(Token(last, WORD))
    if noun is None or noun.kind == "quantity" or not noun.counted:
        return found
    return Named(f"{head} {plural(last)}", True, found.shapes, found.held, found.tail, quantity=found.quantity)


def _column(unit: str) -> bool:
    """A pressure told as the height of a column: "9.4 inches of water of pressure"."""
    known = find(unit)
    return known is not None and " of " in known.many


def spoken(label: str) -> str:
    """A position in words: "left front inner", "cylinder 3"."""
    return (position(label) or label) if label else ""


def one_of(name: str) -> str:
    """The name of several things as that of one of them: "front pads" as "front pad"."""
    head, comma, rest = name.partition(",")
    return head.rstrip().removesuffix("s") + comma + rest
