"""Whose answer it was and to what: an answer is bound to the offer it was given to."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from ticket.job.entry import Entry
from ticket.job.kinds import Told
from ticket.job.offer_answers import contacts
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.beside import VERBAL, answer_of
from ticket.story.judge.ground import Ground
from ticket.story.judge.statement import FIGURE, NO, SIDE, Statement, Token, tokens

_NOT_YET = Regex(
    r"\b(?:if|once|until|unless|whether|should you|when you|before|not|yet|no|n't|can|could|may|would|up to)\b|n't\b"
)
_NUMBERED = frozenset({"item", "offer", "number", "line", "job", "point", "no"})


def answers(told: Statement, ground: Ground) -> Iterator[Finding]:
    """An answer that was typed is not told as another one; what is still open is not told as answered."""
    spoken = ground.of_kind("told") or tuple(
        one.entry for one in contacts(ground.ticket) if ground.answered_here(one.entry)
    )
    if not spoken:
        yield from _unasked(told, ground)
        return
    yield from _by_number(told, spoken)
    given, words = _typed(told, ground, spoken)
    yes = "yes" in given or bool(words & set(told.lists.data["accept_typed"]))
    no = "no" in given or bool(words & set(told.lists.data["decline_typed"]) - given)
    undecided = bool((words | given) & told.lists.words("undecided"))
    for name, against, kept in (("decline", yes or undecided, no), ("accept", no or undecided, yes)):
        hit = told.lists.said(name, told.low)
        other = told.lists.said("decline" if name == "accept" else "accept", told.low)
        if hit and name == "accept" and _denied(hit.start(), told) and not yes and (no or undecided):
            continue  # "they have not approved it yet"
        if hit and not kept and not (other and other.span()[0] <= hit.span()[0] < other.span()[1]):
            reason = "The answer that was typed is another one."
            yield Finding("inside", reason, *hit.span()) if against else missing(reason, *hit.span())
    for token, behind in pairwise(told.tokens):
        if token.text == "said" and behind.text == "to":
            yield missing("It does not say what was said.", token.start, behind.end)
    answered = list(_answered(ground, told))
    for clause, said in _said_answers(told) if answered else ():
        things = [token for token in clause if token.is_a("thing", "matter") or not token.words]
        for last in things[-1:] if said == "no" else things:
            typed = _answers_of(last, clause, answered)
            if typed and said not in typed:
                yield Finding("inside", "Another answer was typed to it.", last.start, last.end)


def _denied(start: int, told: Statement) -> bool:
    """Whether a *no* stands right in front of a place."""
    before = [token for token in told.tokens if token.end <= start]
    return any(token.kind == NO for token in before[-1:])


def _unasked(told: Statement, ground: Ground) -> Iterator[Finding]:
    """An offer that nobody answered, told as agreed to or refused."""
    if ground.kinds and ground.kinds <= {"offer", "later"}:
        for name in ("accept", "decline"):
            hit = told.lists.said(name, told.low)
            open_ = _NOT_YET.search(told.low) or ground.typed(
                *told.lists.data[f"{name}_typed"], "turned down", "said no"
            )
            if hit and not open_ and not ground.says_itself(hit[0]):
                yield Finding("inside", "Nobody answered that.", *hit.span())


def _by_number(told: Statement, spoken: Sequence[Entry]) -> Iterator[Finding]:
    """The number of an offer told with another answer than was typed to it: "approved item 5 and item 6"."""
    typed: dict[int, set[str]] = {}
    for entry in spoken:
        for one in entry.fact.answers if isinstance(entry.fact, Told) else ():
            for ref in one.to:
                typed.setdefault(ref.no, set()).add(one.answer)
    for clause, said in _said_answers(told):
        for token, figure in pairwise(clause):
            number = int(figure.value) if figure.kind == FIGURE and figure.value else 0
            if token.root in _NUMBERED and number in typed and said not in typed[number]:
                yield Finding("inside", "Another answer was typed to it.", figure.start, figure.end)


def _typed(told: Statement, ground: Ground, spoken: Sequence[Entry]) -> tuple[set[str], set[str]]:
    """The answers that were given to what is cited, and the words beside them.

    A contact that answered a cited offer gave that answer to it alone, whatever else it answered; words beside it
    count only where the new words name what they are about.
    """
    given: set[str] = set()
    words: set[str] = set()
    roots = {token.root for token in told.tokens}
    for entry in spoken:
        bound = ground.answered_here(entry)
        if bound:
            given |= bound
            about = [one for one in ground.pieces if one.entry is entry and one.where == "told" and one.things & roots]
            words |= {token.text for piece in about for token in piece.tokens}
        else:
            given |= {one.answer for one in entry.fact.answers} if isinstance(entry.fact, Told) else set()
            words |= {token.text for token in tokens(ground.written[entry.no].lower(), "told")}
    return given, words


def _answers_of(thing: Token, clause: Sequence[Token], answered: Sequence[tuple[str, frozenset[str]]]) -> set[str]:
    """The answers that were typed to a thing; where several were, those with the sides the clause names."""
    sides = {token.root for token in clause if token.kind == SIDE}
    held = [(len(sides & roots), answer) for answer, roots in answered if thing.root in roots]
    most = max((count for count, _ in held), default=0)
    return {answer for count, answer in held if count == most}


def _answered(ground: Ground, told: Statement) -> Iterator[tuple[str, frozenset[str]]]:
    """Each answer that was typed, with the words of what it was given to."""
    for entry in ground.of_kind("told"):
        contact = next((one for one in contacts(ground.ticket) if one.entry is entry), None)
        for ref, answer in contact.given.items() if contact else ():
            offer = None if ref.ticket else ground.ticket.entry(ref.no)
            text = getattr(offer.fact, "text", "") if offer is not None else ""
            named = (token for token in tokens(text) if token.kind == SIDE or token.is_a("thing", "matter"))
            yield answer, frozenset(token.root for token in named)
    for piece in ground.pieces:
        if piece.where == "told" and (in_words := answer_of(piece.tokens, told)):
            yield in_words, piece.things


def _said_answers(told: Statement) -> Iterator[tuple[Sequence[Token], str]]:
    """The answer each clause tells: its own in words for one, or without a verb that of the clause in front."""
    last = ""
    for clause in told.clauses:
        text = told.low[clause[0].start : clause[-1].end]
        denied = any(token.kind == NO for token in clause)
        verbs = [token for token in clause if token.is_a(*VERBAL) and not token.is_a("thing", "place")]
        if told.lists.said("decline", text) or told.lists.said("accept", text):
            last = "no" if denied or told.lists.said("decline", text) else "yes"
            yield clause, last
        elif last and all("gerund" in (token.form_of("work"), token.form_of("doing")) for token in verbs):
            yield clause, "no" if denied else last
