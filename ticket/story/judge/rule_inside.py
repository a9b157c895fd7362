"""What stays inside, and outcomes or wholes that go against what was typed."""

from collections.abc import Iterator, Sequence

from ticket.job.kinds import Told, Used
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import opposite
from ticket.story.judge.rule_structure import sides_at
from ticket.story.judge.statement import FIGURE, NO, SIDE, WORD, Statement, tokens
from ticket.story.judge.tables import phrase, stem

_BARE = Regex(r"^(?:is|are|was|were|be|now|all|completely) ")
_IF = phrase("when|while|once|if|after|until|before|so that|unless|till|to be|to get|should be")
_DANGER = frozenset("danger dangers dangerous risk risks risky unsafe".split())
_DONE = ("did", "used", "proof", "told", "code")


def inside(told: Statement, ground: Ground, reader: str) -> Iterator[Finding]:
    """What stays inside, outcomes, blame, frames."""
    if reader != "shop":
        for entry in ground.entries:
            if entry.shop_only or entry.kind == "note":
                yield Finding("inside", f"Entry {entry.no} stays inside the shop.", 0, len(told.text))
                return
        yield from _secrets(told, ground)
    if reader == "customer":
        yield from _remarks(told, ground)
    yield from _phrases(told, ground)


def _secrets(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What the shop pays, and what somebody asked to keep quiet."""
    if hit := told.lists.said("dealings", told.low):
        yield Finding("inside", "What a part cost the shop stays inside.", *hit.span())
    facts = [entry.fact for entry in ground.of_kind("used")]
    costs = {token.value for fact in facts if isinstance(fact, Used) for token in tokens(fact.cost or "")}
    costs -= {None, *(token.value for token in ground.figures)}
    for token in told.tokens:
        if token.kind == FIGURE and token.value in costs:
            yield Finding("inside", "What a part cost the shop stays inside.", token.start, token.end)
    for piece in ground.pieces:
        if not told.lists.said("secret", " ".join(token.text for token in piece.tokens)):
            continue
        words = {token.root for token in piece.tokens if token.kind == WORD and token.text not in told.lists.plain}
        hits = [token for token in told.tokens if token.root in words and token.kind == WORD]
        if len(hits) > 1:
            yield Finding("inside", "Somebody asked to keep this inside.", hits[0].start, hits[-1].end)


def _remarks(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was said beside an answer is a remark for the shop."""
    remarks = [piece for piece in ground.pieces if piece.where == "told" and _beside_answer(piece, told)]
    rest = [piece for piece in ground.pieces if piece not in remarks]
    elsewhere = {root for piece in (*rest, *ground.computed) for root in piece.roots}
    elsewhere |= {token.root for token in tokens(told.lists.data["answer_words"])}
    for piece in remarks:
        for token in told.tokens:
            said = token.kind == WORD and token.root in piece.roots and token.root not in elsewhere
            kind = token.is_a("doing", "quality", "state") or not token.words
            if said and kind and token.text not in told.lists.plain:
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
    timed = any(token.text in told.lists.data["schedule"] for token in piece.tokens)
    return timed or any(token.text in told.lists.data["wishes"].split() for token in piece.tokens[:2])


def warns(piece: Piece) -> bool:
    """What may happen was said as a warning, or that somebody knows of it."""
    return any(token.is_a("modal") or token.text in _DANGER for token in piece.tokens)


def _phrases(told: Statement, ground: Ground) -> Iterator[Finding]:
    lists = told.lists
    for name, why in (
        ("outcome", "is an outcome that nobody typed"),
        ("blame", "blames somebody"),
        ("frames", "is a frame around typed words; say it plainly"),
        ("every", "takes in more than was typed"),
    ):
        hit = lists.said(name, told.low)
        excepted = f"{name}_except"
        if hit is None or (name != "every" and ground.typed(hit[0])) or ground.says_itself(hit[0]):
            continue
        if excepted in lists.patterns and lists.said(excepted, told.low):
            continue
        against, fine = name in ("blame", "frames"), False
        if name == "outcome" and any(one.kind == NO for one in told.tokens if one.start == hit.end() + 1):
            against = False  # "fixed nothing"
        elif name == "outcome":
            against, fine = _against_outcome(told, ground), _outcome_typed(hit[0], hit.end(), told, ground)
            against = against and not _IF.search(told.low[: hit.start()].rpartition(",")[2])
        elif name == "every":
            against = _of_one(told, hit.start(), hit.end(), ground)
            fine = not against and (hit[0] == "any" or _counted(told, hit.start(), hit.end(), ground))
        reason = f"“{hit[0]}” {why}."
        if against and not fine:
            yield Finding("inside", reason, *hit.span())
        elif not fine:
            yield missing(reason, *hit.span())


def _outcome_typed(words: str, behind: int, told: Statement, ground: Ground) -> bool:
    condition = phrase("when|while|once|if|after|until|as soon as").match(told.low[behind:].lstrip())
    comes_and_goes = condition is not None and any(
        token.kind == NO for piece in ground.pieces for token in piece.tokens
    )
    results = [getattr(entry.fact, "result", "") for entry in ground.of_kind("proof")]
    missed = "gone" in words and ground.typed("missing", "absent", "lost", "off")
    passed = words in ("passed", "successful", "successfully") and "passed" in results
    return comes_and_goes or missed or stem(words) in ground.words or passed or ground.typed(_BARE.sub("", words))


def _against_outcome(told: Statement, ground: Ground) -> bool:
    """A good end is told where a test failed, work was left undone, or the work only waits."""
    bad = told.lists.words("bad_end")
    ends = [piece for piece in ground.pieces if piece.entry and piece.entry.kind in ("proof", "did", "code")]
    typed = [token.text for piece in ends for token in piece.tokens]
    waits = any(piece.where in ("remedy", "maybe") for piece in ground.pieces)
    undone = waits and not any(piece.where in _DONE for piece in ground.pieces)
    failed = any(getattr(entry.fact, "result", "") == "failed" for entry in ground.of_kind("proof"))
    return failed or undone or bool(bad & set(typed))


def _of_one(told: Statement, start: int, end: int, ground: Ground) -> bool:
    """Of one side alone, told of both: wherever the thing was typed it has the same one side."""
    clause = next((one for one in told.clauses if one[0].start <= start <= one[-1].end), ())
    things = [token for token in clause if token.is_a("thing", "matter") and token.text not in ("side", "sides")]
    noun = next((token for token in things if token.start >= end), things[-1] if things else None)
    homes = [(piece, at) for piece in ground.pieces for at in piece.roots.get(noun.root if noun else "", ())]
    sides = [sides_at(piece, at) for piece, at in homes]
    named = {one.root for one in clause if one.kind == SIDE}
    across = [side & {"left", "right"} for side in sides]
    if not named and not any(across):
        across = [
            side if piece.tokens[at].form_of("thing") == "one" else set()
            for side, (piece, at) in zip(sides, homes, strict=True)
        ]
    whole = {name for piece in ground.pieces for token in piece.tokens for name in (token.root, token.text)}
    if any(across) and set.union(*across) <= named:
        return False
    words = {token.text for piece, _ in homes for token in piece.tokens if token.kind != FIGURE}
    if told.low[start:end] not in ("both", "all", "every") or words & set(told.lists.data["every_typed"]):
        return False
    single = bool(across) and all(len(one) == 1 for one in across)
    return single and not any(opposite(one) in whole for one in across[0])


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
