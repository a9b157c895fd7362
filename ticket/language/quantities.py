"""What a figure was taken of: the thing, the quantity, the position and the conditions, as records of no language."""

from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.regex import Regex
from ticket.language import shortforms
from ticket.language.certain import read, read_name
from ticket.language.cutting import cut
from ticket.language.forms import plural
from ticket.language.groups import Doubt, places
from ticket.language.letters import head_word, letters, words_of
from ticket.language.lexicon import TYPED, look
from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.records import Meaning, Nominal, Place, Span, State
from ticket.language.spans import SIDES, spans
from ticket.language.tables import rows
from ticket.readings.units import find

OTHER = "other"
_KEYS = Regex(r"(?i)\b(KOEO|KOER)\b")
# The instrument is left out: the figure is what it showed.
_GAUGE = Regex(
    r"(?i),? (?:by|with|on) (?:an? |the )?(?:[a-z-]{1,20} ){0,2}(?:gun|meter|multimeter|scope|tester|gauge|scanner)\b"
)
_COMMA = Regex(r",(?![0-9]{3}(?![0-9]))")
"""What parts a name from its conditions; in 112,400 it parts nothing."""
_WHEN = frozenset(
    "january february march april may june july august september october november december monday tuesday wednesday "
    "thursday friday saturday sunday yesterday last previous previously earlier ago".split()
)
"""Words for another day: what was read then is named by no sentence about today."""
_SIDED = Regex(r"(.+) ((?:driver|passenger|left|right) side)\Z")
_TESTS = frozenset({"test", "check", "inspection"})
_CYLINDERS = frozenset({"compression", "leakdown"})
_ACROSS = frozenset("across over on in of from between at".split())
# What a unit says although no word does: "blower resistor 2.4 ohm" is its resistance.
_UNSAID = frozenset({"resistance", "temperature"})
_RUNNING = frozenset(
    "on off hot cold warm open closed shut running idling connected disconnected unplugged loaded unloaded empty full "
    "applied released up down in out engaged disengaged locked unlocked parked pressed held lifted raised lowered "
    "removed fitted installed commanded energized cranking depressed level stationary working wet".split()
)
"""States that somebody sets before a figure is read; any other was found."""
_AT_ENDS = frozenset("load speed throttle rpm temperature idle pressure position gear command".split())
_TRAILING = frozenset("running idle idling cranking hot cold warm parked loaded unloaded".split())
# Single letters that stand for a side, in the label of a value only.
_LETTERS = {"l": "left", "r": "right", "f": "front", "rr": "right rear"}
_ORDER = ("nearside", "offside", "left", "right", "front", "rear")


@dataclass(frozen=True, slots=True)
class Subject:
    """What a figure was taken of.

    Attributes:
        quantity: row of ``quantities.tsv``; ``other`` where no row fits.
        whole: the name with its quantity and its places, or ``None`` where it is no certain name.
        thing: the same without the words of a quantity that a language may tell by a verb of its own; ``None`` where
            only the quantity was named.
        conditions: as typed, each with its short forms spelled out.
        done: the word behind a thing that says what was done with the amount: "engine oil drained".
        key: the words of it whatever their order, to compare two names by.
    """

    quantity: str
    whole: Nominal | None
    thing: Nominal | None
    conditions: tuple[str, ...] = ()
    done: str = ""
    key: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class _Row:
    quantity: str
    words: dict[tuple[str, ...], str]
    nouns: dict[str, str]
    dims: frozenset[str]
    said: bool


@cache
def _rows() -> tuple[_Row, ...]:
    def cells(text: str) -> tuple[str, ...]:
        return tuple(item.strip() for item in text.split(",") if item.strip())

    return tuple(
        _Row(
            name, {tuple(one.split(" ")): told for one, told in _told(cells(words)).items()}, _told(cells(nouns)),
            frozenset(cells(dims)), said == "yes",
        )
        for name, words, nouns, dims, said in rows(TYPED, "quantities")
    )  # fmt: skip


def _told(cells: tuple[str, ...]) -> dict[str, str]:
    """Each name with the one it is told by."""
    return {name: plainly or name for name, _, plainly in (cell.partition("=") for cell in cells)}


@cache
def _plain_nouns() -> dict[str, str]:
    return {name: told for row in _rows() for name, told in row.nouns.items()}


def _is_name_of(row: _Row, text: str) -> bool:
    return tuple(text.split(" ")) in row.words


@cache
def named_by(quantity: str = "") -> frozenset[str]:
    """The words that name quantities, or one of them."""
    return frozenset(" ".join(words) for row in _rows() if quantity in ("", row.quantity) for words in row.words)


def subject(what: str, unit: str, label: str = "", book: Phrases = NO_BOOK) -> Subject | None:
    """What a finding names, or ``None`` where it is no certain name.

    Args:
        what: the words before the figure.
        unit: the unit of the reading.
        label: the position of one value ("LF inner", "cyl 3"), or empty.
        book: wordings of the shop and of the program.
    """
    return _unbooked(what, unit, label) if book is NO_BOOK else _subject(what, unit, label, book)


@lru_cache(maxsize=2048)
def _unbooked(what: str, unit: str, label: str) -> Subject | None:
    return _subject(what, unit, label, NO_BOOK)


def _subject(what: str, unit: str, label: str, book: Phrases) -> Subject | None:
    pieces = [piece.strip() for piece in _COMMA.split(_KEYS.sub(r", \1,", _GAUGE.sub("", what)))]
    pieces = [piece for piece in pieces if piece]
    if not pieces or not _WHEN.isdisjoint(plain(what).replace(",", " ").split()):
        return None
    dimension = getattr(find(unit), "dimension", "")
    if len(pieces) > 1 and any(_is_name_of(row, plain(pieces[0])) for row in _rows() if row.said):
        under = listed_condition(pieces[1]) or condition(pieces[1]) is not None
        pieces[:2] = pieces[:2] if under else [f"{pieces[0]} {pieces[1]}"]
    pieces[:1] = _set_apart(pieces[0])
    behind = sorted(pieces[1:], key=lambda piece: not piece[0].isdecimal())
    conditions = tuple(listed_condition(piece) or piece for piece in behind)
    text = plain(pieces[0])
    if dimension == "temperature":
        text = " ".join("temperature" if word == "temp" else word for word in text.split(" "))
    row, rest = _quantity(text, dimension)
    name = row.quantity if row is not None else OTHER
    done = text.rpartition(" ")[2] if name == "amount" else ""
    done = done if done in named_by("amount") else ""
    where = position(label)
    whole = _name(text.removesuffix(done).strip(), where, book) if rest or (row and row.said) else None
    if name in _CYLINDERS:
        thing = _name(f"{rest} {where}".strip(), "", book)
    elif name in ("drop", "loss") and rest.split(" ")[0] in _ACROSS:
        thing = _name(rest.partition(" ")[2], where, book)
    elif name == "tread" and not rest:
        thing = _name("tires", where, book)
    else:
        thing = _name(rest.removesuffix(done).strip(), where, book)
    if thing is None and not (name in _CYLINDERS and not rest):
        return None
    head = head_word(thing.things.groups[0].head) if thing is not None else None
    if head is not None and (head.base in _TESTS or _says_other(head.base, dimension)):
        return None
    if thing is not None and (_may_be_done(thing) or _may_be_so(thing)):
        return None
    if row is None and head is not None and head.kind == "part" and dimension in _UNSAID:
        name = dimension
    key = frozenset(f"{text} {where}".split(" ")) - {""}
    return Subject(name, whole, thing, conditions, done, key)


@lru_cache(maxsize=1024)
def thin_or_thick(what: str, unit: str) -> str:
    """The quantity whose thing a name holds and that no other word of it names: of an uncertain name too."""
    words, dimension = plain(what).split(" "), getattr(find(unit), "dimension", "")
    if not named_by().isdisjoint(words):
        return ""
    for row in _rows():
        nouns = {tuple(name.split(" ")) for name in row.nouns}
        named = any(_holds(words, noun) for noun in nouns)
        if row.said and named and dimension in row.dims:
            return row.quantity
    return ""


def _holds(words: list[str], noun: tuple[str, ...]) -> bool:
    many = [*noun[:-1], f"{noun[-1]}s"]
    return any(words[at : at + len(noun)] in ([*noun], many) for at in range(len(words)))


def _may_be_done(named: Nominal) -> bool:
    """Whether the last word may as well say what the thing in front of it did: "gate drops 9 in"."""
    spans_held = named.things.groups[-1].spans
    last = words_of(spans_held[-1])
    return len(spans_held) > 1 and any(word.cls == "doing" and word.form == "third" for word in last)


def _may_be_so(named: Nominal) -> bool:
    """Whether a place ends in a word that may as well say how the thing was: "clamp of flexi slack, 15 Nm"."""
    ends = [place.things.groups[-1].spans[-1] for place in named.places if place.things is not None]
    return any(word.cls in ("state", "matter") for span in ends for word in words_of(span))


def _says_other(name: str, dimension: str) -> bool:
    """Whether a name says that its figure is of another dimension than its unit is."""
    last = name.rpartition(" ")[2]
    return last in _UNSAID and last != dimension


@lru_cache(maxsize=2048)
def plain(text: str) -> str:
    """A text in small letters, its short forms spelled out where that is certain; figures and codes as typed."""
    return " ".join(
        form.base.lower() if form.spelled or look(form.base) else form.piece.text
        for form in shortforms.resolve(cut(text), "found")
    )


def position(label: str) -> str:
    """A position in words: "left front inner", "cylinder 3"."""
    words = label.replace("near side", "nearside").replace("off side", "offside").replace("/", " ").split()
    return plain(" ".join(_LETTERS.get(word.lower(), word) for word in words))


def listed_condition(text: str) -> str:
    """A condition as the lexicon lists it, or empty: a set phrase that says under what circumstances."""
    for one in (text.lower().strip(), plain(text)):
        if any(word.cls in ("condition", "ending") for word in look(one)):
            return one
    return ""


def condition(text: str) -> tuple[Place, ...] | State | None:
    """The circumstances a condition names, or ``None``: "after 10 km", "5000 rpm", "cold engine", "loads on"."""
    held = spans(text, "found")
    front = ""
    if held[0].cls == "figure":
        front = "after " if _dimension(held[0]) == "time" else "at "
    elif held[-1].base in _AT_ENDS:
        front = "at "
    elif len(held) > 1 and any(word.cls in ("quality", "state") for word in look(held[0].base)):
        head = head_word(held[-1])
        front = "with a " if head is not None and head.form == "one" else "with "
    for words in dict.fromkeys(("", front, *(("with ",) if held[-1].cls == "state" else ()))):
        found = spans(words + text, "found")
        try:
            held_at = places(found, letters(found, "found", {}))
        except Doubt:
            continue
        return None if any(_is_fault(place) or _is_found(place) for place in held_at) else held_at
    meant = read(text, "found")
    state = meant.clauses[0] if isinstance(meant, Meaning) and len(meant.clauses) == 1 else None
    plainly = isinstance(state, State) and state.things is not None and not (state.front or state.places)
    plainly = plainly and isinstance(state, State) and all(how.state in _RUNNING for how in state.states)
    return state if plainly and isinstance(state, State) and not any(how.negated for how in state.states) else None


def _is_fault(place: Place) -> bool:
    """ "with a growl": what was seen or heard beside a reading is no circumstance of it."""
    head = head_word(place.things.groups[-1].head) if place.word == "with" and place.things is not None else None
    return head is not None and head.kind in ("fault", "trouble")


def _is_found(place: Place) -> bool:
    """ "with the bearings blue": how something was found, which nobody set for the reading."""
    return bool(place.word == "with" and place.things is not None and place.phrase and place.phrase not in _RUNNING)


def _dimension(span: Span) -> str:
    unit = find(span.unit) if span.unit else None
    return unit.dimension if unit is not None else ""


def _set_apart(text: str) -> list[str]:
    """ "battery voltage running" is the battery voltage, under a condition: one that stands behind a quantity."""
    words = text.split()
    before = look(plain(words[-2])) if len(words) > 2 else ()
    if words[-1].lower() not in _TRAILING or not any(word.kind == "quantity" for word in before):
        return [text]
    return [" ".join(words[:-1]), words[-1]]


def _quantity(text: str, dimension: str) -> tuple[_Row | None, str]:
    """The row a name belongs to, and the name as it is told to who is no technician.

    The words of the row are left out where a language may tell the quantity by a verb of its own.
    """
    words = text.split(" ")
    fitting = [row for row in _rows() if dimension in row.dims]
    for row in fitting:
        for named, told in row.words.items():
            at = next((i for i in range(len(words)) if tuple(words[i : i + len(named)]) == named), None)
            if at is None:
                continue
            front, behind = _plainly(words[:at]), words[at + len(named) :]
            if row.said:
                rest = [*front, *behind]
                return row, " ".join(word for word in rest if row.quantity != "leakdown" or word not in _TESTS)
            if behind and row.quantity != "amount" and not _leads_on(behind[0]):
                return row, ""  # "runout mid tube": of what, nobody says
            return row, " ".join([*front, told, *behind])
    named_so = next((row for row in fitting if _noun_of(words, row.nouns)), None)
    return (None, text) if named_so is None else (named_so, " ".join(_plainly(words)))


def _leads_on(word: str) -> bool:
    """A word that begins a place: "at", "in"."""
    return any(found.cls == "place" for found in look(word))


def _noun_of(words: list[str], nouns: dict[str, str]) -> str:
    """The noun of a row that a name ends in, whatever its number; empty where it ends in none."""
    if not words:
        return ""
    single = next((word.base for word in look(words[-1]) if word.cls == "thing"), words[-1])
    pair = f"{words[-2]} {single}" if len(words) > 1 else ""
    return pair if pair in nouns else single if single in nouns else ""


def _plainly(words: list[str]) -> list[str]:
    """A name with the noun it ends in told plainly: a pad that is measured is a brake pad."""
    noun = _noun_of(words, _plain_nouns())
    if not noun:
        return words
    told = _plain_nouns()[noun]
    many = noun.rpartition(" ")[2] != words[-1]
    return [*words[: -len(noun.split(" "))], *(plural(told) if many else told).split(" ")]


def _name(text: str, where: str, book: Phrases) -> Nominal | None:
    """A name with its position as a record: one group with its places."""
    if not text:
        return None
    if where:
        text = _placed(text, where)
    sided = _SIDED.match(text)
    if sided is not None:
        text = f"{sided[2]} {sided[1]}"
    first, _, last = text.rpartition(" ")
    if first[-1:].isdecimal() and any(word.kind == "quantity" for word in look(last)):
        text = f"{last} of {first}"  # "sensor 3 resistance"
    named = read_name(text, book)
    return named if named is not None and len(named.things.groups) == 1 else None


def _sideless(word: str) -> bool:
    """What has no side of its own: a quantity, a gap, a leak."""
    kinds = {found.kind for found in look(word)}
    return not kinds.isdisjoint({"quantity", "fault", "trouble"}) or word in named_by() or word == "temp"


_FASTENERS = frozenset("nut bolt stud screw lug".split())
"""What stands at one place in number: the nuts of one wheel are not told as one."""


def _placed(text: str, where: str) -> str:
    """The position in front of the name: sides once and in order; a thing with its number stands behind it."""
    label = where.split(" ")
    sides = [word for word in _ORDER if word in (*label, *text.split(" "))]
    more = [word for word in label if word not in SIDES]
    body = [word for word in text.split(" ") if word not in SIDES]
    body[-1] = next(
        (word.base for word in look(body[-1]) if word.form == "many" and word.base not in _FASTENERS), body[-1]
    )
    if len(more) > 1 and any(word.cls == "thing" for word in look(more[0])) and more[-1][-1:].isdecimal():
        at = () if any(map(_leads_on, body)) else ("at",)  # "voltage at socket pin 4", "gap at cylinder 1"
        return " ".join([*sides, *body, *at, *more])
    if len(body) > 2 and _leads_on(body[1]) and _sideless(body[0]):
        return " ".join([*body[:2], *sides, *more, *body[2:]])  # "play in ball joint": the side is the thing's
    return " ".join([*sides, *more, *body])
