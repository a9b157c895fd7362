"""The notation of a line on one page, made from the declarations of its kinds."""

from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import groupby

from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.papers.labels import labels
from ticket.papers.sheet import Block, Facts, Heading, Paragraph, Said, Sheet

LIMITS = {
    "LF 2.9 mm (min 3.0)": "least, per side",
    "0.04 V (max 0.05 per maker)": "most, and who says so",
    "13.9 V (13.8 to 14.8)": "between",
    "0.10 deg (0.12 +/- 0.05)": "around a value",
    "168 171 96 psi (min 140, spread 25 %)": "in a row, with their spread",
    "12.4 V @ 20 C": "a condition, which is not judged",
}
"""Readings with their limits; a test reads each behind a name without a question."""

_MADE = datetime(2026, 3, 2, tzinfo=UTC)  # of the page's form, so that it has the same bytes everywhere


def cheat_sheet(size: str = "Letter") -> Sheet:
    """The page; ``size`` is the paper it is printed on."""
    label = labels("en")
    return Sheet(
        title="The line on one page",
        kind="",
        sender=(),
        at=_MADE,
        blocks=tuple(_blocks()),
        language="en",
        size=size,
        page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"),
        foot="ticket cheat",
    )


def _blocks() -> Iterator[Block]:
    yield Paragraph((Said("The word or its short form decides; a line without one is a finding."),))
    yield Facts(tuple((_word(kind), _rest(kind)) for kind in KINDS))
    yield Heading("Behind a semicolon")
    yield Facts(tuple(_fields()))
    yield Heading("Words of their own")
    yield Facts(tuple(_flags()))
    yield Heading("Limits and marks")
    yield Facts((*LIMITS.items(), *_MARKS))


_MARKS = (
    ("B found: ...", "another concern; A+C: several"),
    ("# found: ...", "for the shop alone"),
    ("2107/12", "entry 12 of ticket 2107"),
    ("proof: 3 now 0.06 V", "reading 3 taken again"),
)


_ENTRIES = "entries it rests on or is for"


def _word(kind: str) -> str:
    """The word of a kind with its short form."""
    short = KINDS[kind].short
    return f"{kind}: {short}:" if short and short != kind else f"{kind}:"


def _rest(kind: str) -> str:
    """The example of a kind without its word."""
    example = KINDS[kind].example
    return example.removeprefix(f"{kind}:").strip()


def _fields() -> Iterator[tuple[str, str]]:
    """Every word of a field, with what it says and on which kinds of line, those with one meaning together."""
    found = sorted(
        (spec.word.rstrip(":"), spec.title, kind) for kind, cls in KINDS.items() for spec in specs(cls) if spec.word
    )
    for word, same in groupby(found, key=lambda one: one[0]):
        held = list(same)
        titles = ", ".join(dict.fromkeys(title for _, title, _ in held))
        yield word, f"{titles} ({', '.join(dict.fromkeys(kind for _, _, kind in held))})"


def _flags() -> Iterator[tuple[str, str]]:
    """The values that stand by themselves, by the kinds of line they stand on."""
    for kind, cls in KINDS.items():
        listed = [" | ".join(spec.choices) for spec in specs(cls) if spec.place == "flag" and spec.choices]
        if listed:
            yield kind, "; ".join(listed)
