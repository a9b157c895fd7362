"""What follows a verb or a state, up to the next boundary."""

from ticket.story.words import tag
from ticket.story.words.groups import group
from ticket.story.words.spell import measure
from ticket.story.words.ties import Ties
from ticket.story.words.tokens import CODE, NUMBER, UNIT

_EASE = frozenset("longer harder slower easier hard slow easy late unable failed fails able".split())
_GOES_ON = frozenset("stop start keep begin".split())
_INDEFINITE = frozenset("something anything nothing everything".split())


class Tails(Ties):
    """Objects, adverbs, circumstances: the rest of a clause."""

    def rest(self, i: int) -> tuple[str | None, int]:
        """What follows a verb."""
        return self._rest(i)

    def _rest(self, i: int, *, has: bool = False, modal: bool = False, linked: bool = True) -> tuple[str | None, int]:
        """What follows a verb or a state up to the next boundary; ``None`` when its shape is unknown."""
        text = ""  # linked: a noun group may stand here
        lets = self.low(i - 1) in ("let", "lets", "makes", "made", "helps")
        while i < len(self.pieces):
            low = self.low(i)
            if low in (",", ";", "but", ")"):
                break
            if low == "and" and self.low(i - 1) in tag.PARTICLES and self.low(i + 1) in tag.PARTICLES:
                text += f" and {self.low(i + 1)}"  # "ran up and down"
                i += 2
                continue
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

    def _base(self, i: int) -> bool:
        """A verb in its base form, after "may ... and"; its object or preposition follows."""
        verb = tag.verb(self.at(i))
        return (
            verb is not None
            and verb.form == "base"
            and (tag.noun(self.at(i)) is None or self.low(i + 1) in tag.DETERMINERS or tag.adverb(self.at(i + 1)))
        )

    def subordinate(self, i: int) -> tuple[str, int] | None:
        """A clause of circumstance: "once charged", "when the engine moves"."""
        return self._subordinate(i)

    def _piece(self, i: int, *, linked: bool, has: bool, lets: bool) -> tuple[str, int, bool] | None:
        """The next piece, its end, and whether a noun group may follow it."""
        sub = self._subordinate(i)
        if sub is not None:
            return sub[0], sub[1], False
        if self.low(i) == "to" and self.low(i - 1) in _EASE and self._infinitive(i + 1):
            return f" to {self.low(i + 1)}", i + 2, True
        tie = self._tie(i)
        if tie is not None:
            return tie[0], tie[1], False
        doing, before = tag.verb(self.at(i)), tag.verb(self.at(i - 1)) if i else None
        if doing is not None and doing.form == "gerund" and before is not None and before.base in _GOES_ON:
            return f" {self.low(i)}", i + 1, True  # "may stop heating"
        return self._measured(i, linked=linked, has=has) or self._small(i, linked=linked, lets=lets)

    def _infinitive(self, i: int) -> bool:
        verb = tag.verb(self.at(i))
        return verb is not None and verb.form == "base"

    def _measured(self, i: int, *, linked: bool, has: bool) -> tuple[str, int, bool] | None:
        """A figure, a code or a noun group."""
        piece, low = self.at(i), self.low(i)
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
        return None

    def _small(self, i: int, *, linked: bool, lets: bool) -> tuple[str, int, bool] | None:
        """An adverb, a pronoun, a state or another verb."""
        piece, low = self.at(i), self.low(i)
        if (low in ("before", "after", "since") or low in tag.ADVERBS) and self._boundary(i + 1):
            return f" {low}", i + 1, False
        if low in _INDEFINITE and linked:
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
        dual = tag.noun(piece) is not None and self.low(i - 1) not in ("it", "them")
        if lets and self._infinitive(i) and not dual:
            return f" {low}", i + 1, True
        if low == "to" and self._infinitive(i + 1):
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
            verb = tag.verb(self.at(start))
            word = state.after if state is not None else self.low(start)
            done = verb is not None and self.low(start) == verb.participle
            if (state is not None or done) and self._boundary(start + 1):
                return f" {opener} {word}", start + 1
        return None
