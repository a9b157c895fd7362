"""Where, when and with what: prepositions with their groups, and the figures behind them."""

from ticket.language.forms import a_or_an, listed
from ticket.readings.units import find
from ticket.story.words import tag
from ticket.story.words.clause import Clause
from ticket.story.words.groups import Group, group
from ticket.story.words.spell import measure
from ticket.story.words.tokens import MARK, NUMBER, UNIT, Token

_RUNS = frozenset("run drive wait soak cycle stop trip test".split())
# Prepositions of two words: "away from the hinge", "out of its clip".
_PAIRED = {
    "away": ("from",), "out": ("of", "at"), "up": ("to", "against"), "down": ("to", "onto"), "next": ("to",),
    "close": ("to",), "clear": ("of",), "back": ("to", "into", "from"), "over": ("to",), "off": ("of", "from"),
}  # fmt: skip
_WHERE = frozenset("inside outside below above behind there here beneath underneath around nearby".split())
_FRESH = frozenset("new used rebuilt another".split())
_BARE = frozenset("load pressure tension vacuum stress".split())
TIME = frozenset("s sec min h hr minutes minute seconds hours mins".split())


class Ties:
    """Some tokens and the tense they are told in; what is tied to the words before a place."""

    def __init__(self, pieces: tuple[Token, ...], tense: str) -> None:
        self.pieces = pieces
        self.tense = tense

    def at(self, i: int) -> Token:
        """The token at ``i``; an empty mark behind the last."""
        return self.pieces[i] if i < len(self.pieces) else Token("", MARK)

    def low(self, i: int) -> str:
        """Its text in lower case."""
        return self.at(i).low

    def clause(self, i: int) -> Clause | None:
        """The clause that opens at ``i``, where the tokens are read as clauses."""
        del i
        return None

    def rest(self, i: int) -> tuple[str | None, int]:
        """What follows a verb, where the tokens are read so far."""
        return None, i

    def _boundary(self, i: int) -> bool:
        return i >= len(self.pieces) or self.low(i) in (",", ";", "and", "but", "or")

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
            verb = tag.verb(self.at(i + 1))
            if low in ("without", "by") and verb is not None and verb.form == "gerund":
                rest, end = self.rest(i + 2)
                return None if rest is None else (f" {low} {self.low(i + 1)}{rest}", end)
            if self.low(i + 1) in tag.SIDES and self._boundary(i + 2):
                return f" {low} the {self.low(i + 1)}", i + 2
            known = self.low(i + 1) in ("it", "them", "itself", "there")
            return (f" {low} {self.low(i + 1)}", i + 2) if known else None
        text = _object(low, found)
        held = (self._held(i, found) or self._in_state(i, text, found)) if low in ("with", "without") else None
        return held or self._objects(low, text, found.end)

    def _objects(self, low: str, text: str, end: int) -> tuple[str, int]:
        """The first object and those that stand beside it."""
        while self.low(end) == "and" and (more := group(self.pieces, end + 1)) is not None:
            if self.clause(end + 1) is not None or not (self._boundary(more.end) or self.at(more.end).kind == NUMBER):
                break
            text += f" and {more.some() if low in ('with', 'of', 'without', 'for') else more.the()}"
            end = more.end
        return f" {low} {text}", end

    def _in_state(self, i: int, text: str, found: Group) -> tuple[str, int] | None:
        """ "with the glass unhooked"."""
        end = found.end
        state = tag.state(self.at(end))
        switched = self.low(end) in ("on", "off") and tag.state(self.at(end + 1)) is not None
        if state is None or not (self._boundary(end + 1) or switched):
            return None
        return f" {self.low(i)} {text if found.given else found.the()} {state.after}", end + 1

    def _long(self, i: int, number: tuple[str, int]) -> tuple[str, int] | None:
        """ "After 20 min run" is "after a 20-minute run"."""
        unit, behind = self.at(i + 2), tag.noun(self.at(number[1]))
        if unit.kind != UNIT or behind is None or behind.singular not in _RUNS or number[1] != i + 3:
            return None
        known = find(unit.text)
        one = known.one if known is not None else unit.text
        figure = self.at(i + 1).text
        return f" {self.low(i)} {a_or_an(figure)} {figure}-{one} {self.low(number[1])}", number[1] + 1

    def _held(self, i: int, found: Group) -> tuple[str, int] | None:
        """ "with headlights and rear window heater on"."""
        if found.noun.kind in ("matter", "trouble"):
            return None  # "green with corrosion, nut loose"
        texts, end, link = [found.the()], found.end, ""
        while self.low(end) in ("and", ",") and (more := group(self.pieces, end + 1)) is not None:
            texts.append(more.the())
            end, link = more.end, self.low(end)
        state = tag.state(self.at(end))
        if link != "and" or state is None or not self._boundary(end + 1):
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
            if self.low(end) in ("idle", "idling") and unit.lower() in TIME:
                return f"{text} at idle", end + 1
            return text, end
        if self.low(i + 1) in ("times", "of"):
            return None
        return (f" {number}", i + 1) if self._boundary(i + 1) or tag.preposition(self.at(i + 1)) else None


def _object(low: str, found: Group) -> str:
    """A noun group as it stands behind a preposition."""
    if low in ("under", "at", "without") and found.words in _BARE:
        return found.bare()
    if found.words.split(" ")[0] in _FRESH:
        return found.any()
    if low == "without" and found.noun.kind == "fault" and not found.given:
        return found.bare()
    return found.some() if low in ("with", "of", "without", "for", "into", "as") else found.the()
