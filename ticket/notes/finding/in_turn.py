"""Several limits in one piece, one for each reading: ``min 15 idle and 40 at 1800``, ``book 5-7 and 45-60``."""

from dataclasses import replace

from ticket.notes.finding.tokens import Amount, GivenLimits, Line


def each_in_turn(line: Line, first: int, end: int, limits: GivenLimits) -> tuple[GivenLimits | None, int]:
    """The limits with those that go on behind them, and the token behind all; nothing where none goes on.

    A comma parts two of them only where the one before has a condition of its own (``max 1.5 idle, 3.0 at 2500``).
    """
    if (limits.wear is not None and not limits.needed) or limits.tolerance is not None or limits.spread is not None:
        return None, end
    tokens = line.tokens
    when, at = _condition(line, end)
    rows: list[GivenLimits] = [replace(limits, when=when or limits.when)]
    while at < len(tokens) and (tokens[at].letter in "j/" or (tokens[at].letter == "," and _parted(rows[-1]))):
        comma, at = at if tokens[at].letter == "," else -1, at + 1
        while at < len(tokens) and tokens[at].letter in "lhid" and tokens[at].letter == _side(limits):
            at += 1
        amount = tokens[at].amount if at < len(tokens) and tokens[at].letter == "q" else None
        row = _like(limits, amount) if amount else None
        if row is None and comma >= 0:
            at = comma  # another part begins there
            break
        if row is None:
            return None, end
        when, at = _condition(line, at + 1)
        rows.append(replace(row, when=when))
    while at < len(tokens) and tokens[at].text in ("respectively", "resp"):
        at += 1
    closed = at == len(tokens) or tokens[at].letter in ",;."
    if len(rows) < 2 or not closed or first == 0 or len({bool(row.when) for row in rows}) > 1:
        return None, end
    return replace(rows[0], more=tuple(rows[1:])), at


def _parted(row: GivenLimits) -> bool:
    """A comma parts two limits where the one before has a condition or is a range."""
    return bool(row.when) or (row.low is not None and row.high is not None)


def _side(limits: GivenLimits) -> str:
    if limits.wear is not None:
        return "d"
    return "l" if limits.low is not None else "h"


def _condition(line: Line, at: int) -> tuple[str, int]:
    """``idle``, ``at 2500``, ``@ 1800 rpm`` behind a limit, and the place behind it."""
    tokens = line.tokens
    stop = at
    while stop < len(tokens) and tokens[stop].letter in "cC":
        stop += 1
    if stop + 1 < len(tokens) and tokens[stop].letter == "@" and tokens[stop + 1].letter == "q":
        stop += 2
    return (line.said(tokens[at].start, tokens[stop - 1].end), stop) if stop > at else ("", at)


def _like(limits: GivenLimits, amount: Amount) -> GivenLimits | None:
    """Limits of the same form with another figure; nothing where the figure has another form or another unit."""
    sample = limits.amounts[0]
    if not amount.bare and not sample.bare and amount.dimension != sample.dimension:
        return None
    if amount.to:
        if limits.low is None or limits.high is None:
            return None
        top = replace(amount, text=amount.to, value=amount.to_value, to="", to_value=None)
        return GivenLimits(low=replace(amount, to="", to_value=None), high=top, source=limits.source)
    if amount.than and (amount.than, _side(limits)) not in ((">", "l"), (">=", "l"), ("<", "h")):
        return None
    plain = replace(amount, than="")
    if limits.wear is not None:
        return GivenLimits(wear=plain, needed=limits.needed, source=limits.source)
    if limits.amounts == (limits.nominal,):
        return GivenLimits(nominal=plain, source=limits.source)
    if limits.low is not None and limits.high is None:
        return GivenLimits(low=plain, source=limits.source)
    if limits.high is not None and limits.low is None:
        return GivenLimits(high=plain, source=limits.source)
    return None


def is_for(limits: GivenLimits, conditions: set[str]) -> bool:
    """Whether a limit with a condition of its own may be for a reading taken under these words."""
    own = set(limits.when.casefold().split()) - {"at", "@", "on", "the", "rpm"}
    return not own or bool(own & conditions)
