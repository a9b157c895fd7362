"""How sure something is, and what can hurt somebody: neither is told as more or as less than it was typed."""

from collections.abc import Iterator, Sequence

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Later, Offer, Told
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_inside import warns
from ticket.story.judge.rule_structure import is_past
from ticket.story.judge.statement import FIGURE, NO, WORD, Statement, Token, tokens
from ticket.story.judge.tables import phrase

_SURELY = phrase("no doubt|without doubt|without a doubt|no question|beyond doubt|not possible that")
"""Words of certainty that hold a word of doubt."""
_SEEN = ("found", "did", "proof", "used")
_IF = frozenset({"if", "when", "once", "under", "below", "over", "above"})
_UNSURE = ("remedy", "because", "risk", "field", "told")  # "may wait", "could blow": a permission, a warning


def ruled_out(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was ruled out is not told as the cause, nor as what is wrong."""
    for sentence in told.sentences:
        for clause in sentence:
            about = ground.best(clause)
            start, end = clause[0].start, clause[-1].end
            if not about or any(piece.where != "ruled" for piece in about) or "rule" in told.low[start:end]:
                continue
            blamed = any(
                token.text in ("cause", "caused", "fault", "reason", "problem", "blame", "culprit") for token in clause
            )
            blamed = blamed or any(token.text in ("it", "this", "that") for token in clause[:2])
            named = {root for piece in ground.pieces if piece.where == "ruled" for root in piece.roots}
            bad = any(one.root in named and any(word.sense == "bad" for word in one.words) for one in clause)
            said = any(token.is_a("be") for token in clause)
            if said and (blamed or bad) and not any(token.kind == NO for token in clause):
                yield Finding("denial", "It was ruled out.", start, end)


def certainty(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A hedge is neither lost nor put in; what may happen is not told as what will, or as what did."""
    for sentence in told.sentences:
        said = [token for clause in sentence for token in clause]
        if not said:
            continue
        start, end = said[0].start, said[-1].end
        text = told.low[start:end]
        about = [piece for clause in sentence for piece in ground.best(clause)]
        nearest = [piece for clause in sentence for piece in ground.nearest(clause, said)]
        guessed = [piece for piece in nearest if piece.hedged or _typed_hedge(piece, told)]
        if guessed and not told.lists.said("hedge", _SURELY.sub(" ", told.low)):
            yield Finding("certainty", "It is typed as a guess and told as certain.", start, end)
        added = told.lists.said("added", text)
        if added and not text[added.end() :].strip(" .,;"):
            added = None  # "0.8 mm is the most it may be"
        guess = any(piece.hedged or _typed_hedge(piece, told) for piece in ground.pieces)
        if added and about and not guess and not ground.says_itself(added[0]) and all(_sure(piece) for piece in about):
            bound = told.lists.said("limit_words", text) and any(token.kind == FIGURE for token in said)
            if not bound and not told.lists.said("added_except", text):
                yield Finding("certainty", "It is typed as certain and told as a guess.", start, end)
        yield from _surely(told, ground, text, start, about)
        for clause in sentence:
            yield from _happened(clause, text, told, ground)
            home = {piece.where for piece in ground.nearest(clause, said)}
            if home == {"says"} and told.lists.said("we_saw", told.low[clause[0].start : clause[-1].end]):
                yield Finding(
                    "certainty", "The customer said it; it is told as found.", clause[0].start, clause[-1].end
                )


def _typed_hedge(piece: Piece, told: Statement) -> bool:
    if piece.where in _UNSURE:
        return False
    held = [
        one
        for one, behind in zip(piece.tokens, (*piece.tokens[1:], None), strict=True)
        if one.text != "susp" or behind is None or not behind.is_a("thing")
    ]  # of the suspension, or suspected
    text = " ".join(token.text for token in held)
    near = " ".join(token.text for token in (piece.before.tokens if piece.before else ()))
    lone = len(piece.tokens) <= 2 and piece.where in ("cause", "found", "maybe")
    return bool(told.lists.said("hedge", text)) or "?" in text or (lone and "?" in near)


def _sure(piece: Piece) -> bool:
    """Typed as a fact: seen or done, or a cause with its findings."""
    if piece.where == "field" or piece.entry is None:
        return False
    fact = piece.entry.fact
    if isinstance(fact, Cause):
        proved = bool(fact.refs) or any(token.text in ("proven", "proved", "confirmed") for token in piece.tokens)
        return (proved or fact.sure == "certain") and fact.sure != "likely"
    return fact.kind in _SEEN and piece.where not in ("because", "risk")


def _surely(told: Statement, ground: Ground, text: str, at: int, about: Sequence[Piece]) -> Iterator[Finding]:
    hit = told.lists.said("surely", text)
    denied = hit is not None and text[: hit.start()].split()[-1:] in (["not"], ["never"], ["yet"])
    if hit is None or denied or ground.typed(*told.lists.data["surely_typed"]) or ground.typed(hit[0]):
        return
    proved = any(isinstance(entry.fact, Cause) and entry.fact.refs for entry in ground.of_kind("cause"))
    if ground.says_itself(hit[0]) or (hit[0] != "will" and proved and not any(piece.hedged for piece in about)):
        return
    said = {token.root for token in told.tokens if at <= token.start < at + len(text) and token.is_a("doing", "state")}
    risks = [piece for piece in ground.pieces if piece.where == "risk"]
    if risks and not any(map(warns, risks)) and any(token.text in _IF for one in risks for token in one.tokens):
        yield missing(f"“{hit[0]}” is not typed.", at + hit.start(), at + hit.end())
        return  # typed as certain under its condition: "loss of power when it blocks"
    risky = any(piece.where == "risk" and said & set(piece.roots) for piece in ground.pieces)
    guessed = any(piece.where == "risk" or piece.hedged or _typed_hedge(piece, told) for piece in about)
    reason, place = f"“{hit[0]}” is surer than what was typed.", (at + hit.start(), at + hit.end())
    if risky or guessed:
        yield Finding("certainty", reason, *place)
    elif hit[0] != "will":
        yield missing(reason, *place)


def _happened(clause: Sequence[Token], text: str, told: Statement, ground: Ground) -> Iterator[Finding]:
    """What may happen, told as what is so."""
    if told.lists.said("conditional", text) or any(token.kind == NO for token in clause):
        return
    now = any(token.is_a("be", "has") for token in clause)
    for token in clause:
        homes = [piece for piece in ground.pieces if token.root in piece.roots and piece.where != "field"]
        acts = token.kind == WORD and token.is_a("doing", "state") and not token.is_a("thing", "be", "modal", "place")
        if acts and homes and token.text not in told.lists.plain | told.lists.light:
            if all(piece.where == "risk" for piece in homes) and (now or is_past(token)):
                yield Finding("certainty", "It may happen; the words say that it does.", token.start, token.end)
                return


def danger(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A danger that was typed stands in what tells its risk, no weaker; the judgement is the one typed."""
    for entry in ground.entries:
        fact = entry.fact
        if isinstance(fact, Later) and fact.risk and _tells_risk(told, fact, ground):
            yield from _vanished(told, tokens(fact.risk, "risk"))
        if isinstance(fact, Told) and told.lists.said("modal", told.low):
            warned = [piece for piece in ground.pieces if piece.entry is entry and warns(piece)]
            yield from _vanished(told, [token for piece in warned for token in piece.tokens])
        if isinstance(fact, Later | Offer):
            yield from _urgency(told, entry, fact, ground)
    if (hit := told.lists.said("no_risk", told.low)) and any(_risk_of(entry) for entry in ground.entries):
        yield Finding("danger", "A risk was typed.", *hit.span())
    yield from _allowed(told, ground)
    hit = told.lists.said("weak", told.low)
    fine = hit is None or told.lists.said("weak_except", told.low) or ground.says_itself(hit[0])
    fine = fine or ground.typed(*told.lists.data["weak_for"].get(hit[0] if hit else "", ()))
    if hit and not fine and not ground.typed(hit[0], *hit[0].split()[-1:], "slight", "slightly"):
        reason = f"“{hit[0]}” makes less of it than was typed."
        yield Finding("danger", reason, *hit.span()) if _grave(ground, told) else missing(reason, *hit.span())
    yield from _weaker(told, ground)


def _risk_of(entry: Entry) -> bool:
    risk = getattr(entry.fact, "risk", "")
    return bool(risk) and not any(token.kind == NO for token in tokens(risk, "risk"))


def _allowed(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was banned is not told as allowed."""
    banned = [line for line in ground.lines if told.lists.said("banned", line)]
    for clause in told.clauses if banned else ():
        hit = told.lists.said("allowed", told.low[clause[0].start : clause[-1].end])
        if hit and not any(token.kind == NO for token in clause) and not ground.typed(hit[0]):
            yield Finding("danger", "It was typed as not allowed.", clause[0].start, clause[-1].end)
    for sentence in told.sentences:
        said = [token for clause in sentence for token in clause]
        text = told.low[said[0].start : said[-1].end] if said else ""
        hit = told.lists.said("belittled", text)
        if hit and not ground.typed(hit[0]) and _warned(said, told, ground):
            yield Finding("danger", f"It was typed as dangerous, and told as “{hit[0]}”.", said[0].start, said[-1].end)


def _warned(said: Sequence[Token], told: Statement, ground: Ground) -> bool:
    """Whether a line that a sentence is about says that the thing can hurt somebody, or is not to be used."""
    about = {piece.entry for piece in ground.best(said)}
    lists = told.lists
    for entry in ground.entries:
        line = ground.written[entry.no].lower()
        warned = lists.said("warned", line) or lists.said("banned", line)
        if warned and (entry in about or not about):
            return True
    return False


def _grave(ground: Ground, told: Statement) -> bool:
    """Something that can hurt somebody, that presses, or a strong word was typed in what the sentence rests on."""
    strong = {word for strong, _ in told.lists.data["weaker"] for word in strong.split()}
    rows = {word for row in told.lists.data["danger"] for word in row.split()}
    for piece in ground.pieces:
        words = {token.text for token in piece.tokens}
        warned = piece.where == "risk" or (piece.where == "told" and (warns(piece) or any(map(_no, piece.tokens))))
        if words & strong or (warned and words & rows):
            return True
    return any(getattr(entry.fact, "judgement", "") in ("do now", "do not drive") for entry in ground.entries)


def _no(token: Token) -> bool:
    return token.kind == NO


def _tells_risk(told: Statement, fact: Later, ground: Ground) -> bool:
    """Whether the text says what may happen: a modal about something, or words of the risk."""
    asking = phrase("we can|you can|can be|may wait|can wait|please|so that we can|could read|cost|costs")
    risk = {
        token.root for token in tokens(fact.risk, "risk") if token.kind == WORD and token.text not in told.lists.plain
    }
    waits = {token.root for name in (fact.text, fact.because) for token in tokens(name, "remedy")}
    if any(token.root in risk - waits for token in told.tokens):
        return True
    modal = told.lists.said("modal", told.low)
    if modal is None or asking.search(told.low):
        return False
    clause = next((one for one in told.clauses if one[0].start <= modal.start() <= one[-1].end), ())
    return not any(piece.where == "because" for piece in ground.best(clause))


def _vanished(told: Statement, warning: Sequence[Token]) -> Iterator[Finding]:
    """A danger gone from what tells the risk: refused where something mild is told in its place."""
    typed = {token.text for token in warning}
    said = {token.text for token in told.tokens} | {word for token in told.tokens for word in token.text.split("-")}
    lists = told.lists
    for row in lists.data["danger"]:
        words = set(row.split())
        if not words & typed or words & said:
            continue
        reason = f"The danger that was typed, “{min(words & typed)}”, is not told."
        mild = lists.said("mild", told.low) or lists.said("weak", told.low)
        known = mild is None or mild[0] in typed or lists.said("grave", told.low)
        yield missing(reason, 0, len(told.text)) if known else Finding("danger", reason, 0, len(told.text))
        return


_NO_NEED = Regex(
    r"(?:\b(?:not|never|don't)|(?:n't|\bnot) (?:have|need) to (?:be )?(?:\w+ )?|"
    r"\bneed(?:n't| not) (?:be )?(?:\w+ )?) ?\Z"
)


def _urgency(told: Statement, entry: Entry, fact: Later | Offer, ground: Ground) -> Iterator[Finding]:
    waits = isinstance(fact, Later) and (bool(fact.due) or ground.typed("any time", "no rush"))
    judged = fact.judgement or ("later" if waits else "")
    for typed, others in told.lists.data["urgency"]:
        hit = phrase(others).search(told.low) if typed == judged else None
        if hit and _NO_NEED.search(told.low[: hit.start()]):
            continue  # "do not drive it" says the same; nor does it "have to be done right away"
        if hit and _of_another(told, hit.start(), entry, ground):
            continue
        if hit and not ground.typed(hit[0]) and not ground.says_itself(hit[0]):
            yield Finding("danger", f"It was typed as “{judged}”.", *hit.span())


def _of_another(told: Statement, at: int, entry: Entry, ground: Ground) -> bool:
    """Of several offers and items that wait, the words are about another one."""
    clause = next((one for one in told.clauses if one[0].start <= at <= one[-1].end), ())
    about = {piece.entry for piece in ground.best(clause)}
    return bool(about) and entry not in about and len(ground.of_kind("later", "offer")) > 1


def _weaker(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A strong word of what a clause is about, told by a weak one."""
    for clause in told.clauses:
        said = {token.text: token for token in clause}
        about = {token.text for piece in ground.best(clause) for token in piece.tokens}
        risks = {token.text for piece in ground.pieces if piece.where == "risk" for token in piece.tokens}
        for strong, weak in told.lists.data["weaker"]:
            hits = [word for word in strong.split() if word in about | risks]
            if not hits or any(word in told.low for word in strong.split()):
                continue
            for word in weak.split():
                if word in said and not ground.typed(word) and said[word].root not in ground.words:
                    reason = f"“{word}” is weaker than “{hits[0]}”, which was typed."
                    yield Finding("danger", reason, said[word].start, said[word].end)
