"""Labour as typed, told in the past, as something to do, or as something not done."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.regex import Regex
from ticket.language.forms import listed
from ticket.story.words import tag
from ticket.story.words.clauses import PAST, Parser
from ticket.story.words.groups import group
from ticket.story.words.lexicon import Work, rows, works
from ticket.story.words.spell import measure, spell
from ticket.story.words.tokens import MAX_TEXT, NUMBER, UNIT, WORD, Token

_FRESH = frozenset("new used rebuilt reconditioned another remanufactured second-hand".split())
_SOME = frozenset({"add {x}", "apply {x}", "spread {x}"})  # what was not there before: "applied grease"
_LATE = frozenset("again".split())
_REPLACED = "r&r"
# Nouns that name a job: "oil change", "wheel alignment".
_JOBS = frozenset(
    "change alignment check inspection test service rotation repair calibration adjustment cleaning reset "
    "update".split()
)
_JOB = Work("do {x}", "did {x}", "done", "doing {x}", "job", "")
_PIECES = Regex(r"[,;]")
MAX_WORDS = 80


@dataclass(frozen=True, slots=True)
class Object:
    """A thing that was worked on, with its article; whether it is plural; what stands behind (" with a new clip")."""

    text: str
    many: bool
    held: str = ""

    @property
    def whole(self) -> str:
        """The thing with what stands behind."""
        return self.text + self.held


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of labour: verbs that share their things.

    Attributes:
        works: the verbs.
        things: what they were done to; empty where the verb says enough by itself.
        tail: what follows ("to 12 Nm").
    """

    works: tuple[Work, ...]
    things: tuple[Object, ...]
    tail: str = ""

    @property
    def many(self) -> bool:
        """Whether the things are plural together."""
        return len(self.things) > 1 or any(item.many for item in self.things)

    @property
    def it(self) -> str:
        """The pronoun for the things."""
        return "them" if self.many else "it"

    def told(self, form: str = "past") -> str:
        """The task in one form of its verbs: ``past``, ``base`` or ``gerund``."""
        if not self.things:
            alone = [work.alone for work in self.works if work.alone]
            if alone and form == "past":
                return alone[0] + self.tail
            return str(getattr(self.works[0], form)).replace(" {x}", "").replace(" of", "") + self.tail
        held = self.things[-1].held
        x = listed([*(item.whole for item in self.things[:-1]), self.things[-1].text])
        patterns = [getattr(work, form).replace("{it}", self.it) for work in self.works]
        if len(patterns) > 1 and all(pattern.endswith(" {x}") for pattern in patterns):
            return listed([pattern.removesuffix(" {x}") for pattern in patterns]) + f" {x}{held}{self.tail}"
        ends = patterns[0].endswith("{x}") or not held.startswith(" with ")
        first = patterns[0].replace("{x}", x + (held if ends else ""))
        first += ("" if ends else held) + self.tail
        return listed([first, *(pattern.replace("{x}", self.it) for pattern in patterns[1:])])


@cache
def _compounds() -> frozenset[str]:
    return frozenset(row[0] for row in rows("compounds"))


def tasks(text: str, parts: Iterable[str] = ()) -> tuple[tuple[Task, ...], tuple[str, ...]]:
    """What was done, and the pieces whose words are not known, as typed.

    Args:
        text: as typed.
        parts: descriptions on the part lines; "R&R" means "replaced" only where one names the thing.
    """
    items = in_order(text, parts)
    known = tuple(item for item in items if isinstance(item, Task))
    return known, tuple(item for item in items if isinstance(item, str))


def in_order(text: str, parts: Iterable[str] = ()) -> tuple[Task | str, ...]:
    """What was done, piece by piece in the order typed; a piece of unknown words is text."""
    return _in_order(text, tuple(parts) if _REPLACED in text.lower() else ())


@lru_cache(maxsize=1024)
def _in_order(text: str, parts: tuple[str, ...]) -> tuple[Task | str, ...]:
    if len(text) > MAX_TEXT:
        return (text,)
    job = job_name(text)
    if job is not None:
        return (Task((_JOB,), (Object(job, many=False),)),)
    whole = _parse(text, parts)
    if whole is not None:
        return whole
    out: list[Task | str] = []
    held = ""
    for piece in (piece.strip() for piece in _PIECES.split(text)):
        tried = f"{held}, {piece}" if held else piece
        told = _parse(tried, parts)
        if told is None and _only_verb(piece):
            held = tried
            continue
        held = ""
        out += told if told is not None else [tried]
    return tuple(item for item in (*out, held) if item)


def spelled_out(text: str, parts: Iterable[str]) -> str:
    """The text with "R&R" as "replace" where a part line names the thing, to compare words with."""
    words = text.split(" ")
    return _replaceable(words, parts) if any(word.lower() == _REPLACED for word in words) else text


def job_name(text: str) -> str | None:
    """A text that names a job ("oil change", "wheel alignment") with its article, else ``None``."""
    pieces = spell(text)
    if not pieces:
        return None
    found = group(pieces, 0)
    if found is None or found.end != len(pieces) or found.words.rpartition(" ")[2] not in _JOBS:
        return None
    if tag.noun(pieces[0]) is None and pieces[0].low in works():
        return None
    return found.the()


def merged(items: Sequence[Task]) -> list[Task]:
    """Neighbours with the same verbs become one task."""
    out: list[Task] = []
    for item in items:
        if (
            out
            and out[-1].works == item.works
            and item.things
            and out[-1].things
            and not item.tail
            and not out[-1].tail
        ):
            out[-1] = Task(item.works, out[-1].things + item.things)
        else:
            out.append(item)
    return out


def _only_verb(piece: str) -> bool:
    return piece.lower() in works()


def _parse(text: str, parts: Iterable[str]) -> tuple[Task, ...] | None:
    pieces = spell(spelled_out(text, parts))
    if not pieces or len(pieces) > MAX_WORDS:
        return None
    out: list[Task] = []
    i = 0
    while i < len(pieces):
        found = _task(pieces, i)
        if found is None:
            return None
        out.append(found[0])
        i = _past_link(pieces, found[1])
        if i == found[1] and i < len(pieces):
            return None
    return tuple(merged(out)) if out else None


def _replaceable(words: list[str], parts: Iterable[str]) -> str:
    """ "R&R x" as "replace x" where a part line ends in the same noun as x."""
    heads = {head for part in parts if (pieces := spell(part)) for head in _nouns(pieces)}
    for i, word in enumerate(words):
        if word.lower() == _REPLACED:
            piece = _PIECES.split(" ".join(words[i + 1 : i + 13]))[0]
            spelled = spell(piece)
            named = _nouns(spelled) if spelled else []
            if named and named[-1] in heads:
                words[i] = "replace"
    return " ".join(words)


def _nouns(pieces: tuple[Token, ...]) -> list[str]:
    """The nouns of the first group, singular."""
    found = group(pieces, 0)
    if found is None:
        return []
    return [noun.singular for piece in pieces[: found.end] if (noun := tag.noun(piece)) is not None]


def _verb(pieces: tuple[Token, ...], i: int, *, first: bool) -> tuple[Work, int] | None:
    """The verb of labour at ``i``; a word that is a noun too counts only where no compound begins with it."""
    if i >= len(pieces) or pieces[i].kind != WORD:
        return None
    low = pieces[i].low
    behind = pieces[i + 1].low if i + 1 < len(pieces) else ""
    further = f" {pieces[i + 2].low}" if i + 2 < len(pieces) else ""
    for joined, width in ((f"{low} {behind}{further}", 3), (f"{low} {behind}", 2)):
        if joined in works():
            return works()[joined], i + width
    found = works().get(low)
    if found is None or (not first and f"{low} {behind}" in _compounds()):
        return None
    if not first and tag.noun(pieces[i]) is not None and _ends(pieces, i + 1):
        link = _past_link(pieces, i + 1)  # "refill and bleed fan drive" goes on with a verb
        goes_on = (
            behind == "and" and link < len(pieces) and pieces[link].low in works() and tag.noun(pieces[link]) is None
        )
        return (found, i + 1) if goes_on else None
    return found, i + 1


def verb_places(pieces: tuple[Token, ...]) -> list[int]:
    """Where the verbs of labour stand, as far as the words have a known shape."""
    places: list[int] = []
    i = 0
    while i < len(pieces):
        found = _task(pieces, i, places)
        if found is None:
            break
        i = _past_link(pieces, found[1])
        if i == found[1]:
            break
    return places


def _task(pieces: tuple[Token, ...], start: int, places: list[int] | None = None) -> tuple[Task, int] | None:
    found = _verb(pieces, start, first=start == 0)
    if found is None:
        return None
    at = [] if places is None else places
    at.append(start)
    verbs, i = [found[0]], found[1]
    while True:
        link = _past_link(pieces, i)
        more = _verb(pieces, link, first=False) if link > i else None
        if more is None:
            break
        verbs.append(more[0])
        at.append(link)
        i = more[1]
    things, tail, i = _things(pieces, i, some=all(work.base in _SOME for work in verbs))
    if not things:
        return _alone(pieces, verbs[0], i) if len(verbs) == 1 and verbs[0].alone else None
    if len(verbs) > 1 and verbs[-1].alone and not things:
        return None
    return Task(tuple(verbs), tuple(things), tail), i


def _alone(pieces: tuple[Token, ...], verb: Work, i: int) -> tuple[Task, int] | None:
    """A verb that says enough by itself, with how long it took: "evacuate 45 min"."""
    tail = ""
    if i + 1 < len(pieces) and pieces[i].kind == NUMBER and pieces[i + 1].kind == UNIT:
        tail, i = f" for {measure(pieces[i].text, pieces[i + 1].text)}", i + 2
    return (Task((verb,), (), tail), i) if _ends(pieces, i) else None


def _ends(pieces: tuple[Token, ...], i: int) -> bool:
    return i >= len(pieces) or pieces[i].low in (",", ";", "and", "then")


def _things(pieces: tuple[Token, ...], i: int, *, some: bool) -> tuple[list[Object], str, int]:
    parser = Parser(pieces, PAST)
    out: list[Object] = []
    tail = ""
    while True:
        found = group(pieces, i)
        if found is None:
            break
        text = found.any() if found.words.split(" ")[0] in _FRESH else found.some() if some else found.thing()
        tied, end = parser.tied(found.end)
        if end < len(pieces) and pieces[end].low in _LATE:
            tied, end = f"{tied} {pieces[end].low}", end + 1
        out.append(Object(text, found.many, tied))
        i = end
        link = _past_link(pieces, i)
        if link == i or _verb(pieces, link, first=False) is not None or group(pieces, link) is None:
            break
        i = link
    return out, tail, i


def _past_link(pieces: tuple[Token, ...], i: int) -> int:
    """Past a comma, a semicolon, an "and" or a "then"."""
    if i < len(pieces) and pieces[i].low in (",", ";"):
        i += 1
    if i < len(pieces) and pieces[i].low in ("and", "then"):
        i += 1
    return i
