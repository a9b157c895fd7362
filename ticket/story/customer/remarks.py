"""What was seen beside a reading, told of the same thing: ", and had deep grooves"."""

from dataclasses import dataclass, replace

from ticket.job.kinds import Found, Proof
from ticket.story.catalogue import say
from ticket.story.context import told
from ticket.story.readings import Reading
from ticket.story.sentence import Phrase
from ticket.story.words import tag
from ticket.story.words.clauses import clauses, noun_group
from ticket.story.words.compare import agree
from ticket.story.words.spell import spell
from ticket.story.words.things import thing
from ticket.story.words.tokens import WORD, Token

_HOLDERS = frozenset({"thickness", "tread", "gap", "other"})
_IN_ORDER = frozenset("ok okay good fine normal".split())


@dataclass(frozen=True, slots=True)
class Remark:
    """A remark beside a reading.

    Attributes:
        inside: what joins the sentence of the reading (", and had deep grooves").
        own: a sentence of its own, without its stop.
        contradicts: a good word beside a bad verdict: neither is told, the shop is asked.
    """

    inside: Phrase = ()
    own: Phrase = ()
    contradicts: bool = False


def remark_of(reading: Reading) -> Remark:
    """The remark of a single reading; empty where there is none or its shape is unknown."""
    fact = reading.entry.fact
    if reading.together > 1:
        reading = replace(reading, thing=thing(reading.what, reading.unit), label="")
    text = fact.seen if isinstance(fact, Found | Proof) else ""
    pieces = spell(text) if text else None
    if not pieces:
        return Remark()
    if reading.bad and len(pieces) == 1 and pieces[0].low in _IN_ORDER:
        return Remark(contradicts=True)
    acts = (verb := tag.verb(pieces[0])) is not None and verb.form == "third" and len(pieces) > 1
    alone = None if acts else noun_group(pieces)
    if alone is not None and not alone[0].given and reading.quantity in _HOLDERS and not _quantity_name(reading):
        had = told(reading.entry, "seen", (alone[0].any() if not alone[0].many else alone[0].bare()) + alone[1])
        return Remark(inside=say("remark.had", remark=had))
    return _of_thing(reading, text, pieces, acts=acts)


def _quantity_name(reading: Reading) -> bool:
    noun = tag.noun(Token(reading.thing.head, WORD)) if reading.thing else None
    return noun is not None and noun.kind == "quantity"


def subject_of(reading: Reading) -> str:
    """What a remark speaks of: the thing, without the quantity that was measured ("the fan" of "the fan current")."""
    if reading.thing is None or not reading.thing.bare:
        return ""
    words = reading.thing.bare.split(" ")
    head = words.index(reading.thing.head) if reading.thing.head in words else -1
    noun = tag.noun(Token(reading.thing.head, WORD))
    if noun is not None and noun.kind == "quantity" and head > 0:
        return " ".join(words[:head])
    return "" if noun is not None and noun.kind == "quantity" else reading.thing.bare


def _of_thing(reading: Reading, text: str, pieces: tuple[Token, ...], *, acts: bool) -> Remark:
    own = None if acts else clauses(pieces)
    if own is not None and own[0].form != "bare":
        return Remark()
    subject = subject_of(reading)
    lead = spell(subject) if subject else None
    if not lead:
        return Remark()
    found = clauses((*lead, *pieces))
    if not found or len(found) != 1 or found[0].form not in ("state", "verb"):
        return Remark()
    if not agree(f"{subject} {text}", found[0].text):
        return Remark()
    rest = " ".join(piece for piece in (found[0].verb, found[0].rest) if piece)
    name = reading.thing.bare if reading.thing else ""
    if subject == name and reading.quantity in _HOLDERS:
        return Remark(inside=say("remark.was", rest=told(reading.entry, "seen", rest)))
    return Remark(own=(told(reading.entry, "seen", found[0].text),))
