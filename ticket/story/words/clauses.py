"""What was seen, as clauses: a thing and its state, a thing and what it does, a thing that is not there.

The grammar is closed: a text of unknown shape gives ``None`` and is quoted by the caller. Parsing is by descent with
a table of results by position, so its time stays within the square of the (capped) length.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ticket.story.words import tag
from ticket.readings.units import find
from ticket.story.words.forms import a_or_an, listed
from ticket.story.words.groups import Group, group
from ticket.story.words.lexicon import Verb
from ticket.story.words.spell import measure, unit_text
from ticket.story.words.tokens import CODE, MARK, NUMBER, QUOTE, STATE, UNIT, Token

PAST, PRESENT = "past", "present"
MAX_WORDS = 80
LINKS = frozenset({"and", "but", "or", "then"})
_BE = {PAST: ("was", "were"), PRESENT: ("is", "are")}
_AUX_PAST = {"is": "was", "are": "were", "has": "had", "have": "had", "do": "did", "does": "did"}
_MODAL_PAST = {"can": "could", "will": "would", "may": "might", "cannot": "could not"}
# Verbs whose object is some of a matter: "you smell coolant", "the engine burned oil".
_SOME = frozenset(
    "smell smelled smells lose loses lost burn burns burned leak leaks leaked drip drips dripped use uses used need needs needed"
    " contain contains contained show shows showed see saw sees hear hears heard".split()
)
_RUNS = frozenset("run drive wait soak cycle stop trip test".split())
_BEING = frozenset({"is", "are", "was", "were", "be"})
# Prepositions of two words: "away from the hinge", "out of its clip".
_PAIRED = {
    "away": ("from",), "out": ("of", "at"), "up": ("to", "against"), "down": ("to", "onto"), "next": ("to",),
    "close": ("to",), "clear": ("of",), "back": ("to", "into", "from"), "over": ("to",), "off": ("of", "from"),
}  # fmt: skip
_WHERE = frozenset("inside outside below above behind there here beneath underneath around nearby".split())
_PLACES = frozenset("beyond below above against out off past outside within".split())
_EASE = frozenset("longer harder slower easier hard slow easy late unable failed fails able".split())
_PRONOUNS = frozenset("it they you we".split())
_TIME = frozenset("s sec min h hr minutes minute seconds hours mins".split())


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause.

    Attributes:
        form: ``state`` (the hose was dry), ``verb`` (the relay clicked), ``no`` (no play at the hub), ``there``
            (water in the plug), ``bare`` (a noun group alone).
        subject: what it speaks of, with its article; for ``no``, ``there`` and ``bare`` the whole text.
        many: the subject is plural.
        verb: ``was`` or ``were`` before a state; empty otherwise.
        rest: the states, or the verb and what follows.
        parts: the states one by one, with their sense.
        end: place of the token behind it.
        link: the word typed between the clause before and this one; empty for a comma.
    """

    form: str
    subject: str
    many: bool
    verb: str
    rest: str
    parts: tuple[tuple[str, str], ...] = ()
    end: int = 0
    link: str = ""

    @property
    def text(self) -> str:
        """The clause as it stands inside a sentence."""
        if self.form == "no":
            return f"there {self.verb} {self.subject}"
        if self.form == "there":
            return f"there {self.verb} {self.subject}"
        return " ".join(piece for piece in (self.subject, self.verb, self.rest) if piece)


def clauses(pieces: tuple[Token, ...], tense: str = PAST) -> list[Clause] | None:
    """All of a text as clauses, or ``None`` when some of it has no known shape."""
    flat = tuple(token for piece in pieces for token in tag.contracted(piece))
    if not flat or len(flat) > MAX_WORDS or any(piece.kind == QUOTE for piece in flat):
        return None
    found = _Parser(flat, tense).everything()
    if found is None and any(piece.low in tag.STATELIKE for piece in flat[1:]):
        told = [Token(piece.text, STATE) if i and piece.low in tag.STATELIKE else piece for i, piece in enumerate(flat)]
        found = _Parser(tuple(told), tense).everything()
    return found


def noun_group(pieces: tuple[Token, ...]) -> tuple[Group, str] | None:
    """A text that is one noun group with what is tied to it, else ``None``.

    "Connection at fuse box" gives the group and " at the fuse box"; "sensor that fails when hot" keeps its tense.
    """
    if not pieces or len(pieces) > MAX_WORDS:
        return None
    parser = _Parser(pieces, PRESENT)
    first = group(pieces, 0)
    if first is None:
        return None
    tied, end = parser.tied(first.end)
    if parser.low(end) in ("that", "which"):
        found = parser.predicate(end + 1, many=first.many)
        if found is not None:
            tied, end = f"{tied} {parser.low(end)} {found.rest}", found.end
    verb = tag.verb(parser.at(end))
    if verb is not None and verb.form == "gerund":
        rest, after = parser.rest(end + 1)
        if rest is not None:
            first = replace(first, defect=True)  # "fluid passing the seal": told without "the"
            tied, end = f"{tied} {parser.low(end)}{rest}", after
    while parser.low(end) in ("or", "and") and (more := group(pieces, end + 1)) is not None:
        text = more.any() if parser.low(end) == "and" or more.defect else more.bare()
        if parser.low(end) == "or":
            first = replace(first, noun=more.noun, many=more.many)
        more_tied, after = parser.tied(more.end)
        tied, end = f"{tied} {parser.low(end)} {text}{more_tied}", after
    return (first, tied) if end == len(pieces) else None


def told_list(items: Sequence[Clause], *, comma: str = ",") -> str:
    """Clauses side by side as one sentence, without its stop.

    Args:
        items: the clauses; the link typed before each is kept.
        comma: stands before the link of two; empty inside a longer sentence.
    """
    texts = [item.text for item in items]
    if len(texts) == 2:
        return f"{texts[0]}{comma} {items[1].link or 'and'} {texts[1]}"
    return listed(texts, next((item.link for item in items[1:] if item.link in ("or", "but")), "and"))


class _Parser:
    def __init__(self, pieces: tuple[Token, ...], tense: str) -> None:
        self.pieces = pieces
        self.tense = tense
        self._clauses: dict[int, Clause | None] = {}

    def at(self, i: int) -> Token:
        return self.pieces[i] if i < len(self.pieces) else Token("", MARK)

    def low(self, i: int) -> str:
        return self.at(i).low

    def everything(self) -> list[Clause] | None:
        out: list[Clause] = []
        i = 0
        while i < len(self.pieces):
            start, had = i, len(out)
            if out:
                i = self._link(i)
                if i == start:
                    return None
            found = self._more(out, i)
            if found is None:
                return None
            if had and len(out) > had:
                word = self.low(i - 1)
                out[-1] = replace(out[-1], link=word if word not in (",", ";") else "")
            i = found
        return out or None

    def _link(self, i: int) -> int:
        if self.low(i) in (",", ";"):
            i += 1
        if self.low(i) in LINKS:
            i += 1
        return i

    def _more(self, out: list[Clause], i: int) -> int | None:
        """One more clause, or more states of the thing before."""
        smells = bool(out) and self.low(i) in ("smells", "smelled", "feels") and out[-1].form in ("state", "verb")
        found = None if smells else self.clause(i)
        if found is not None:
            out.append(found)
            return found.end
        if out and out[-1].form in ("state", "verb"):
            states = self._states(i)
            if states is not None:
                out[-1] = self._joined(out[-1], states[0])
                return states[1]
            dual = tag.noun(self.at(i)) is not None and self.low(i) not in ("smells", "smelled", "feels")
            bare = self.low(i - 1) not in LINKS and dual  # "hose wet, drops below"
            again = None if bare else self._verb(i, out[-1].subject, out[-1].many)
            if again is not None:
                link = self.low(i - 1) if self.low(i - 1) in LINKS else "and"
                out[-1] = replace(out[-1], form="verb", rest=f"{out[-1].rest} {link} {again.rest}")
                return again.end
        alone = group(self.pieces, i)
        if alone is not None:
            tied, end = self.tied(alone.end)
            if end == len(self.pieces) or self.low(end) in (",", ";", "and"):
                out.append(Clause("bare", alone.any() + tied, alone.many, "", "", end=end))
                return end
        return None

    def _joined(self, clause: Clause, states: list[tuple[str, str]]) -> Clause:
        if clause.form == "state":
            parts = (*clause.parts, *states)
            return replace(clause, rest=_states_text(parts), parts=parts)
        be = _BE[self.tense][clause.many]
        return replace(clause, rest=f"{clause.rest} and {be} {_states_text(tuple(states))}")

    def clause(self, i: int) -> Clause | None:
        """The clause that opens at ``i``; boundaries are marks, links and the end."""
        if i not in self._clauses:
            self._clauses[i] = None
            self._clauses[i] = self._clause(i)
        return self._clauses[i]

    def _clause(self, i: int) -> Clause | None:
        if self.low(i) == "nothing" or self.low(i) == "everything":
            return self._predicate(i + 1, self.low(i), many=False)
        if self.low(i) in ("rear", "front", "left", "right") and tag.noun(self.at(i + 1)) is None:
            found = self._predicate(i + 1, f"the {self.low(i)}", many=False)
            if found is not None:
                return found
        if self.low(i) in ("inside", "outside"):
            return self._predicate(i + 1, f"the {self.low(i)}", many=False)
        if self.low(i) in _PRONOUNS:
            return self._predicate(i + 1, self.low(i), many=self.low(i) != "it")
        if self.low(i) == "no":
            return self._none(i)
        if self.low(i) == "none":
            tied, end = self.tied(i + 1)
            if tied and self._boundary(end):
                return Clause("no", f"none{tied}", False, _BE[self.tense][False], "", end=end)
            return None
        subject = self._subject(i)
        if subject is None:
            return None
        text, many, end, first = subject
        found = self._predicate(end, text, many=many)
        if found is not None:
            return found
        placed = self._placed(first) if text.startswith(first.the()) and not first.given else None
        if placed is not None:
            return placed
        if first.noun.kind in ("matter", "fault", "trouble") or first.words in (
            "coolant",
            "oil",
            "fuel",
            "fluid",
            "grease",
        ):
            if not first.given and tag.preposition(self.at(first.end)):
                tied, end = self.tied(first.end)
                if self._boundary(end):
                    be = _BE[self.tense][first.many]
                    words = first.any() if first.noun.kind == "fault" else first.bare()
                    return Clause("there", words + tied, first.many, be, "", end=end)
        return None

    def _placed(self, first: Group) -> Clause | None:
        """A thing and where it was: "tensioner arm beyond its wear mark"."""
        if self.low(first.end) not in _PLACES or first.noun.kind in ("matter", "trouble"):
            return None
        tied, end = self.tied(first.end)
        if not tied or not self._boundary(end):
            return None
        parts = ((tied.strip(), "neutral"),)
        return Clause("state", first.the(), first.many, _BE[self.tense][first.many], tied.strip(), parts, end)

    def _none(self, i: int) -> Clause | None:
        first = group(self.pieces, i)
        if first is None:
            return None
        text = first.bare()
        tied, end = self.tied(first.end)
        text += tied
        while (
            self.low(end) in ("or", "and")
            and (more := group(self.pieces, end + 1)) is not None
            and not self._acts(more.end)
        ):
            tied, after = self.tied(more.end)
            text += f" {self.low(end)} {more.bare()}{tied}"
            end = after
        states = self._states(end)
        verb = tag.verb(self.at(end))
        if states is not None:
            text, end = f"{text} {_states_text(tuple(states[0]))}", states[1]
        elif verb is not None and self.low(end) == verb.participle and verb.form != "base":
            after_tied, end = self.tied(end + 1)
            text = f"{text} {verb.participle}{after_tied}"
        if not self._boundary(end):
            if tag.finite(self.at(end)) is not None:
                return self._predicate(end, text, many=first.many)
            return None
        return Clause("no", text, first.many, _BE[self.tense][first.many], "", end=end)

    def _acts(self, i: int) -> bool:
        return self._predicate(i, "", many=False) is not None

    def _boundary(self, i: int) -> bool:
        return i >= len(self.pieces) or self.low(i) in (",", ";", "and", "but", "or")

    def _subject(self, i: int) -> tuple[str, bool, int, Group] | None:
        """A noun group, what is tied to it, and others beside it."""
        first = group(self.pieces, i)
        if first is None:
            return None
        tied, end = self.tied(first.end)
        texts = [first.the() + tied]
        groups = [first]
        while self.low(end) == "and" or (self.low(end) == "," and len(texts) < 4):
            step = 2 if self.low(end) == "," and self.low(end + 1) == "and" else 1
            more = group(self.pieces, end + step)
            if more is None or more.given == "no":
                break
            tied, after = self.tied(more.end)
            if self.low(end) == "," and self.low(after) not in ("and", ","):
                break
            if not (self._acts(after) or self.low(after) in ("and", ",")):
                break
            if self.low(end) == "and" and not self._acts(after):
                break
            texts.append(more.the() + tied)
            groups.append(more)
            end = after
        if len(groups) == 2 and all(text == f"the {one.words}" and " " not in one.words for text, one in zip(texts, groups, strict=True)):
            texts[1] = groups[1].words  # "the hoses and clamps"
        return listed(texts), len(texts) > 1 or first.many, end, first

    def predicate(self, i: int, *, many: bool) -> Clause | None:
        """What is said of a subject that was named before."""
        return self._verb(i, "", many)

    def _predicate(self, i: int, subject: str, *, many: bool) -> Clause | None:
        states = self._states(i)
        if states is not None:
            found, end = states
            return Clause("state", subject, many, _BE[self.tense][many], _states_text(tuple(found)), tuple(found), end)
        if self.low(i) == "no" and (lacking := group(self.pieces, i)) is not None:
            tied, end = self.tied(lacking.end)
            if self._boundary(end):
                had = "had" if self.tense == PAST else "have" if many else "has"
                return Clause("verb", subject, many, "", f"{had} {lacking.bare()}{tied}", end=end)
        reading = self._reading(i, subject, many)
        return reading or self._verb(i, subject, many)

    def _reading(self, i: int, subject: str, many: bool) -> Clause | None:
        """A figure with its unit behind the thing, and a bracket of limits: "shaft play 0.03 mm (max 0.10)"."""
        if self.at(i).kind != NUMBER or self.at(i + 1).kind != UNIT or self.low(i + 1) in _TIME:
            return None
        number, unit = self.at(i).text, self.at(i + 1).text
        end = i + 2
        told = measure(number, unit)
        if self.low(end) == "(":
            limit = self._bracket(end, unit)
            if limit is None:
                return None
            told, end = f"{told} ({limit[0]})", limit[1]
        if not self._boundary(end):
            return None
        return Clause("reading", subject, many, _BE[self.tense][many], told, end=end)

    def _bracket(self, i: int, unit: str) -> tuple[str, int] | None:
        close = next((k for k in range(i, min(i + 9, len(self.pieces))) if self.low(k) == ")"), None)
        if close is None:
            return None
        inner = [piece for piece in self.pieces[i + 1 : close] if piece.kind != UNIT]
        per = next((k for k, piece in enumerate(inner) if piece.low == "per"), len(inner))
        inner = inner[:per]
        if len(inner) == 2 and inner[0].low in ("max", "min") and inner[1].kind == NUMBER:
            figure = measure(inner[1].text, unit)
            words = "no more than {} is allowed" if inner[0].low == "max" else "at least {} is needed"
            return words.format(figure), close + 1
        if len(inner) == 3 and inner[1].low == "to" and inner[0].kind == inner[2].kind == NUMBER:
            return f"{inner[0].text} to {inner[2].text}{unit_text(inner[2].text, unit)} is normal", close + 1
        return None

    def _states(self, i: int) -> tuple[list[tuple[str, str]], int] | None:
        """One state or several of one thing: "slightly swollen near clamp, dry"."""
        first = self._state(i)
        if first is None:
            return None
        out, end = [first[0]], first[1]
        while self.low(end) in (",", "and", "but"):
            step = end + 1 + (self.low(end) == "," and self.low(end + 1) in ("and", "but"))
            if self.clause(step) is not None:
                break
            more = self._state(step) or self._placed_state(step)
            if more is None:
                break
            out.append(more[0])
            end = more[1]
        return (out, end) if self._boundary(end) else None

    def _placed_state(self, i: int) -> tuple[tuple[str, str], int] | None:
        """ "dry and in place"."""
        found = self._tie(i)
        return ((found[0].strip(), "neutral"), found[1]) if found is not None and self._boundary(found[1]) else None

    def _state(self, i: int) -> tuple[tuple[str, str], int] | None:
        verb = tag.finite(self.at(i))
        if verb is not None and verb.form == "base" and self.low(i + 1) in ("down", "up", "out"):
            return None  # "wipers slow down"
        words: list[str] = []
        negated = False
        while self.low(i) == "not" or (tag.adverb(self.at(i)) and self._more_state(i + 1)):
            negated = negated or self.low(i) == "not"
            words.append(self.low(i))
            i += 1
        found = tag.state(self.at(i))
        if found is None:
            return None
        if self.low(i) in tag.PARTICLES and tag.state(self.at(i + 1)) is not None:
            return None
        text = found.after
        verb = tag.verb(self.at(i))
        i += 1
        if self.low(i) in tag.PARTICLES and (
            verb is not None or self.low(i - 1) in ("stuck", "frozen", "jammed", "seized")
        ):
            if not (tag.preposition(self.at(i)) and group(self.pieces, i + 1) is not None):
                text = (
                    self.low(i - 1) if found.after != self.low(i - 1) and verb is None else text
                ) + f" {self.low(i)}"
                i += 1
        elif self.low(i) == "go" and self.low(i - 1) == "let":
            text, i = "let go", i + 1
        words.append(text)
        tied, end = self._rest(i)
        if tied is None:
            return None
        sense = {"good": "bad", "bad": "good"}.get(found.sense, found.sense) if negated else found.sense
        return (" ".join(words) + tied, sense), end

    def _more_state(self, i: int) -> bool:
        return tag.state(self.at(i)) is not None or self.low(i) == "not" or tag.adverb(self.at(i))

    def _verb(self, i: int, subject: str, many: bool) -> Clause | None:
        words: list[str] = []
        while tag.adverb(self.at(i)) and self.low(i) not in tag.PARTICLES:
            words.append(self.low(i))
            i += 1
        low = self.low(i)
        after = ""
        if low in tag.AUXILIARIES:
            if many and " and " in subject and low in ("is", "was", "has", "does"):
                return None  # what looks like two subjects is one, and something before it
            words.append(_AUX_PAST.get(low, low) if self.tense == PAST else low)
            after, i = ("have" if low in ("has", "have", "had") else low), i + 1
        elif low in tag.MODALS:
            words.append(_MODAL_PAST.get(low, low) if self.tense == PAST else low)
            after, i = "modal", i + 1
        else:
            verb = tag.finite(self.at(i))
            pointing = verb is not None and verb.base == "point" and self.low(i + 1) == "to"
            if verb is None or (tag.noun(self.at(i)) and verb.base not in tag.VERB_FIRST and not pointing):
                return None
            words.append(self._tensed(verb, self.at(i)))
            i += 1
        if after:
            helped = self._helped(i, after)
            if helped is None:
                return None
            words += helped[0]
            i = helped[1]
        some = after == "have" or any(word in _SOME for word in words[-1:])
        rest, end = self._rest(i, has=some, modal=after == "modal")
        if rest is None or not self._boundary(end):
            return None
        return Clause("verb", subject, many, "", " ".join(words) + rest, end=end)

    def _helped(self, i: int, after: str) -> tuple[list[str], int] | None:
        """What may follow an auxiliary or modal: a negation, then a base form or a state."""
        words: list[str] = []
        while self.low(i) in ("not", "never") or (tag.adverb(self.at(i)) and self.low(i) not in tag.PARTICLES):
            words.append(self.low(i))
            i += 1
        if after in ("have", "modal") and self.low(i) == ("been" if after == "have" else "have"):
            words.append(self.low(i))
            i += 1
            if after == "modal":
                return self._participle(words, i)
            while tag.adverb(self.at(i)) and self.low(i) not in tag.PARTICLES:
                words.append(self.low(i))
                i += 1
            return words, i
        verb = tag.verb(self.at(i))
        if after in _BEING and verb is not None and self.low(i) == verb.participle and tag.noun(self.at(i)) is None:
            return [*words, self.low(i)], i + 1
        if after == "have" and verb is not None and self.low(i) == verb.participle and tag.noun(self.at(i)) is None:
            return [*words, self.low(i)], i + 1
        if after in ("do", "does", "did", "modal"):
            if self.low(i) == "be" and tag.state(self.at(i + 1)):
                return [*words, "be"], i + 1
            if verb is None or verb.form != "base":
                return None
            return [*words, self.low(i)], i + 1
        return words, i

    def _participle(self, words: list[str], i: int) -> tuple[list[str], int] | None:
        """After "may have": "seeped"."""
        while tag.adverb(self.at(i)) and self.low(i) not in tag.PARTICLES:
            words.append(self.low(i))
            i += 1
        if self.low(i) == "been":
            return [*words, "been"], i + 1
        verb = tag.verb(self.at(i))
        return ([*words, self.low(i)], i + 1) if verb is not None and self.low(i) == verb.participle else None

    def _tensed(self, verb: Verb, piece: Token) -> str:
        if self.tense == PAST:
            return verb.past
        return piece.low

    def tied(self, i: int) -> tuple[str, int]:
        """Prepositions with their groups behind a noun group, as far as they go."""
        text = ""
        while True:
            found = self._tie(i)
            if found is None:
                return text, i
            text, i = text + found[0], found[1]

    def _tie(self, i: int) -> tuple[str, int] | None:
        piece = self.at(i)
        low = piece.low
        if low in _WHERE and self._boundary(i + 1):
            return f" {low}", i + 1
        if low in _PAIRED and self.low(i + 1) in _PAIRED[low]:
            further = self._tie(i + 1)
            return (f" {low}{further[0]}", further[1]) if further is not None else None
        if low == "(" or not tag.preposition(piece):
            return None
        if low == "within" and self.low(i + 1) == "limits":
            return " within limits", i + 2
        number = self._figure(i + 1)
        if number is not None:
            return self._long(i, number) or (f" {low}{number[0]}", number[1])
        found = group(self.pieces, i + 1)
        if found is None:
            if self.low(i + 1) in ("it", "them", "itself", "there"):
                return f" {low} {self.low(i + 1)}", i + 2
            return None
        text = found.some() if low in ("with", "of", "without", "for", "into", "as") else found.the()
        if low in ("under", "at", "without") and found.words in ("load", "pressure", "tension", "vacuum", "stress"):
            text = found.bare()
        end = found.end
        if low == "without" and found.noun.kind == "fault" and not found.given:
            text = found.bare()
        if low in ("with", "without"):
            held = self._held(i, text, found)
            if held is not None:
                return held
            state = tag.state(self.at(end))
            switched = self.low(end) in ("on", "off") and tag.state(self.at(end + 1)) is not None
            if state is not None and (self._boundary(end + 1) or switched):
                head = found.the() if not found.given else text
                return f" {low} {head} {state.after}", end + 1
        while self.low(end) == "and" and (more := group(self.pieces, end + 1)) is not None:
            if self.clause(end + 1) is not None or not (self._boundary(more.end) or self.at(more.end).kind == NUMBER):
                break
            text += f" and {more.some() if low in ('with', 'of', 'without', 'for') else more.the()}"
            end = more.end
        return f" {low} {text}", end

    def _long(self, i: int, number: tuple[str, int]) -> tuple[str, int] | None:
        """ "After 20 min run" is "after a 20-minute run"."""
        unit, behind = self.at(i + 2), tag.noun(self.at(number[1]))
        if unit.kind != UNIT or behind is None or behind.singular not in _RUNS or number[1] != i + 3:
            return None
        known = find(unit.text)
        one = known.one if known is not None else unit.text
        figure = self.at(i + 1).text
        return f" {self.low(i)} {a_or_an(figure)} {figure}-{one} {self.low(number[1])}", number[1] + 1

    def _held(self, i: int, text: str, found: Group) -> tuple[str, int] | None:
        """ "with headlights and rear window heater on"."""
        texts, end = [found.the()], found.end
        while self.low(end) in ("and", ",") and (more := group(self.pieces, end + 1)) is not None:
            texts.append(more.the())
            end = more.end
        state = tag.state(self.at(end))
        if len(texts) < 2 or state is None or not self._boundary(end + 1):
            return None
        return f" {self.low(i)} {listed(texts)} {state.after}", end + 1

    def _figure(self, i: int) -> tuple[str, int] | None:
        """A figure with its unit, or alone at the end: "after 20 min idle" is "after 20 minutes at idle"."""
        if self.at(i).kind != NUMBER:
            return None
        number = self.at(i).text
        if self.at(i + 1).kind == UNIT:
            unit = self.at(i + 1).text
            text = f" {measure(number, unit)}"
            end = i + 2
            if self.low(end) in ("idle", "idling") and unit.lower() in _TIME:
                return f"{text} at idle", end + 1
            return text, end
        if self.low(i + 1) in ("times", "of"):
            return None
        return (f" {number}", i + 1) if self._boundary(i + 1) or tag.preposition(self.at(i + 1)) else None

    def _base(self, i: int) -> bool:
        """A verb in its base form, after "may ... and"; its object or preposition follows."""
        verb = tag.verb(self.at(i))
        return (
            verb is not None
            and verb.form == "base"
            and (
            tag.noun(self.at(i)) is None or self.low(i + 1) in tag.DETERMINERS or tag.adverb(self.at(i + 1))
        )
        )

    def rest(self, i: int) -> tuple[str | None, int]:
        """What follows a verb."""
        return self._rest(i)

    def _rest(self, i: int, *, has: bool = False, modal: bool = False) -> tuple[str | None, int]:
        """What follows a verb or a state up to the next boundary; ``None`` when its shape is unknown."""
        text = ""
        linked = True  # a noun group may stand here
        lets = self.low(i - 1) in ("let", "lets", "makes", "made", "helps")
        while i < len(self.pieces):
            low = self.low(i)
            if low in (",", ";", "but", ")"):
                break
            if low in ("and", "or"):
                if self.clause(i + 1) is not None:
                    break
                if modal and self._base(i + 1):
                    text += f" {low} {self.low(i + 1)}"
                    i, linked = i + 2, True
                    continue
                if self._states_only(i + 1) or self._verb_next(i + 1):
                    break
                more = group(self.pieces, i + 1)
                if more is None:
                    return None, i
                text += f" {low} {more.some() if has else more.the()}"
                i = more.end
                continue
            step = self._piece(i, linked=linked, has=has, lets=lets)
            if step is None:
                return None, i
            text += step[0]
            i, linked = step[1], step[2]
        return text, i

    def _states_only(self, i: int) -> bool:
        if tag.state(self.at(i)) is None:
            return False
        return self._boundary(i + 1) or group(self.pieces, i) is None

    def _verb_next(self, i: int) -> bool:
        piece = self.at(i)
        return (tag.finite(piece) is not None and tag.noun(piece) is None) or piece.low in tag.AUXILIARIES | tag.MODALS

    def subordinate(self, i: int) -> tuple[str, int] | None:
        """A clause of circumstance: "once charged", "when the engine moves"."""
        return self._subordinate(i)

    def _piece(self, i: int, *, linked: bool, has: bool, lets: bool) -> tuple[str, int, bool] | None:
        piece, low = self.at(i), self.low(i)
        sub = self._subordinate(i)
        if sub is not None:
            return sub[0], sub[1], False
        if low == "to" and self.low(i - 1) in _EASE and (verb := tag.verb(self.at(i + 1))) and verb.form == "base":
            return f" to {self.low(i + 1)}", i + 2, True
        tie = self._tie(i)
        if tie is not None:
            return tie[0], tie[1], False
        if low in ("than", "like", "by", "from") and self.at(i + 1).kind == CODE:
            return f" {low} {self.at(i + 1).text}", i + 2, False
        figure = self._figure(i)
        if figure is not None and linked:
            return figure[0], figure[1], False
        if piece.kind == NUMBER and self.low(i + 1) == "times":
            return f" {piece.text} times", i + 2, False
        if linked and (found := group(self.pieces, i)) is not None:
            return f" {found.some() if has else found.the()}", found.end, False
        if piece.kind == NUMBER and self.at(i + 1).kind == UNIT:
            return f" {measure(piece.text, self.at(i + 1).text)}", i + 2, False
        if (low in ("before", "after", "since") or low in tag.ADVERBS) and self._boundary(i + 1):
            return f" {low}", i + 1, False
        if low in ("something", "anything", "nothing", "everything") and linked:
            return f" {low}", i + 1, False
        if low in ("times", "not", "never", "it", "them", "itself") or tag.adverb(piece) or low in tag.PARTICLES:
            return f" {low}", i + 1, linked
        state = tag.state(piece)
        if state is not None and tag.noun(piece) is None:
            if low == "let" and self.low(i + 1) == "go":
                return " let go", i + 2, False
            return f" {state.after}", i + 1, False
        if low == "as" and tag.state(self.at(i + 1)) is not None:
            return f" as {self.low(i + 1)}", i + 2, False
        verb = tag.verb(piece)
        dual = tag.noun(piece) is not None and self.low(i - 1) not in ("it", "them")
        if lets and verb is not None and verb.form == "base" and not dual:
            return f" {low}", i + 1, True
        if low == "to" and (verb := tag.verb(self.at(i + 1))) is not None and verb.form == "base":
            return f" to {self.low(i + 1)}", i + 2, True
        return None

    def _subordinate(self, i: int) -> tuple[str, int] | None:
        """ "when engine moves", "as soon as pedal is let go", "when warm"."""
        opener, start = self.low(i), i + 1
        if opener == "as" and self.low(i + 1) in ("soon", "long") and self.low(i + 2) == "as":
            opener, start = f"as {self.low(i + 1)} as", i + 3
        elif opener not in tag.SUBORDINATORS and not (opener == "that" and tag.verb(self.at(i - 1)) is not None):
            return None
        gerund = tag.verb(self.at(start))
        if opener in ("while", "when", "after", "before") and gerund is not None and gerund.form == "gerund":
            rest, end = self._rest(start + 1)
            return None if rest is None else (f" {opener} {self.low(start)}{rest}", end)
        found = self.clause(start)
        if found is not None and found.form in ("state", "verb"):
            return f" {opener} {found.text}", found.end
        if opener in ("when", "while", "if", "until", "once"):
            state = tag.state(self.at(start))
            if state is not None and self._boundary(start + 1):
                return f" {opener} {state.after}", start + 1
        return None


def _states_text(parts: tuple[tuple[str, str], ...]) -> str:
    """States side by side; "but" only from a bad one to a good one."""
    texts = [text for text, _ in parts]
    if len(parts) == 2 and parts[0][1] == "bad" and parts[1][1] == "good":
        return " but ".join(texts)
    return listed(texts)
