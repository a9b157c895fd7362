"""Noun groups: sides put first, the right article, "the pin of the left front caliper" for long strings of nouns."""

from dataclasses import dataclass
from itertools import pairwise

from ticket.language.forms import a_or_an
from ticket.readings.units import find
from ticket.story.words import tag
from ticket.story.words.lexicon import Noun, states
from ticket.story.words.spell import join, measure
from ticket.story.words.tokens import CODE, NUMBER, UNIT, WORD, Token

# Things whose parts are told "the lower slide pin of the left front caliper": assemblies with a side.
ASSEMBLIES = frozenset("caliper door alternator radiator turbo turbocharger seat mirror headlight window strut".split())
# What fills a vehicle: "smelled of brake fluid", but "a test of the ignition wiring".
FLUIDS = frozenset("oil fuel coolant fluid grease diesel gasoline petrol refrigerant antifreeze electrolyte".split())
# Things that carry a number: "the intake valve of cylinder 3".
NUMBERED = frozenset("cylinder axle bank row sensor coil injector".split())
_ENDS = frozenset("corner side end edge half face part".split())  # "the condenser lower right corner"
_NO_ARTICLE = frozenset(
    {
        "idle",
        "high idle",
        "low idle",
        "full lock",
        "full load",
        "full throttle",
        "full power",
        "half load",
        "high speed",
        "low speed",
    }
)
_AMOUNTS = frozenset({"volume", "mass"})
_MAX_WORDS = 12


@dataclass(frozen=True, slots=True)
class Group:
    """A noun group as it is told.

    Attributes:
        words: without its article.
        given: the determiner that was typed, or empty.
        many: plural.
        noun: what the lists know of its head.
        defect: it opens with a state word ("stuck thermostat").
        named: a number or code stands behind the head ("fuse 14").
        end: place of the token behind it.
    """

    words: str
    given: str
    many: bool
    noun: Noun
    defect: bool
    named: bool
    end: int

    def the(self) -> str:
        """As a thing of this vehicle: "the hose", "rust", "fuse 14", "grooves"."""
        return self._with("the")

    def some(self) -> str:
        """After "with", "of", "had": "corrosion", "voltage", "a crack"; but "the clamp"."""
        if self.words == "exhaust":
            return self.words
        if self.given or self.named or not self.noun.counted or (self.noun.kind == "fault" and self.many):
            own = self.noun.kind == "mass" and " " in self.words and self.noun.singular not in FLUIDS
            return self._with("the" if own and not self.given else "")
        return self._with("a" if self.noun.kind == "fault" else "the")

    def any(self) -> str:
        """As something not met before: "a stuck thermostat", "new pads"."""
        if self.named and self.defect and not self.given:
            return f"the {self.words}"
        if self.given or self.named or self.many or not self.noun.counted:
            return self._with("")
        return self._with("a")

    def thing(self) -> str:
        """As something that was worked on: "the fault codes", "the rust"; never without its article."""
        return self._with("") if self.given or self.named else f"the {self.words}"

    def bare(self) -> str:
        """Without an article of ours."""
        return self._with("")

    def _with(self, article: str) -> str:
        if self.given:
            return f"{self.given} {self.words}"
        kind = self.noun.kind
        plain = kind in ("matter", "trouble") or (kind == "general" and (self.many or not self.noun.counted))
        if article == "the" and (plain or self.named or (kind == "fault" and self.many) or self.words in _NO_ARTICLE):
            article = ""
        if article == "a":
            article = a_or_an(self.words)
        return f"{article} {self.words}".strip()


def group(pieces: tuple[Token, ...], start: int) -> Group | None:
    """The noun group that opens at ``start``, or ``None`` when there is none or its shape is in doubt."""
    given, i = _determiner(pieces, start)
    first = i
    run, i = _run(pieces, i, negated=given == "no")
    if not run:
        return None
    return _compose(run, given, i) if i > first else None


def ordered_run(pieces: tuple[Token, ...], start: int) -> tuple[list[Token], int]:
    """The tokens of the group that opens at ``start`` with its sides in front; none where there is no group."""
    run, end = _run(pieces, start, negated=False)
    if not any(tag.noun(piece) is not None for piece in run):
        return [], start
    return _sides_first(run) or run, end


def _determiner(pieces: tuple[Token, ...], i: int) -> tuple[str, int]:
    given: list[str] = []
    while i < len(pieces):
        piece = pieces[i]
        low = piece.low
        behind = pieces[i + 1] if i + 1 < len(pieces) else None
        about = 1 if low == "about" and not given else 0
        if not given and (measured := _measured(pieces, i + about)):
            return ("about " if about else "") + measured, i + about + 2
        counts = piece.kind == NUMBER and piece.text.isdigit() and behind is not None and behind.kind == WORD
        if low == "too" and not given and behind is not None and behind.low in ("little", "much", "few", "many"):
            given.append(f"too {behind.low}")
            i += 2
            continue
        if low in tag.DETERMINERS or (low == "no" and not given) or low in tag.COUNTS or counts:
            if low in ("other", "more", "less", "most") and not given and behind is not None and tag.adverb(behind):
                break
            if len(given) == 2:
                break
            given.append(low if piece.kind == WORD else piece.text)
            i += 1
        else:
            break
    return " ".join(given), i


def _measured(pieces: tuple[Token, ...], i: int) -> str:
    """ "1 L water" is "1 liter of water"."""
    if i + 2 >= len(pieces) or pieces[i].kind != NUMBER or pieces[i + 1].kind != UNIT:
        return ""
    matter, unit = tag.noun(pieces[i + 2]), find(pieces[i + 1].text)
    if matter is None or matter.kind not in ("matter", "mass") or unit is None or unit.dimension not in _AMOUNTS:
        return ""
    return f"{measure(pieces[i].text, pieces[i + 1].text)} of"


def _run(pieces: tuple[Token, ...], start: int, *, negated: bool) -> tuple[list[Token], int]:
    """The tokens of the group, cut behind its last noun (with the number or the side that follows it)."""
    run: list[Token] = []
    good = 0
    seen: Noun | None = None
    strangers = 0
    i = start
    while i < len(pieces) and len(run) < _MAX_WORDS:
        piece = pieces[i]
        behind = pieces[i + 1] if i + 1 < len(pieces) else None
        found = tag.noun(piece)
        if found is not None:
            to = behind is not None and behind.low == "to"
            if seen is not None and _acts(piece, seen, short=run[-1].known, negated=negated, to=to):
                break
            if seen is not None and _tells(piece, found) and (behind is None or tag.noun(behind) is None):
                break
            seen = found
            run.append(piece)
            good = len(run)
        elif seen is not None and tag.codelike(piece) and (behind is None or behind.kind != UNIT):
            run.append(piece)
            good = len(run)
            if behind is not None and behind.low == "and" and _counts(pieces, i + 2):
                run += [behind, pieces[i + 2]]
                good = len(run)
                i += 2
        elif piece.low in tag.SIDES:
            if seen is not None and behind is not None and not _after_side(behind):
                break
            run.append(piece)
            good = len(run) if seen is not None else good
        elif _in_front(piece, behind, run, named=seen is not None):
            run.append(piece)
        elif (
            behind is not None
            and tag.noun(behind) is not None
            and ((strangers == 0 and _stranger(piece)) or (piece.kind == CODE and not run))
        ):
            strangers += piece.kind != CODE
            run.append(piece)
        else:
            break
        i += 1
    return run[:good], start + good


def _counts(pieces: tuple[Token, ...], i: int) -> bool:
    """A number at ``i`` that is no measure: "coils 2 and 3"."""
    if i >= len(pieces) or pieces[i].kind != NUMBER:
        return False
    return i + 1 >= len(pieces) or pieces[i + 1].kind != UNIT


def _tells(piece: Token, found: Noun) -> bool:
    """A word that is noun and state tells the state of the thing before it: "LF brake binding", "hose split"."""
    return tag.state(piece) is not None and (piece.low in states() or found.kind == "trouble")


def _after_side(piece: Token) -> bool:
    """What may follow a side that stands behind its noun: a quantity ("disc LF thickness"), or no noun at all."""
    found = tag.noun(piece)
    verb = tag.verb(piece)
    acts = verb is not None and verb.base in tag.VERB_FIRST
    return found is None or acts or found.kind == "quantity" or found.singular in _ENDS or piece.low in tag.SIDES


def _in_front(piece: Token, behind: Token | None, run: list[Token], *, named: bool) -> bool:
    """Words that stand before the noun: "upper", "slightly worn", "corroded, loose", "inner and outer"."""
    if tag.adjective(piece) and (not named or (behind is not None and _leads(behind))):
        return True
    if named:
        return False
    if _before_noun(piece, behind):
        return True
    if behind is None:
        return False
    if tag.adverb(piece) and tag.state(behind) is not None:
        return True
    return bool(run) and piece.low in (",", "and") and _qualifies(behind) and _qualifies(run[-1])


def _before_noun(piece: Token, behind: Token | None) -> bool:
    """A state or participle in front of a noun; a particle such as "in" or "off" is none."""
    if tag.preposition(piece) or piece.low in tag.PARTICLES:
        return piece.low in ("open", "loose", "fast", "free") and behind is not None and _leads(behind)
    return tag.state(piece) is not None or (tag.participle(piece) and behind is not None and _leads(behind))


def _leads(piece: Token) -> bool:
    return tag.noun(piece) is not None or piece.low in tag.SIDES or tag.adjective(piece)


def _qualifies(piece: Token) -> bool:
    return tag.noun(piece) is None and (tag.state(piece) is not None or tag.adjective(piece))


def _stranger(piece: Token) -> bool:
    """An unknown word that may name a kind of thing: no ending of a verb, no capital."""
    text = piece.text
    return (
        piece.kind == WORD
        and not tag.known(piece)
        and len(text) > 2
        and text.isalpha()
        and text.islower()
        and not text.endswith(("s", "ed", "ing", "ly"))
    )


def _acts(piece: Token, subject: Noun, *, short: bool, negated: bool, to: bool) -> bool:
    """A word that is noun and verb is a verb where it agrees with the thing before it."""
    found = tag.verb(piece)
    if found is None or found.base not in tag.VERB_FIRST or negated:
        return found is not None and found.base == "point" and to
    if short and found.form == "third":
        return True  # a short form such as ABS is typed with either
    return found.form == "third" if not subject.many else found.form == "base"


def _compose(run: list[Token], given: str, end: int) -> Group | None:
    if not any(tag.noun(piece) is not None for piece in run):
        return None
    if any(one.kind == other.kind == NUMBER for one, other in pairwise(run)):
        return None  # "cylinder 1 2 3": three cylinders, or readings of one; no name holds two numbers in a row
    ordered = _sides_first(run)
    if ordered is None:
        return None
    told = _of(ordered)
    texts = [_premodifier(piece, last=i == len(told.head) - 1) for i, piece in enumerate(told.head)]
    if any(text is None for text in texts):
        return None
    words = join(
        [piece if text == piece.text else Token(text or "", WORD) for piece, text in zip(told.head, texts, strict=True)]
    )
    head = next((piece for piece in reversed(told.head) if tag.noun(piece) is not None), None)
    known = tag.noun(head) if head is not None else None
    if head is None or known is None:
        return None  # the only noun names the assembly, so nothing is said about a part of it
    behind = told.head[told.head.index(head) + 1 :]
    named = any(tag.codelike(piece) for piece in behind)
    if named and told.tail:
        return None
    first = told.head[0]
    defect = _is_defect(first, single=len(told.head) == 1)
    return Group(words + told.tail, given, known.many, known, defect, named, end)


def _is_defect(first: Token, *, single: bool) -> bool:
    """A state word in front: "stuck thermostat"; also one that can be a noun: "sticking brake hose"."""
    if single or first.low in tag.SIDES or tag.state(first) is None:
        return False
    found = tag.noun(first)
    return found is None or found.kind in ("trouble", "fault") or first.low.endswith("ing")


@dataclass(frozen=True, slots=True)
class _Split:
    head: list[Token]
    tail: str


def _sides_first(run: list[Token]) -> list[Token] | None:
    """Sides behind a noun move to the front; ``None`` when the group names two sides that clash."""
    first_noun = next(i for i, piece in enumerate(run) if tag.noun(piece) is not None)
    run = _driver_first(run, first_noun)
    late = [piece for i, piece in enumerate(run) if piece.low in tag.SIDES and i > first_noun and not _of_end(run, i)]
    if not late:
        return _in_order(run)
    early = [piece for piece in run[:first_noun] if piece.low in tag.SIDES]
    names = {piece.low for piece in (*late, *early)}
    if {"left", "right"} <= names or {"front", "rear"} <= names:
        last = run[-1]
        return None if last.low in tag.SIDES else run
    rest = [piece for piece in run if piece.low not in tag.SIDES]
    return [Token(side, WORD) for side in ("left", "right", "front", "rear") if side in names] + rest


def _of_end(run: list[Token], i: int) -> bool:
    """A side that belongs to the end of a thing: "condenser lower right corner"."""
    behind = tag.noun(run[i + 1]) if i + 1 < len(run) else None
    return behind is not None and behind.singular in _ENDS


def _driver_first(run: list[Token], first_noun: int) -> list[Token]:
    """ "Duct temperature passenger side" is "passenger side duct temperature"."""
    for i in range(first_noun + 1, len(run) - 1):
        if run[i].low in ("driver", "passenger") and run[i + 1].low == "side":
            return [*run[i : i + 2], *run[:i], *run[i + 2 :]]
    return run


def _in_order(run: list[Token]) -> list[Token]:
    """Left and right before front and rear, each once, where they open the group together."""
    count = 0
    while count < len(run) and run[count].low in tag.SIDES:
        count += 1
    names = [piece.low for piece in run[:count]]
    if count < 2 or len(set(names)) < len(names) or {"left", "right"} <= set(names) or {"front", "rear"} <= set(names):
        return run
    return [Token(side, WORD) for side in ("left", "right", "front", "rear") if side in names] + run[count:]


def _of(run: list[Token]) -> _Split:
    """The part before the assembly it belongs to, where the string of nouns would be hard to read."""
    for i, piece in enumerate(run[:-1]):
        found = tag.noun(piece)
        if found is None or found.many:
            continue
        if (
            found.singular in NUMBERED
            and i + 2 < len(run)
            and run[i + 1].kind == NUMBER
            and "and" not in (p.low for p in run)
        ):
            return _Split(run[:i] + run[i + 2 :], f" of {join(run[i : i + 2])}")
        sides = run[:i]
        rest = run[i + 1 :]
        placed = bool(sides) and all(piece.low in tag.SIDES for piece in sides)
        if found.singular in ASSEMBLIES and placed and len(rest) > 1 and tag.noun(rest[-1]) is not None:
            return _Split(rest, f" of the {join(run[: i + 1])}")
    return _Split(run, "")


def _premodifier(piece: Token, *, last: bool) -> str | None:
    """A state word as it stands before a noun; ``None`` when it cannot."""
    if last or tag.noun(piece) is not None or tag.adjective(piece):
        return piece.text
    found = tag.state(piece)
    if found is None:
        return piece.text
    return None if found.before == "-" else found.before
