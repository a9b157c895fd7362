"""Clauses and labour in the other language; ``None`` wherever a word or a shape is not listed."""

from dataclasses import dataclass, replace

from ticket.story.other.groups import Grammar, Group, Tokens
from ticket.story.other.terms import Row
from ticket.story.words.spell import spell
from ticket.story.words.tokens import MARK, Token

PAST, PRESENT = "past", "present"
MOST = 40  # words of one clause
_STATE = 4  # words of the longest state ("within its marks")
_NEW = frozenset({"new", "used", "rebuilt", "reconditioned"})
_LIST = 5  # things of one clause that are parted by commas
_BREAKS = frozenset({",", ";"})


@dataclass(frozen=True, slots=True)
class Labour:
    """One piece of labour: what we did, and the same as something to do."""

    done: str
    todo: str


class Reader:
    """Reads typed English with one grammar."""

    def __init__(self, grammar: Grammar) -> None:
        self.grammar = grammar
        self.terms = grammar.terms

    # --- names -------------------------------------------------------------------------------------------------

    def name(self, text: str) -> tuple[Group, list[str]] | None:
        """What was measured, and the conditions behind it ("coolant level, cold")."""
        pieces = spell(text)
        if not pieces:
            return None
        head, *rest = _parted(pieces)
        group, first = self._with_condition(head)
        held = [first, *(self.condition(piece) for piece in rest)]
        if group is None or None in held:
            return None
        return group, [part for part in held if part]

    def _with_condition(self, pieces: Tokens) -> tuple[Group | None, str]:
        """A thing, and the condition typed right behind it ("blower resistor at lowest speed")."""
        group = self.grammar.group(pieces)
        if group is not None:
            return group, ""
        for i in range(len(pieces) - 1, 0, -1):
            held = self._phrase("cond", pieces[i:])
            group = self.grammar.group(pieces[:i]) if held else None
            if held and group is not None:
                return group, held
        return None, ""

    def group(self, text: str) -> Group | None:
        """A whole text that is one noun group."""
        pieces = spell(text)
        return self.grammar.group(pieces) if pieces else None

    def condition(self, pieces: Tokens) -> str | None:
        """ "cold", "engine running", "after 20 min at idle"."""
        return self._phrase("cond", pieces) or self.grammar.tail(pieces) or None

    # --- clauses -----------------------------------------------------------------------------------------------

    def clauses(self, text: str, tense: str = PAST) -> list[str] | None:
        """The clauses of a text, all of them known; else ``None``."""
        pieces = spell(text)
        if not pieces:
            return None
        out = []
        parts = _parted(pieces)
        while parts:
            told, parts = self._next(parts, tense)
            if told is None:
                return None
            out.append(told)
        return out

    def _next(self, parts: list[Tokens], tense: str) -> tuple[str | None, list[Tokens]]:
        """The next clause; "hoses, rack and pump dry" is one, its things parted by commas."""
        for width in range(min(len(parts), _LIST), 1, -1):
            listed = parts[:width]
            if all(piece.low != "and" for piece in listed[-1]):
                continue
            joined: Tokens = listed[0]
            for part in listed[1:]:
                joined = (*joined, Token(",", MARK), *part)
            told = self.clause(joined, tense) if all(map(self.grammar.group, listed[:-1])) else None
            if told is not None:
                return told, parts[width:]
        return self.clause(parts[0], tense), parts[1:]

    def clause(self, pieces: Tokens, tense: str = PAST) -> str | None:
        """One clause: a listed phrase, a thing and its state, a thing and what it does."""
        if not 0 < len(pieces) <= MOST:
            return None
        told = self._phrase("phrase", pieces) or self._state(pieces, tense) or self._event(pieces, tense)
        return told or self._two(pieces, tense)

    def _phrase(self, kind: str, pieces: Tokens) -> str | None:
        for row in self.terms.rows.get(kind, ()):
            for typed in row.typed.split(", "):
                held = self.grammar.match(typed, pieces)
                if held is not None:
                    return self.grammar.fill_all(self._agreeing(row.told, held), held)
        return None

    def _agreeing(self, told: str, held: "dict[str, Group | str]") -> str:
        """``[estaba|estaban]`` and ``[seco/seca/secos/secas]`` by the class of the thing."""
        group = held.get("x")
        if "[" not in told or not isinstance(group, Group):
            return told
        out, rest = "", told
        while "[" in rest:
            head, _, rest = rest.partition("[")
            inside, _, rest = rest.partition("]")
            one = inside.split("|")[self.terms.many(group.cls)] if "|" in inside else None
            out += head + (one if one is not None else self.terms.form(inside, group.cls))
        return out + rest

    def _two(self, pieces: Tokens, tense: str) -> str | None:
        """Two clauses with "and" or "but" between them."""
        for i in range(1, len(pieces) - 1):
            row = self.terms.one("and", pieces[i].low)
            left = self.clause(pieces[:i], tense) if row is not None else None
            right = self.clause(pieces[i + 1 :], tense) if left else None
            if row is not None and left and right:
                return left + self.grammar.link(f" {row.told} ", right) + right
        return None

    def _verb(self, kind: str, word: str, group: Group, tense: str) -> str:
        row = self.terms.one(kind, word)
        if row is None:
            return ""
        forms = (row.more if tense == PRESENT else row.told).split("/")
        return forms[-1] if self.terms.many(group.cls) else forms[0]

    def _state(self, pieces: Tokens, tense: str) -> str | None:
        """ "hose wet at its crimp", "nut is loose": a thing, its state, and what follows."""
        for i in range(len(pieces) - 1, 0, -1):
            rest = pieces[i:]
            verb = rest[0].low if self.terms.one("be", rest[0].low) else ""
            if verb:
                rest = rest[1:]
            if not rest:
                continue
            group = self.grammar.group(pieces[:i])
            state = self._states(rest, group) if group is not None else ""
            if group is not None and state:
                be = self._verb("be", verb or "is", group, tense)
                return f"{self.grammar.the(group)} {be} {state}"
        return None

    def _states(self, pieces: Tokens, group: Group) -> str:
        """States joined by "and", "," and "but", the last with a preposition behind."""
        adverb = self.terms.one("adv", pieces[0].low)
        if adverb is not None and len(pieces) > 1:
            inner = self._states(pieces[1:], group)
            return f"{adverb.told} {inner}" if inner else ""
        row, width = None, 0
        for width in range(min(_STATE, len(pieces)), 0, -1):
            words = " ".join(piece.low for piece in pieces[:width])
            row = self.terms.one("state", words) or self.terms.one("adj", words)
            if row is not None:
                break
        if row is None:
            no = self.terms.one("not", pieces[0].low)
            inner = self._states(pieces[1:], group) if no is not None and len(pieces) > 1 else ""
            return f"{no.told} {inner}" if no is not None and inner else ""
        told, rest = self.terms.form(row.told, group.cls), pieces[width:]
        if not rest:
            return told
        link = self.terms.one("and", rest[0].low)
        if link is not None and len(rest) > 1:
            more = self._states(rest[1:], group)
            return told + self.grammar.link(f" {link.told} ", more) + more if more else ""
        behind = self.grammar.tail(rest) or self._phrase("cond", rest)
        return f"{told} {behind}" if behind else ""

    def _event(self, pieces: Tokens, tense: str) -> str | None:
        """ "shaft seal leaks at its lip"."""
        for i in range(len(pieces) - 1, 0, -1):
            for width in (3, 2, 1):
                word = " ".join(piece.low for piece in pieces[i : i + width])
                row = self.terms.one("verb", word) if i + width <= len(pieces) else None
                if row is None:
                    continue
                group, rest = self.grammar.group(pieces[:i]), pieces[i + width :]
                behind = (
                    (self.grammar.tail(rest) or self._phrase("cond", rest) or self._object(row, rest)) if rest else ""
                )
                if group is not None and (behind or not rest):
                    verb = self._verb("verb", word, group, tense)
                    return " ".join(part for part in (self.grammar.the(group), verb, behind) if part)
        return None

    def _object(self, verb: Row, pieces: Tokens) -> str:
        """What the verb does something to, for those that take it."""
        group = self.grammar.group(pieces) if verb.cls == "t" else None
        return self.grammar.the(group) if group is not None else ""

    # --- labour ------------------------------------------------------------------------------------------------

    def labour(self, text: str) -> list[Labour | str]:
        """Labour piece by piece in the order typed; a piece that is not wholly known stays as typed."""
        out: list[Labour | str] = []
        last: list[tuple[str, str]] = []
        for piece in _typed_pieces(text):
            pieces = spell(piece)
            found = self._labour(pieces, last) if pieces else None
            if found is None:
                out.append(piece)
                last = []
            else:
                held, last = found
                out += held
        return out

    def _labour(
        self, pieces: Tokens, before: list[tuple[str, str]]
    ) -> tuple[list[Labour | str], list[tuple[str, str]]] | None:
        verbs, rest = self._verbs(pieces)
        whole = self._alone(pieces, verbs)
        if whole is not None:
            return whole
        if not verbs:
            verbs, rest = before, pieces
        if not verbs:
            return None
        if not rest:
            return None
        again = self.terms.one("again", rest[-1].low)
        if again is not None and len(rest) > 1:
            group = self.grammar.group(rest[:-1])
            made = self._made(verbs, group) if group is not None else None
            if made is None:
                return None
            return [Labour(again.told.replace("{x}", made.todo), again.more.replace("{x}", made.todo))], verbs
        group = self.grammar.group(rest)
        links = [i for i in range(1, len(rest) - 1) if self.terms.one("and", rest[i].low) is not None]
        if group is not None and not any(self._goes_on(rest[i + 1 :]) for i in links):
            return [self._made(verbs, self._fresh(group, rest))], verbs
        for i in reversed(links):
            group = self.grammar.group(rest[:i])
            more = self._labour(rest[i + 1 :], []) if group is not None else None
            if group is not None and more is not None:
                return [self._made(verbs, group), *more[0]], more[1]
        return None

    def _fresh(self, group: Group, pieces: Tokens) -> Group:
        """ "fit new nut": a nut nobody has met before."""
        if group.listed or pieces[0].low not in _NEW:
            return group
        return replace(group, text=self.grammar.stands(group, "a"), fixed=True)

    def _goes_on(self, pieces: Tokens) -> bool:
        """Whether further labour may follow an "and" ("clear codes"), not another thing ("drain plug")."""
        words = " ".join(piece.low for piece in pieces)
        return words not in self.terms.nouns and bool(self._verbs(pieces)[0] or self.terms.one("job", words))

    def _alone(
        self, pieces: Tokens, verbs: list[tuple[str, str]]
    ) -> tuple[list[Labour | str], list[tuple[str, str]]] | None:
        row = self.terms.one("job", " ".join(piece.low for piece in pieces))
        return ([Labour(row.told, row.more)], verbs) if row is not None else None

    def _made(self, verbs: list[tuple[str, str]], group: Group) -> Labour:
        done, todo = (_chain([pair[k] for pair in verbs], self.grammar) for k in (0, 1))
        return Labour(self.grammar.fill(done, {"": group}), self.grammar.fill(todo, {"": group}))

    def _verbs(self, pieces: Tokens) -> tuple[list[tuple[str, str]], Tokens]:
        """ "clear and rinse": the verbs in front."""
        out: list[tuple[str, str]] = []
        rest = pieces
        while rest:
            row = None
            for width in (3, 2, 1):
                row = self.terms.one("work", " ".join(piece.low for piece in rest[:width]))
                if row is not None and len(rest) >= width:
                    out.append((row.told, row.more))
                    rest = rest[width:]
                    break
            if row is None or not rest or rest[0].low != "and" or self.terms.one("work", _second(rest)) is None:
                return out, rest
            rest = rest[1:]
        return out, rest


def _chain(patterns: list[str], grammar: Grammar) -> str:
    """ "limpiamos y enjuagamos {x}": the thing once, behind the last verb, where all verbs take it alike."""
    alike = all(pattern.endswith(" {x}") for pattern in patterns)
    heads = [pattern.removesuffix(" {x}") if alike else pattern for pattern in patterns[:-1]]
    out = patterns[-1]
    for head in reversed(heads):
        out = head + grammar.link(f" {grammar.terms.rows['and'][0].told} ", out) + out
    return out


def _second(pieces: Tokens) -> str:
    return pieces[1].low if len(pieces) > 1 else ""


def _parted(pieces: Tokens) -> list[Tokens]:
    """The words between commas and semicolons."""
    out: list[list[Token]] = [[]]
    for piece in pieces:
        if piece.kind == MARK and piece.text in _BREAKS:
            out.append([])
        elif not (piece.kind == MARK and piece.text == "." and piece is pieces[-1]):
            out[-1].append(piece)
    return [tuple(part) for part in out if part]


def _typed_pieces(text: str) -> list[str]:
    return [piece.strip() for piece in text.replace(";", ",").split(",") if piece.strip()]
