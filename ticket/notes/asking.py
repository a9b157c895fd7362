"""Questions about a line, and how the rest of a text is put together once a fact was taken out of it."""

from collections.abc import Iterable, Sequence

from ticket.job.entry import Remark
from ticket.job.regex import Regex
from ticket.notes.spans import Body
from ticket.notes.tokens import Token

_EDGE = " \t,;:–"
_DOUBLE = Regex(r"\s+(?=[,;.](?:\s|\Z))|(?:[,;]\s*)+(?=[,;])|\((?:\s|,)*\)|(?:\s+[-–:])+(?=\s*[,;]|\s*\Z|\s+@)")
_BLANKS = Regex(r"[ \t]{2,}")
Range = tuple[int, int]


def ask(body: Body, where: Range, text: str, *answers: str, blocks: bool = False) -> Remark:
    """A question about a piece of a body; the answers may take its place."""
    return Remark(text, body.at + where[0], body.at + where[1], "question", blocks, answers)


def unread(body: Body, where: Range, text: str, *answers: str, blocks: bool = False) -> Remark:
    """A piece of a body that could be a fact and that nothing took."""
    return Remark(text, body.at + where[0], body.at + where[1], "unread", blocks, answers)


def place(tokens: Sequence[Token], first: int, behind: int) -> Range:
    """The characters from one token to the one before another."""
    return tokens[first].start, tokens[behind - 1].end


def without(body: Body, taken: Iterable[Range]) -> Body:
    """A body without some of its characters, and without the marks and blanks that only parted them.

    Where nothing is taken it is the body itself, so that a text that holds no fact stays as typed.
    """
    ranges = sorted(taken)
    if not ranges:
        return body.strip()
    raw, bare, at = [], [], 0
    for start, end in ranges:
        raw.append(body.raw[at:start])
        bare.append(body.bare[at:start])
        at = max(at, end)
    raw.append(body.raw[at:])
    bare.append(body.bare[at:])
    return _tidied("".join(raw), "".join(bare), body.at)


def _tidied(raw: str, bare: str, at: int) -> Body:
    """Outer marks and doubled separators go; what stands in quotes is left alone."""
    drop: list[Range] = [match.span() for match in _DOUBLE.finditer(bare)]
    drop += [(match.start() + 1, match.end()) for match in _BLANKS.finditer(bare)]
    keep = [True] * len(raw)
    for start, end in drop:
        keep[start:end] = [False] * (end - start)
    raw = "".join(char for char, on in zip(raw, keep, strict=True) if on)
    bare = "".join(char for char, on in zip(bare, keep, strict=True) if on)
    start = len(bare) - len(bare.lstrip(_EDGE + "-"))
    end = len(bare.rstrip(_EDGE + "-"))
    return Body(raw[start:end], bare[start:end], at) if start < end else Body("", "", at)
