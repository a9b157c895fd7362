"""What each word can be: noun, state, verb and so on. One word may carry several tags; the grammar chooses."""

from functools import cache

from ticket.story.words.lexicon import Noun, State, Verb, adjectives, nouns, states, verbs, works
from ticket.story.words.tokens import CODE, MARK, NUMBER, QUOTE, STATE, UNIT, WORD, Token

PREPOSITIONS = frozenset(
    """at in on of to from with without under over near between behind beside before after during through against
    by around inside outside above below along across into onto for per since toward towards past beyond beneath
    within among despite upon than like until via""".split()
)
SUBORDINATORS = frozenset(
    "whether when while until because if where whenever unless once since after before as".split()
)
DETERMINERS = frozenset(
    """the a an this that these those its his her their your our both all each every any some either little much
    few more less several most other another enough only""".split()
)
NEGATIONS = frozenset("not no never none without nor neither cannot".split())
AUXILIARIES = frozenset("is are was were has have had does do did be been being".split())
MODALS = frozenset("can could may might must should will would cannot".split())
CONTRACTIONS = {
    "won't": "will not", "can't": "cannot", "doesn't": "does not", "don't": "do not", "didn't": "did not",
    "isn't": "is not",
    "aren't": "are not", "wasn't": "was not", "weren't": "were not", "hasn't": "has not", "couldn't": "could not",
    "wont": "will not", "cant": "cannot", "doesnt": "does not", "dont": "do not", "didnt": "did not", "isnt": "is not",
}  # fmt: skip
ADVERBS = frozenset(
    """slightly very badly still again also too only just often sometimes always never almost about nearly well
    together apart back here there once twice half almost quite rather completely fast hard barely away forward
    sideways halfway only mostly longer faster slower earlier later first inside outside below above behind up
    down out off on in over far now then even""".split()
)
PRONOUNS = frozenset(
    "it they them he she you we i this that which who what everything nothing something anything none".split()
)
SIDES = frozenset("left right front rear".split())
COUNTS = {
    word: i + 1 for i, word in enumerate("one two three four five six seven eight nine ten eleven twelve".split())
}
PARTICLES = frozenset(
    "through out off open closed shut apart away down up in on loose fast over back together free".split()
)
# Words of both lists that are verbs only if they agree with the thing before them ("relay clicks", "hoses leak").
VERB_FIRST = frozenset(
    """bang bounce chatter chirp click clunk crank drag drip drop feel flash flicker flutter glow growl hiss hum
    judder leave buzz drone groan stumble jump knock leak misfire pass rest ride work bump blink chime climb draw
    drift flap freeze jerk
    jolt lag rock shake skid skip slip sway swing thud tilt overheat pop pull rattle roar rub rumble run sag
    shudder smell smoke sound spark spread squeak squeal stall start steam stop surge thump tick turn wander
    weep whine whistle wobble fade flow""".split()
)


def contracted(piece: Token) -> list[Token]:
    """``won't`` as ``will not``; other tokens as they are."""
    full = CONTRACTIONS.get(piece.low.replace("’", "'")) if piece.kind == WORD else None
    return [Token(word, WORD, known=True) for word in full.split()] if full else [piece]


def noun(piece: Token) -> Noun | None:
    """The noun this word is; a hyphenated word is the noun it ends in."""
    if piece.kind != WORD:
        return None
    found = nouns().get(piece.low)
    if found is None and "-" in piece.low:
        return nouns().get(piece.low.rpartition("-")[2])
    return found


def state(piece: Token) -> State | None:
    """The state this word tells: one of the list, or a participle or -ing form of a verb."""
    if piece.kind == STATE:
        return State(piece.low, piece.low, "neutral")
    if piece.kind != WORD:
        return None
    low = piece.low
    listed = states().get(low)
    if listed:
        return listed
    verb = verbs().get(low)
    if verb and (
        verb.form in ("participle", "gerund")
        or (verb.form == "past" and verb.past == verb.participle and not verb.alone)
    ):
        return State(low, low, "neutral")
    work = works().get(low)
    if work and work.participle == low and (verb is None or not verb.alone):
        return State(low, low, "neutral")
    if low.startswith(("un", "re")) and len(low) > 5 and low[2:] in verbs() and verbs()[low[2:]].form != "base":
        return State(low, low, "neutral")
    first, _, last = low.rpartition("-")
    if first and last in PARTICLES and state(Token(first, WORD)) is not None:
        return State(low, low, "bad")
    if "-" in low and low.rpartition("-")[2] in states():
        return State(low, low, states()[low.rpartition("-")[2]].sense)
    return None


def verb(piece: Token) -> Verb | None:
    """The verb form this word is."""
    return verbs().get(piece.low) if piece.kind == WORD else None


def participle(piece: Token) -> bool:
    """The participle of any verb, as it stands before a noun: "computed load"."""
    found = verb(piece)
    return found is not None and piece.low == found.participle and found.form != "base"


def finite(piece: Token) -> Verb | None:
    """A verb form that can stand behind its subject: base, -s, or the past of a verb without object."""
    found = verb(piece)
    if found is None or (piece.low in states() and found.form != "base"):
        return None
    if found.form in ("base", "third"):
        return found
    return found if found.form == "past" and (found.alone or found.past != found.participle) else None


def adjective(piece: Token) -> bool:
    """A word that stands before a noun."""
    if piece.kind != WORD:
        return False
    low = piece.low
    return (
        low in adjectives() or low in SIDES or ("-" in low and noun(piece) is None and low.replace("-", "").isalpha())
    )


def adverb(piece: Token) -> bool:
    """A word that colours a state or a verb."""
    return piece.kind == WORD and (piece.low in ADVERBS or (piece.low.endswith("ly") and len(piece.low) > 4))


def preposition(piece: Token) -> bool:
    """A word that ties a group to what stands before it."""
    return piece.kind == WORD and piece.low in PREPOSITIONS


# Nouns that can also tell a state; read so only where nothing else fits ("steering light and quiet").
STATELIKE = frozenset("light level flat short sound round even cold heat dead-short".split())


def codelike(piece: Token) -> bool:
    """A code, a connector's name or a number behind a noun."""
    return piece.kind in (CODE, NUMBER)


@cache
def vocabulary() -> frozenset[str]:
    """Every word the lists know."""
    groups = (
        PREPOSITIONS,
        SUBORDINATORS,
        DETERMINERS,
        NEGATIONS,
        AUXILIARIES,
        MODALS,
        ADVERBS,
        PRONOUNS,
        SIDES,
        COUNTS,
    )
    words = frozenset().union(*groups, CONTRACTIONS, {"and", "or", "but", "then"})
    works_first = frozenset(form.split(" ")[0] for form in works())
    return words | frozenset(nouns()) | frozenset(states()) | frozenset(verbs()) | adjectives() | works_first


def known(piece: Token) -> bool:
    """Whether the lists know the word; figures, units, codes and marks count as known."""
    if piece.kind in (NUMBER, UNIT, CODE, MARK, QUOTE) or piece.known:
        return True
    low = piece.low.removesuffix("'s").removesuffix("’s")
    return low in vocabulary() or adverb(piece) or noun(piece) is not None or state(piece) is not None
