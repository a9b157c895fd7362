"""Spans as letters: what each may be in a kind of line, so that a shape of words is a regular expression.

One character stands for one span and its *set* of letters, because a word may be several things; a letter in a shape
stands for every character whose set holds it.

===== ======================================================= ===== ===============================================
T     thing                                                   J     and, or
M     matter, an uncounted fault                              X     no
S     state                                                   n     not
Q     quality                                                 D     degree
V     finite form of a doing                                  A     determiner
K     finite form of a linking doing (smells, stays)          I     is, are
L     side                                                    H     has
F     figure with a unit                                      O     modal (will not)
N     count                                                   C     circumstance (at idle)
B     label                                                   E     set ending (all around)
Y     a thing told apart by its number                        t     trial
P     place word                                              R     particle
w     work                                                    W     when, if, while
U     a word nobody listed                                    Z     anything else
===== ======================================================= ===== ===============================================
"""

import re
from functools import cache, lru_cache

from ticket.language.lexicon import Word, look, works
from ticket.language.phrasebook import Taught
from ticket.language.records import Span

_PLAIN = {
    "quality": "Q", "side": "L", "place": "P", "particle": "R", "degree": "D", "det": "A", "no": "X", "not": "n",
    "modal": "O", "be": "I", "has": "H", "join": "J", "condition": "C", "ending": "E", "count": "N", "when": "W",
    "matter": "M", "thing": "T", "state": "S", "label": "B", "code": "B", "figure": "F", "mark": "Z", "trial": "t",
}  # fmt: skip
_TAUGHT = {"thing": "T", "matter": "M", "state": "S", "doing": "V"}
# Work whose past form inside a finding is work done, no state: "air filter dirty replaced". A plugged drain is a state.
_DONE = frozenset("fit check measure program clear tighten look".split())
_DONE_BY_NAME = frozenset({"clean", "wash", "flush", "repair", "remove", "adjust", "bleed", "refill", "fill", "top up"})
_STILL_STATES = frozenset("disconnected unplugged disabled removed open opened lifted raised lowered".split())
_FRESH = frozenset({"rebuild, overhaul", "rebuild", "recondition", "resurface", "machine"})
# Things that are told apart by a number: it may stand inside a group ("cylinder 3 intake valve").
# Words that say what came of it, behind a participle: rusted thin, welded closed.
_RESULTS = frozenset(
    """thin solid shut closed open loose through apart away flat smooth together stiff on off up down in out over
    back""".split()
)
_NUMBERED = frozenset(
    """cylinder sensor injector bank axle unit fuse relay block cell pin circuit zone row coil port output
    input bay line channel module wheel position section stage fan pump motor tank compressor""".split()
)
_BY_SPAN = frozenset("figure count label code mark side join no not".split())
_WITH = frozenset({"with", "by"})
WORK_LINES = frozenset({"did", "remedy"})

_codes: dict[frozenset[str], str] = {}
_held: dict[str, frozenset[str]] = {}


def _char(held: frozenset[str]) -> str:
    found = _codes.get(held)
    if found is None:
        found = _codes[held] = chr(0x4E00 + len(_codes))
        _held[found] = held
    return found


def may_be(char: str, letter: str) -> bool:
    """Whether a span with this character may have a letter."""
    return letter in _held[char]


def known_sets() -> int:
    """How many sets of letters have a character: shapes are compiled again when there are more."""
    return len(_codes)


def any_of(letters: str, never: str = "") -> str:
    """The part of a regular expression for one span of any of these letters and of none of ``never``."""
    return _any_of(letters, never, len(_codes))


@lru_cache(maxsize=1024)
def _any_of(letters: str, never: str, _sets: int) -> str:
    wanted, unwanted = frozenset(letters), frozenset(never)
    held = "".join(char for found, char in _codes.items() if found & wanted and not found & unwanted)
    return f"[{held}]" if held else "(?!)"


def words_of(span: Span) -> tuple[Word, ...]:
    """What the word of a span may be; one of several words is what its last word is."""
    return _words_of(span.base)


@lru_cache(maxsize=8192)
def _words_of(base: str) -> tuple[Word, ...]:
    found = look(base)
    if not found and " " in base:
        stem = re.sub(r" \d+$", "", base)
        found = tuple(word for word in look(stem.rpartition(" ")[2]) if word.cls in ("thing", "matter", "state"))
    return found


def head_word(span: Span) -> Word | None:
    """The thing or matter a span names."""
    return next((word for word in words_of(span) if word.cls in ("thing", "matter")), None)


@cache
def preregister() -> None:
    """A character for every set of letters the lexicon can give, so that shapes are compiled once."""
    from ticket.language.lexicon import words

    seen: set[tuple[object, ...]] = set()
    for base, held in words().items():
        own = base if base in _RESULTS or base in _NUMBERED else ""
        key = (own, *((word.cls, word.form, word.kind) for word in held))
        if key not in seen:
            seen.add(key)
            span = Span(base, 0, 0, "thing", base)
            for behind in ("", "with"):
                _char(_letters(span, behind, work=False))
                _char(_letters(span, behind, work=True))
                _char(_letters(span, behind, work=False, proof=True))
    for letter in "TMSQVKLFNBPwUJXnDAIHOCERWZtYsi":
        _char(frozenset(letter))


def letters(held: tuple[Span, ...], where: str, taught: dict[str, Taught]) -> str:
    """One character a span."""
    preregister()
    out: list[str] = []
    for i, span in enumerate(held):
        behind = held[i + 1].base if i + 1 < len(held) else ""
        before = held[i - 1] if i else None
        if before is not None and "modal" in before.also and any(word.cls == "doing" for word in words_of(span)):
            out.append(_char(frozenset("V")))  # behind "will not" nothing else can stand
            continue
        if (
            before is not None
            and "be" in before.also
            and any(word.cls == "doing" and word.form == "past" for word in words_of(span))
        ):
            out.append(_char(frozenset("S")))  # "had been opened"
            continue
        if span.base == "can" and i and any(word.cls == "doing" and word.form == "base" for word in look(behind)):
            out.append(_char(frozenset("O")))  # "driveshaft can drop": no can of it
            continue
        if span.cls == "figure" and span.unit in _RATED and i + 1 < len(held) and _is_part(held[i + 1]):
            out.append(_char(frozenset("Q")))  # 12 V battery
            continue
        entry = taught.get(span.base) if span.cls == "unknown" else None
        out.append(_char(frozenset(_TAUGHT.get(entry.kind, "U"))) if entry else _cached(span, behind in _WITH, where))
    return "".join(out)


_RATED = frozenset({"V", "A", "W"})


def _is_part(span: Span) -> bool:
    word = head_word(span)
    return word is not None and word.kind == "part" and word.form == "one"


@lru_cache(maxsize=8192)
def _of(base: str, text: str, cls: str, with_behind: bool, where: str) -> str:
    span = Span(text, 0, 0, cls, base)
    return _char(_letters(span, "with" if with_behind else "", work=where in WORK_LINES, proof=where == "proof"))


def _cached(span: Span, with_behind: bool, where: str) -> str:
    return _of(span.base, span.text, span.cls, with_behind, where if where in ("did", "remedy", "proof") else "")


def _letters(span: Span, behind: str, *, work: bool, proof: bool = False) -> frozenset[str]:
    if span.cls in _PLAIN and span.cls in _BY_SPAN:
        return frozenset(_PLAIN[span.cls])
    if span.base in ("it", "them"):
        return frozenset("i")
    if span.cls == "unknown":
        return frozenset("S" if span.text.lower().endswith("ed") and behind in _WITH else "U")
    found = words_of(span)
    out = _of_words(found, behind)
    if span.base in _RESULTS:
        out.add("s")
    if any(word.cls == "hedge" for word in found):
        return frozenset("Z")  # doubt and advice are told by nobody but the one who typed them
    if "E" in out:
        return frozenset("ES" if "S" in out else "E")
    if any(word.cls == "work" and word.form == "past" for word in found):
        out = _of_past_work(found, out, span.base, work=work, proof=proof)
    return frozenset(out or {"Z"})


def _of_words(found: tuple[Word, ...], behind: str) -> set[str]:
    """The letters of all a word may be."""
    classes = {word.cls for word in found}
    noun = bool(classes & {"thing", "matter"})
    out: set[str] = set()
    for word in found:
        if word.cls == "doing":
            out |= _doing(word, noun=noun, state="state" in classes, quality="quality" in classes)
            if behind in _WITH and word.form == "past":
                out.add("S")
        elif word.cls == "link":
            out.add("S" if word.form == "gerund" and not noun else "K" if word.form != "gerund" else "Z")
        elif word.cls == "work" and not (noun and word.form == "gerund"):  # "charging system check" charges nothing
            out.add("w")
        elif word.cls in _PLAIN:
            out.add(_PLAIN[word.cls])
            if word.base in _NUMBERED and word.form == "one":
                out.add("Y")
    return out


def _of_past_work(found: tuple[Word, ...], out: set[str], base: str, *, work: bool, proof: bool) -> set[str]:
    """Work in the past: done in a line of work, a result in a proof, and inside a finding no state of anything."""
    if work:
        fresh = any(word.base in _FRESH for word in found)
        return {"w", *("T" if "T" in out or "M" in out else ""), *("Q" if fresh else "")}
    if proof and any(word.cls == "work" and works()[word.base].participle.split(" ")[0] == base for word in found):
        return {"S"}
    return out - {"S", "Q"} if _is_done(found, base) else out


def _is_done(found: tuple[Word, ...], base: str) -> bool:
    return base not in _STILL_STATES and any(
        word.cls == "work" and word.form == "past" and (word.kind in _DONE or word.base in _DONE_BY_NAME)
        for word in found
    )


def _doing(word: Word, *, noun: bool, state: bool, quality: bool) -> set[str]:
    """A doing as finite form or as state. What is noun and verb is never the verb, but for noises and motions."""
    if word.form == "gerund" or (word.form == "participle" and not noun):
        return {"S"}
    if word.form in ("base", "third"):
        if word.form == "base" and (state or quality):
            return set()  # slow, dry, open: never the verb
        return {"V"} if not noun or word.kind.endswith("n") else set()
    if word.form == "past":
        if state or noun:
            return set()
        return {"V"} if word.kind.startswith("i") else {"S"}
    return set()
