"""What is said of a thing: its states, a figure, or what it does."""

from ticket.story.words import tag
from ticket.story.words.clause import BE, PAST, Clause, states_text
from ticket.story.words.groups import group
from ticket.story.words.lexicon import Verb
from ticket.story.words.spell import measure, unit_text
from ticket.story.words.tails import Tails
from ticket.story.words.ties import TIME
from ticket.story.words.tokens import NUMBER, UNIT, Token

_AUX_PAST = {"is": "was", "are": "were", "has": "had", "have": "had", "do": "did", "does": "did"}
_MODAL_PAST = {"can": "could", "will": "would", "may": "might", "cannot": "could not"}
# Verbs whose object is some of a matter: "you smell coolant", "the engine burned oil".
_SOME = frozenset(
    "smell smelled smells lose loses lost burn burns burned leak leaks leaked drip drips dripped use uses used "
    "need needs needed"
    " contain contains contained show shows showed see saw sees hear hears heard".split()
)
_BEING = frozenset({"is", "are", "was", "were", "be"})


class Predicates(Tails):
    """States, readings and verbs behind a subject."""

    def predicate(self, i: int, *, many: bool) -> Clause | None:
        """What is said of a subject that was named before."""
        return self._verb(i, "", many)

    def _predicate(self, i: int, subject: str, *, many: bool) -> Clause | None:
        lasted = self.low(i) == "held" and (self._boundary(i + 1) or self._figure(i + 1) is not None)
        states = None if lasted else self._states(i)
        if lasted:
            figure = self._figure(i + 1) or ("", i + 1)
            if self._boundary(figure[1]):
                return Clause("verb", subject, many, "", f"held{figure[0]}", end=figure[1])
        if states is not None:
            found, end = states
            return Clause("state", subject, many, BE[self.tense][many], states_text(tuple(found)), tuple(found), end)
        if self.low(i) == "no" and (lacking := group(self.pieces, i)) is not None:
            tied, end = self.tied(lacking.end)
            if self._boundary(end):
                had = "had" if self.tense == PAST else "have" if many else "has"
                return Clause("verb", subject, many, "", f"{had} {lacking.bare()}{tied}", end=end)
        reading = self._reading(i, subject, many)
        return reading or self._verb(i, subject, many)

    def _reading(self, i: int, subject: str, many: bool) -> Clause | None:
        """A figure with its unit behind the thing, and a bracket of limits: "shaft play 0.03 mm (max 0.10)"."""
        if self.at(i).kind != NUMBER or self.at(i + 1).kind != UNIT or self.low(i + 1) in TIME:
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
        return Clause("reading", subject, many, BE[self.tense][many], told, end=end)

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
            link = "but " if self.low(step - 1) == "but" else ""
            out.append((link + more[0][0], more[0][1]))
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
        tied, end = self._rest(i, linked=self.low(i - 1) in tag.PARTICLES or tag.preposition(self.at(i - 1)))
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
