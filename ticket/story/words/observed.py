"""What was seen, as one or two sentences; the raw words where their shape is unknown."""

from dataclasses import dataclass
from functools import lru_cache

from ticket.story.words import tag
from ticket.story.words.clauses import PAST, PRESENT, Clause, Parser, clauses, noun_group, told_list
from ticket.story.words.compare import agree
from ticket.story.words.groups import group
from ticket.story.words.spell import join, spell
from ticket.story.words.tokens import CODE, QUOTE, Token, tokens
from ticket.story.words.trials import Trial, trial

_PROSE = 25  # words
_CHECKED = frozenset("check checked checking inspected inspect tested test examined looked verified".split())


@dataclass(frozen=True, slots=True)
class Seen:
    """An observation.

    Attributes:
        how: ``clauses``, ``none`` (we found no ...), ``checked``, ``trial``, ``noted`` (spelled out) or ``quoted``.
        text: without capital and stop.
        first: the first clause alone, for short evidence; empty where there is none.
        object: what was checked, for ``checked``.
        trial: for ``trial``.
        sense: ``bad``, ``good`` or ``neutral``, of the first clause.
    """

    how: str
    text: str
    first: str = ""
    object: str = ""
    trial: Trial | None = None
    sense: str = "neutral"
    clauses: tuple[Clause, ...] = ()


@lru_cache(maxsize=1024)
def observed(text: str) -> Seen:
    """What a text without a reading tells. Total: an unknown shape is noted, a doubtful one quoted."""
    pieces = spell(text)
    if not pieces:
        return Seen("quoted", text)
    found = _checked(pieces) or _tried(text) or _clauses(pieces)
    if found is not None and agree(text, _all(found), words=found.how in ("clauses", "none")):
        return found
    noted = join(pieces)
    return Seen("noted", noted) if all(map(_readable, pieces)) else Seen("quoted", text)


def _readable(piece: Token) -> bool:
    return not (piece.text.isupper() and piece.kind == "word" and len(piece.text) > 1 and not tag.known(piece))


def _all(found: Seen) -> str:
    if found.trial is None:
        return f"{'no ' if found.how == 'none' else ''}{found.object} {found.text}"
    made = found.trial
    return " ".join([*made.acts, *(item.text for item in made.circumstances), *made.outcomes, made.again])


def _tried(text: str) -> Seen | None:
    made = trial(text)
    return Seen("trial", "", trial=made) if made else None


def _clauses(pieces: tuple[Token, ...]) -> Seen | None:
    found = clauses(pieces)
    if not found or any(item.form == "bare" for item in found):
        return None
    sense = found[0].parts[0][1] if found[0].parts else "neutral"
    first = found[0].text
    if found[0].form == "state" and len(found[0].parts) > 1 and found[0].parts[0][1] != "bad":
        first = f"{found[0].subject} {found[0].verb} {found[0].parts[0][0]}"
    if found[0].form == "no":
        return Seen(
            "none", found[0].subject.removeprefix("no ") + _more(found[1:]), first, sense="good", clauses=tuple(found)
        )
    text = told_list(found)
    return Seen("clauses", text, first, sense=sense, clauses=tuple(found))


def _more(items: list[Clause]) -> str:
    return f", and {told_list(items)}" if items else ""


def _checked(pieces: tuple[Token, ...]) -> Seen | None:
    """ "checked door wiring, no damage": what was checked, and the outcome said of it."""
    if pieces[0].low not in _CHECKED:
        return None
    start = 1
    found = group(pieces, start)
    if found is None:
        return None
    tied, end = Parser(pieces, PAST).tied(found.end)
    thing = found.thing() + tied
    if end == len(pieces):
        return Seen("checked", "", object=thing)
    if pieces[end].low not in (",", ";", ":"):
        return None
    it = "they" if found.many else "it"
    rest = pieces[end + 1 :]
    if [piece.low for piece in rest] == ["none"] and tied:
        return Seen("checked", "there were none", object=thing)
    if rest and rest[0].low == "no":
        lacking = noun_group(rest)
        if lacking is None:
            return None
        return Seen("checked", f"{it} had {lacking[0].bare()}{lacking[1]}", object=thing)
    whole = clauses((Token(it, "word"), *rest))
    if whole and len(whole) == 1:
        return Seen("checked", whole[0].text, object=thing)
    return None


def said(text: str, tense: str = PAST, *, typed: str = "") -> str | None:
    """A text as clauses inside a sentence ("the relay clicked and its contact drop was normal"), or ``None``.

    Args:
        text: what to tell.
        tense: ``past``, or ``present`` to leave the verbs as they are.
        typed: what was typed, where a pronoun of ours stands in front of it.
    """
    pieces = spell(text)
    if not pieces:
        return None
    found = clauses(pieces, tense)
    if not found or any(item.form == "bare" for item in found):
        return None
    told = told_list(found, comma="")
    return told if agree(typed or text, told) else None


def prose(text: str) -> str | None:
    """A clause as typed, where it reads as plain prose: no short form, no code, a subject with its article, a verb.

    For what keeps its tense (a reason, a risk, a sign) and has a shape the grammar does not know.
    """
    typed, pieces = tokens(text), spell(text, plain=False)
    if not typed or not pieces or len(pieces) > _PROSE or [piece.low for piece in pieces] != [p.low for p in typed]:
        return None
    if any(piece.kind in (CODE, QUOTE) or piece.text != piece.low or piece.text in "(;:.!?)" for piece in pieces):
        return None
    starts = tag.DETERMINERS | tag.PRONOUNS | tag.NEGATIONS | frozenset(tag.COUNTS) | {"there"}
    acts = any(tag.finite(piece) is not None or piece.low in tag.AUXILIARIES | tag.MODALS for piece in pieces[1:])
    return join(pieces) if pieces[0].low in starts and acts else None


__all__ = ["PAST", "PRESENT", "Seen", "observed", "prose", "said"]
