"""Rules 1 to 3: what stays inside, how sure it is, what can hurt somebody."""

from collections.abc import Iterator, Sequence

from ticket.job.kinds import Cause, Later, Offer, Told, Used
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.statement import FIGURE, NO, WORD, Statement, Token, tokens
from ticket.story.judge.tables import phrase, stem

_BARE = Regex(r"^(?:is|are|was|were|be|now|all|completely) ")
_SEEN = ("found", "did", "proof", "used")
_PRESSING = ("do now", "do not drive")


def inside(told: Statement, ground: Ground, reader: str) -> Iterator[Finding]:
    """What stays inside, whose answer it was, outcomes and totals that nobody typed, blame, frames."""
    if reader != "shop":
        for entry in ground.entries:
            if entry.shop_only or entry.kind == "note":
                yield Finding("inside", f"Entry {entry.no} stays inside the shop.", 0, len(told.text))
                return
        yield from _costs(told, ground)
        yield from _secrets(told, ground)
    if reader == "customer":
        yield from _remarks(told, ground)
    yield from _phrases(told, ground)
    yield from _answers(told, ground)


def _secrets(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What the shop pays, and what somebody asked to keep quiet."""
    if hit := told.lists.said("dealings", told.low):
        yield Finding("inside", "What a part cost the shop stays inside.", *hit.span())
    for piece in ground.pieces:
        if not told.lists.said("secret", " ".join(token.text for token in piece.tokens)):
            continue
        words = {token.root for token in piece.tokens if token.kind == WORD and token.text not in told.lists.plain}
        hits = [token for token in told.tokens if token.root in words and token.kind == WORD]
        if len(hits) > 1:
            yield Finding("inside", "Somebody asked to keep this inside.", hits[0].start, hits[-1].end)


def _costs(told: Statement, ground: Ground) -> Iterator[Finding]:
    facts = [entry.fact for entry in ground.of_kind("used")]
    costs = {token.value for fact in facts if isinstance(fact, Used) for token in tokens(fact.cost or "")}
    for token in told.tokens:
        if token.kind == FIGURE and token.value in costs - {None} and token.value not in _values(ground):
            yield Finding("inside", "What a part cost the shop stays inside.", token.start, token.end)


def _values(ground: Ground) -> set[object]:
    return {token.value for token in ground.figures}


def _remarks(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was said beside an answer is a remark for the shop."""
    contacts = [entry for entry in ground.of_kind("told") if isinstance(entry.fact, Told)]
    if not contacts:
        return
    rest = [piece for piece in ground.pieces if piece.where != "told" or not _beside_answer(piece, told)]
    elsewhere = {root for piece in (*rest, *ground.computed) for root in piece.roots}
    answers = told.lists
    answering = {token.root for token in tokens(told.lists.data["answer_words"])}
    for piece in ground.pieces:
        if piece.where != "told" or not _beside_answer(piece, told):
            continue
        for token in told.tokens:
            said = token.kind == WORD and token.root in piece.roots and token.root not in elsewhere | answering
            if (
                said
                and token.text not in answers.plain
                and (token.is_a("doing", "quality", "state") or not token.words)
            ):
                reason = "What was said beside an answer is a remark for the shop."
                yield Finding("inside", reason, token.start, token.end)


def _beside_answer(piece: Piece, told: Statement) -> bool:
    line = [piece]
    while line[-1].before is not None:
        line.append(line[-1].before)
    return remark(piece, line[1:], told)


def remark(piece: Piece, line: Sequence[Piece], told: Statement) -> bool:
    """Beside an answer in its line, and no answer, wish or warning itself."""
    spoken = {*told.lists.data["accept_typed"], *told.lists.data["decline_typed"]}
    if any(token.text in spoken or token.kind == NO for token in piece.tokens) or warns(piece) or wish(piece, told):
        return False
    fact = piece.entry.fact if piece.entry else None
    answers = fact.answers if isinstance(fact, Told) else ()
    return any(one.answer in ("yes", "no") for one in answers) or any(
        token.text in spoken and not _bans(one, i) for one in line for i, token in enumerate(one.tokens)
    )


def _bans(piece: Piece, at: int) -> bool:
    """ "No towing till Friday" is no answer; "no", "no to the discs", "no 2" are."""
    behind = piece.tokens[at + 1] if at + 1 < len(piece.tokens) else None
    return piece.tokens[at].kind == NO and behind is not None and behind.kind == WORD and not behind.is_a("place")


def wish(piece: Piece, told: Statement) -> bool:
    """What somebody asks for or means to do is theirs to read; what somebody thought of them is not."""
    return any(token.text in told.lists.data["wishes"].split() for token in piece.tokens[:2])


def warns(piece: Piece) -> bool:
    """What may happen was said as a warning."""
    return any(token.is_a("modal") for token in piece.tokens)


def _phrases(told: Statement, ground: Ground) -> Iterator[Finding]:
    lists = told.lists
    for name, why in (
        ("outcome", "is an outcome that nobody typed"),
        ("blame", "blames somebody, or tells what nobody saw"),
        ("frames", "is a frame around typed words; say it plainly"),
        ("every", "takes in more than was typed"),
    ):
        hit = lists.said(name, told.low)
        if hit is None or (name != "every" and ground.typed(hit[0])) or ground.says_itself(hit[0]):
            continue
        excepted = f"{name}_except"
        if excepted in lists.patterns and lists.said(excepted, told.low):
            continue
        if name == "every" and (hit[0] == "any" or _counted(told, hit.start(), hit.end(), ground)):
            continue
        if name == "outcome" and (
            _for_a_while(told, hit.end(), ground)
            or stem(hit[0]) in ground.words
            or _passed(hit[0], ground)
            or ground.typed(_BARE.sub("", hit[0]))
        ):
            continue
        yield Finding("inside", f"“{hit[0]}” {why}.", *hit.span())


def _for_a_while(told: Statement, behind: int, ground: Ground) -> bool:
    """What comes and goes is gone under a condition: "none when loaded"."""
    condition = phrase("when|while|once|if|after|until|as soon as").match(told.low[behind:].lstrip())
    return condition is not None and any(token.kind == NO for piece in ground.pieces for token in piece.tokens)


def _counted(told: Statement, start: int, end: int, ground: Ground) -> bool:
    """Typed so in the piece the clause is about, or of a number that was typed: all 20 times."""
    behind = next((token for token in told.tokens if token.start >= end), None)
    if told.low[start:end] == "all" and behind is not None and behind.kind == FIGURE and behind.value in ground.digits:
        return True
    clause = next((one for one in told.clauses if one[0].start <= start <= one[-1].end), ())
    about = ground.best(clause)
    words = set(told.lists.data["every_typed"])
    typed = {token.text for piece in about or ground.pieces for token in piece.tokens}
    several = any(
        token.kind == FIGURE and (token.unit == "times" or (token.value in (2, 4) and not token.unit))
        for piece in about
        for token in piece.tokens
    )
    if any(isinstance(entry.fact, Told) and any(not one.to for one in entry.fact.answers) for entry in ground.entries):
        return True  # a yes that names no offer is one to all that was asked
    used = any(isinstance(entry.fact, Used) for entry in ground.entries) and ground.typed(*words)
    return bool(typed & words) or several or used or len({piece.entry for piece in about}) > 1


def _passed(words: str, ground: Ground) -> bool:
    """A test that was passed says so in a field of its own."""
    results = [getattr(entry.fact, "result", "") for entry in ground.of_kind("proof")]
    return words in ("passed", "successful", "successfully") and "passed" in results


def _answers(told: Statement, ground: Ground) -> Iterator[Finding]:
    contacts = [entry.fact for entry in ground.of_kind("told") if isinstance(entry.fact, Told)]
    if not contacts:
        return
    given = {answer.answer for fact in contacts for answer in fact.answers}
    words = {token.text for fact in contacts for token in tokens(fact.words or "", "told")}
    yes = "yes" in given or bool(words & set(told.lists.data["accept_typed"]))
    no = "no" in given or bool(words & set(told.lists.data["decline_typed"]) - given)
    for name, turned in (("decline", yes and not no), ("accept", not yes)):
        hit = told.lists.said(name, told.low)
        other = told.lists.said("decline" if name == "accept" else "accept", told.low)
        if hit and turned and not (other and other.span()[0] <= hit.span()[0] < other.span()[1]):
            yield Finding("inside", "The answer that was typed is another one.", *hit.span())


def ruled_out(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was ruled out is told as not so."""
    for sentence in told.sentences:
        for clause in sentence:
            about = ground.best(clause)
            if not about or any(piece.where != "ruled" for piece in about):
                continue
            start, end = sentence[0][0].start, sentence[-1][-1].end
            if not any(token.kind == NO for token in clause) and "rule" not in told.low[start:end]:
                if any(token.is_a("be") for token in clause):
                    yield Finding("denial", "It was ruled out.", clause[0].start, clause[-1].end)


def certainty(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A hedge is neither lost nor put in; what may happen is not told as what will."""
    for sentence in told.sentences:
        said = [token for clause in sentence for token in clause]
        if not said:
            continue
        start, end = said[0].start, said[-1].end
        text = told.low[start:end]
        hedged = bool(told.lists.said("hedge", text))
        about = [piece for clause in sentence for piece in ground.best(clause)]
        nearest = [piece for clause in sentence for piece in ground.nearest(clause, said)]
        guessed = [piece for piece in nearest if piece.hedged or _typed_hedge(piece, told)]
        if guessed and not hedged and not told.lists.said("hedge", told.low):
            yield Finding("certainty", "It is typed as a guess and told as certain.", start, end)
        added = told.lists.said("added", text)
        guess = any(piece.hedged or _typed_hedge(piece, told) for piece in ground.pieces)
        if added and about and not guess and not ground.says_itself(added[0]) and all(_sure(piece) for piece in about):
            yield Finding("certainty", "It is typed as certain and told as a guess.", start, end)
        yield from _surely(told, ground, text, start, about)


def _typed_hedge(piece: Piece, told: Statement) -> bool:
    if piece.where == "field":
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
        return bool(fact.refs) and fact.sure != "likely"
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
    risky = any(piece.where == "risk" and said & set(piece.roots) for piece in ground.pieces)
    if risky or any(piece.where == "risk" or piece.hedged for piece in about) or hit[0] not in ("will",):
        yield Finding("certainty", f"“{hit[0]}” is surer than what was typed.", at + hit.start(), at + hit.end())


def danger(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A danger that was typed stands in what tells its risk, no weaker; the judgement is the one typed."""
    for entry in ground.entries:
        fact = entry.fact
        if isinstance(fact, Later) and fact.risk and _tells_risk(told, fact, ground):
            yield from _vanished(told, tokens(fact.risk, "risk"))
        if isinstance(fact, Told) and told.lists.said("modal", told.low):
            warned = [piece for piece in ground.pieces if piece.entry is entry and warns(piece)]
            yield from _vanished(told, [token for piece in warned for token in piece.tokens])
        if isinstance(fact, Later | Offer) and fact.judgement:
            yield from _urgency(told, fact.judgement, ground)
    hit = told.lists.said("weak", told.low)
    fine = hit is None or told.lists.said("weak_except", told.low) or ground.says_itself(hit[0])
    fine = fine or ground.typed(*told.lists.data["weak_for"].get(hit[0] if hit else "", ()))
    if hit and not fine and not ground.typed(hit[0], *hit[0].split()[-1:]):
        yield Finding("danger", f"“{hit[0]}” makes less of it than was typed.", *hit.span())
    yield from _weaker(told, ground)


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
    typed = {token.text for token in warning}
    said = {token.text for token in told.tokens} | {word for token in told.tokens for word in token.text.split("-")}
    for row in told.lists.data["danger"]:
        words = set(row.split())
        lost = words & typed <= _LOSING and any(token.kind == NO for token in told.tokens)
        if lost and _behind_loss(warning) & {token.root for token in told.tokens}:
            continue  # "you could be left without brakes"
        if words & typed and not words & said:
            named = next(iter(sorted(words & typed)))
            yield Finding("danger", f"The danger that was typed, “{named}”, is not told.", 0, len(told.text))
            return


_LOSING = frozenset({"lose", "loses", "loss", "lost"})


def _behind_loss(warning: Sequence[Token]) -> set[str]:
    """What was typed behind "lose"."""
    at = next((i for i, token in enumerate(warning) if token.text in _LOSING), len(warning))
    return {token.root for token in warning[at + 1 : at + 5] if token.is_a("thing", "matter") or not token.words}


def _urgency(told: Statement, judgement: str, ground: Ground) -> Iterator[Finding]:
    for typed, others in told.lists.data["urgency"]:
        hit = phrase(others).search(told.low) if typed == judgement else None
        if hit and told.low[: hit.start()].split()[-1:] in (["not"], ["never"], ["don't"]):
            continue  # "do not drive it" says the same
        if hit and not ground.typed(hit[0]) and not ground.says_itself(hit[0]):
            yield Finding("danger", f"It was typed as “{judgement}”.", *hit.span())


def _weaker(told: Statement, ground: Ground) -> Iterator[Finding]:
    said = {token.text: token for token in told.tokens}
    for strong, weak in told.lists.data["weaker"]:
        hits = [word for word in strong.split() if ground.typed(word)]
        if not hits or any(word in said for word in strong.split()):
            continue
        for word in weak.split():
            if word in said and not ground.typed(word) and said[word].root not in ground.words:
                reason = f"“{word}” is weaker than “{hits[0]}”, which was typed."
                yield Finding("danger", reason, said[word].start, said[word].end)
