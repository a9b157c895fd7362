"""How long or how fast something ran while another thing was read, in the words that people use for it.

Not the words but their place decides: a time or an engine speed beside a reading of something else, with nothing but
small words and a word for running, waiting or turning around it. Common practice, no source.
"""

from ticket.notes.finding.tokens import Line, Token

_RUNS = "run ran running runs sat sitting sit idled idling soaked soaking stood standing waited parked driven driving"
_LED = {
    "time": frozenset(f"after once having following when with while since {_RUNS}".split()),
    "rotation": frozenset("turning running holding held revved revving spinning spun bringing while".split()),
}
"""Words in front of which one says that the figure tells how it was read."""
_SMALL = frozenset("a an the good about around another full nearly some solid it she he her its that only just".split())
_UP = {"time": frozenset[str](), "rotation": frozenset({"up", "to", "up to", "engine", "eng", "at", "@"})}
_BEHIND = {"time": frozenset({"later", "in", *_RUNS.split()}), "rotation": frozenset[str]()}
_TOOK = frozenset("took takes take taking build builds built build-up buildup drops drop".split())
_PLAIN = frozenset({"", "time", "rotation", "speed", "turns"})


def find_told_runs(line: Line) -> None:
    """Make one condition of each, with its words."""
    words = {word for token in line.tokens for word in token.text.split(" ")}
    if not words.isdisjoint(_TOOK):
        return  # how long it took may be what was read
    if not any(token.letter == "q" and token.amount.dimension not in _PLAIN for token in line.tokens):
        return
    at = len(line.tokens) - 1
    while at >= 0:
        token = line.tokens[at]
        run = token.letter == "q" and token.amount.dimension in _LED and _is_exact(line, at)
        at = (_join(line, at) if run else at) - 1


def _join(line: Line, at: int) -> int:
    """Where the condition stands that was made of it, or the figure where it stays one."""
    kind = line.tokens[at].amount.dimension
    first, stop = at, at + 1
    while first and _is_among(line.tokens[first - 1], _LED[kind] | _SMALL | _UP[kind]):
        first -= 1
    while stop < len(line.tokens) and _is_among(line.tokens[stop], _BEHIND[kind]):
        stop += 1
    around = {word for token in (*line.tokens[first:at], *line.tokens[at + 1 : stop]) for word in token.text.split(" ")}
    if around.isdisjoint(_LED[kind] | _BEHIND[kind]) or (stop == at + 1 and around <= {"after", "with", "while"}):
        return at  # nothing says so, or the grammar of conditions does
    start, end = line.tokens[first].start, line.tokens[stop - 1].end
    made = Token("C", start, end, line.said(start, end), (line.tokens[at],), line.tokens[first].gap)
    line.tokens[first:stop] = [made]
    return first


def _is_among(token: Token, words: frozenset[str]) -> bool:
    return token.letter in ("wukPc@hyp" if token.text in ("in", "good") else "wukPc@h") and (
        token.text in words or set(token.text.split(" ")) <= words
    )


def _is_exact(line: Line, at: int) -> bool:
    """An exact figure in its unit that no limit word stands at."""
    amount = line.tokens[at].amount
    beside = [line.tokens[i].letter for i in (at - 1, at + 1) if 0 <= i < len(line.tokens)]
    return not (amount.bare or amount.to or amount.than or any(letter in "lsdirta" for letter in beside))
