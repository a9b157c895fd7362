"""What was seen, as clauses: a thing and its state, a thing and what it does, a thing that is not there.

The grammar is closed: a text of unknown shape gives ``None`` and is quoted by the caller. Parsing is by descent with
a table of results by position, so its time stays within the square of the (capped) length.
"""

from dataclasses import replace
from functools import lru_cache

from ticket.language.forms import listed
from ticket.story.words import tag
from ticket.story.words.clause import BE, PAST, PRESENT, Clause, states_text, told_list
from ticket.story.words.groups import Group, group
from ticket.story.words.predicates import Predicates
from ticket.story.words.spell import measure
from ticket.story.words.tokens import NUMBER, QUOTE, STATE, UNIT, Token

__all__ = ["PAST", "PRESENT", "Clause", "Parser", "clauses", "noun_group", "told_list"]

MAX_WORDS = 80
LINKS = frozenset({"and", "but", "or", "then"})
_PLACES = frozenset("beyond below above against out off past outside within".split())
_PRONOUNS = frozenset("it they you we nothing everything".split())
_FLUIDS = frozenset("coolant oil fuel fluid grease".split())


def clauses(pieces: tuple[Token, ...], tense: str = PAST) -> list[Clause] | None:
    """All of a text as clauses, or ``None`` when some of it has no known shape."""
    flat = tuple(token for piece in pieces for token in tag.contracted(piece))
    if not flat or len(flat) > MAX_WORDS or any(piece.kind == QUOTE for piece in flat):
        return None
    found = Parser(flat, tense).everything()
    if found is None and any(piece.low in tag.STATELIKE for piece in flat[1:]):
        told = [Token(piece.text, STATE) if i and piece.low in tag.STATELIKE else piece for i, piece in enumerate(flat)]
        found = Parser(tuple(told), tense).everything()
    return found


@lru_cache(maxsize=1024)
def noun_group(pieces: tuple[Token, ...]) -> tuple[Group, str] | None:
    """A text that is one noun group with what is tied to it, else ``None``.

    "Connection at fuse box" gives the group and " at the fuse box"; "sensor that fails when hot" keeps its tense.
    """
    if not pieces or len(pieces) > MAX_WORDS:
        return None
    parser = Parser(pieces, PRESENT)
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
        shared = first.defect and not more.defect and not more.many  # "a corroded trailer socket and ground"
        text = more.any() if (parser.low(end) == "and" and not shared) or more.defect else more.bare()
        if parser.low(end) == "or" and " " in more.words:  # "windshield or door seals" share their head
            first = replace(first, noun=more.noun, many=more.many)
        more_tied, after = parser.tied(more.end)
        tied, end = f"{tied} {parser.low(end)} {text}{more_tied}", after
    return (first, tied) if end == len(pieces) else None


class Parser(Predicates):
    """Clauses of a text by descent."""

    def __init__(self, pieces: tuple[Token, ...], tense: str) -> None:
        super().__init__(pieces, tense)
        self._clauses: dict[int, Clause | None] = {}

    def everything(self) -> list[Clause] | None:
        """All clauses, or ``None``."""
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
                out[-1] = self._joined(out[-1], states[0], "but" if self.low(i - 1) == "but" else "and")
                return states[1]
            dual = tag.noun(self.at(i)) is not None and self.low(i) not in ("smells", "smelled", "feels")
            stative = tag.state(self.at(i)) is not None and not self.at(i).low.endswith("s")
            bare = self.low(i - 1) not in LINKS and (
                dual or stative
            )  # "hose wet, drops below", "split, wet insulation"
            again = None if bare else self._verb(i, out[-1].subject, out[-1].many)
            if again is not None:
                link = self.low(i - 1) if self.low(i - 1) in LINKS else "and"
                out[-1] = replace(out[-1], form="verb", rest=f"{out[-1].rest} {link} {again.rest}")
                return again.end
        alone = group(self.pieces, i)
        if alone is not None:
            tied, end = self.tied(alone.end)
            if end == len(self.pieces) or self.low(end) in (",", ";", "and"):
                if out and alone.defect and not alone.given:
                    be = BE[self.tense][alone.many]
                    out.append(Clause("there", alone.any() + tied, alone.many, be, "", end=end))
                else:
                    out.append(Clause("bare", alone.any() + tied, alone.many, "", "", end=end))
                return end
        return None

    def _joined(self, clause: Clause, states: list[tuple[str, str]], link: str) -> Clause:
        if clause.form == "state":
            if link == "but":
                states = [(f"but {states[0][0]}", states[0][1]), *states[1:]]
            parts = (*clause.parts, *states)
            return replace(clause, rest=states_text(parts), parts=parts)
        be = f"{BE[self.tense][clause.many]} "
        again = "" if clause.rest.startswith(be) else be
        return replace(clause, rest=f"{clause.rest} {link} {again}{states_text(tuple(states))}")

    def clause(self, i: int) -> Clause | None:
        """The clause that opens at ``i``; boundaries are marks, links and the end."""
        if i not in self._clauses:
            self._clauses[i] = None
            self._clauses[i] = self._clause(i)
        return self._clauses[i]

    def _clause(self, i: int) -> Clause | None:
        low = self.low(i)
        if low in tag.SIDES and tag.noun(self.at(i + 1)) is None:
            found = self._predicate(i + 1, f"the {low}", many=False)
            if found is not None:
                return found
        if low in ("inside", "outside"):
            return self._predicate(i + 1, f"the {low}", many=False)
        if low in _PRONOUNS:
            return self._predicate(i + 1, low, many=low in ("they", "you", "we"))
        if self.low(i) == "no":
            return self._none(i)
        if self.low(i) == "none":
            tied, end = self.tied(i + 1)
            if tied and self._boundary(end):
                return Clause("no", f"none{tied}", False, BE[self.tense][False], "", end=end)
            return None
        subject = self._subject(i)
        if subject is None:
            return self._figure_there(i)
        text, many, end, first = subject
        found = self._predicate(end, text, many=many)
        if found is not None and found.form == "verb" and first.noun.kind == "trouble" and text == first.words:
            return replace(found, subject=f"the {text}")  # "the noise stayed"
        if found is not None:
            return found
        placed = self._placed(first) if text.startswith(first.the()) and first.given != "no" else None
        if placed is not None:
            return placed
        return self._there(first)

    def _figure_there(self, i: int) -> Clause | None:
        """A measure and where it was: "12.6 V at the plug"."""
        if self.at(i).kind != NUMBER or self.at(i + 1).kind != UNIT:
            return None
        tied, end = self.tied(i + 2)
        if not tied or not self._boundary(end):
            return None
        number = self.at(i).text
        many = number.lstrip("+-") != "1"
        return Clause("there", measure(number, self.at(i + 1).text) + tied, many, BE[self.tense][many], "", end=end)

    def _there(self, first: Group) -> Clause | None:
        """Something that was where it should not be: "water in plug"."""
        foreign = first.noun.kind in ("matter", "fault", "trouble") or first.words in _FLUIDS
        if not foreign or first.given or not tag.preposition(self.at(first.end)):
            return None
        tied, end = self.tied(first.end)
        if not self._boundary(end):
            return None
        words = first.any() if first.noun.kind == "fault" else first.bare()
        return Clause("there", words + tied, first.many, BE[self.tense][first.many], "", end=end)

    def _placed(self, first: Group) -> Clause | None:
        """A thing and where it was: "tensioner arm beyond its wear mark"."""
        if self.low(first.end) not in _PLACES or first.noun.kind in ("matter", "trouble"):
            return None
        tied, end = self.tied(first.end)
        if not tied or not self._boundary(end):
            return None
        parts = ((tied.strip(), "neutral"),)
        return Clause("state", first.the(), first.many, BE[self.tense][first.many], tied.strip(), parts, end)

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
            text, end = f"{text} {states_text(tuple(states[0]))}", states[1]
        elif verb is not None and self.low(end) == verb.participle and verb.form != "base":
            after_tied, end = self.tied(end + 1)
            text = f"{text} {verb.participle}{after_tied}"
        if not self._boundary(end):
            if tag.finite(self.at(end)) is not None:
                return self._predicate(end, text, many=first.many)
            return None
        return Clause("no", text, first.many, BE[self.tense][first.many], "", end=end)

    def _acts(self, i: int) -> bool:
        return self._predicate(i, "", many=False) is not None

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
        if len(groups) == 2 and all(
            text == f"the {one.words}" and " " not in one.words for text, one in zip(texts, groups, strict=True)
        ):
            texts[1] = groups[1].words  # "the hoses and clamps"
        return listed(texts), len(texts) > 1 or first.many, end, first
