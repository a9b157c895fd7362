"""Writing the notation: the plainest line that reads back as the same fact."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Any

from ticket.job.entry import Draft
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import Fact, Found, Note, Proof
from ticket.job.picture import name_of, picture_fields
from ticket.job.values import Due
from ticket.notes.bought import write_used
from ticket.notes.code import write_code
from ticket.notes.found import same_finding, write_found, write_proof
from ticket.notes.heads import join
from ticket.notes.labour import write_did
from ticket.notes.pen import Pen
from ticket.notes.read import read_line
from ticket.notes.segments import fields_of
from ticket.notes.shapes import Context, money_in, written
from ticket.notes.told import write_told

_HEADS: dict[str, Callable[[Any, Pen], str]] = {
    "code": write_code, "found": write_found, "did": write_did, "used": write_used, "told": write_told,
    "proof": write_proof,
}  # fmt: skip
_FLAGS_IN_HEAD = ("code",)
_TEXTS = ("text", "person", "rate", "picture")

_MARKS = frozenset('";')


@lru_cache(maxsize=1024)  # asked again at every key, for the entries of one ticket or two
def write(fact: Fact, *, concern: str = "", shop_only: bool = False) -> str:
    """The canonical line of a fact.

    Reading the line gives the fact again (one of an older ticket in today's form), whoever works in the shop, as long
    as the fact's own ``by`` and ``rate`` are among the people and rates handed to the reader. A fact that holds values
    of no readable shape (a number that is none, a label that is no position) or measurements its text does not hold is
    written as well as it can be, and so is one whose line would be longer than a line may be.
    """
    mark = _mark(concern, shop_only)
    meant = Draft(fact, concern, shop_only)
    line = ""
    if isinstance(fact, Note) and shop_only and not concern:
        line = f"# {Pen().text('text', fact.text)}"
        if _reads_back(line, meant):
            return line
    for pen in _pens(fact):
        line = _line(fact, pen, mark)
        if _reads_back(line, meant):
            break
    return line


def write_plainly(fact: Fact, *, concern: str = "", shop_only: bool = False) -> str:
    """The line of a fact for people to read: a finding of an older ticket as it was typed then.

    Today's reader may share the words of such a line out differently (``front pads LF 7``: pads, left front), so the
    canonical line holds them together with quote marks. They would only be in the way of somebody who reads, save
    where the words hold a mark of the notation themselves.
    """
    if isinstance(fact, Found | Proof) and fact.run is not None and not _MARKS & set(fact.what):
        return _line(fact, Pen(), _mark(concern, shop_only))
    return write(fact, concern=concern, shop_only=shop_only)


def _mark(concern: str, shop_only: bool) -> str:
    return f"{'# ' if shop_only else ''}{f'{concern} ' if concern else ''}"


def _line(fact: Fact, pen: Pen, mark: str) -> str:
    body = _body(fact, pen)
    return f"{mark}{fact.kind}: {body}" if body else f"{mark}{fact.kind}:"


def _reads_back(line: str, meant: Draft) -> bool:
    people, rates = ((name,) if name else () for name in _names(meant.fact))
    contexts = [Context(people, rates)]
    if any(spec.shape in ("person", "rate") for spec in specs(type(meant.fact))):
        contexts.append(Context(people, rates, anyone=True))
    return all(_same(read_line(line, context), meant) for context in contexts)


def _names(fact: Fact) -> tuple[str, str]:
    found = {spec.shape: str(getattr(fact, spec.name)) for spec in specs(type(fact))}
    return found.get("person", ""), found.get("rate", "")


def _same(drafts: tuple[Draft, ...], meant: Draft) -> bool:
    if len(drafts) != 1:
        return False
    draft = drafts[0]
    if (draft.concern, draft.shop_only) != (meant.concern, meant.shop_only):
        return False
    if isinstance(draft.fact, Found | Proof) and isinstance(meant.fact, Found | Proof):
        return draft.fact == meant.fact or same_finding(draft.fact, meant.fact)
    return draft.fact == _named(meant.fact)


def _named(fact: Fact) -> Fact:
    """The fact as a line can say it: a picture by the beginning of its digest, which the shop knows it by."""
    short = {name: name_of(getattr(fact, name)) for name in picture_fields(type(fact))}
    return replace(fact, **short) if short else fact


def _pens(fact: Fact) -> Iterator[Pen]:
    """From the plainest way of writing to the one that leaves nothing to chance."""
    texts = [spec.name for spec in specs(type(fact)) if spec.shape in _TEXTS and getattr(fact, spec.name)]
    yield Pen()
    yield from (Pen(frozenset({name})) for name in texts)
    if isinstance(fact, Found | Proof):
        yield Pen(marked=True)
        texts.append("source")
    yield Pen(frozenset(texts))
    yield Pen(frozenset(texts), marked=True)


def _body(fact: Fact, pen: Pen) -> str:
    head = _HEADS.get(fact.kind)
    start = head(fact, pen) if head else _plain(fact, pen)
    own = [
        spec
        for spec in fields_of(fact.kind)
        if getattr(fact, spec.name) and not (spec.place == "flag" and fact.kind in _FLAGS_IN_HEAD)
    ]
    fields = join(*(_field(spec, getattr(fact, spec.name), pen) for spec in own), glue="; ")
    if not start and own and own[0].shape != "refs":
        return f"; {fields}"  # an empty head; only references may stand in its place
    return join(start, fields, glue="; ")


def _plain(fact: Fact, pen: Pen) -> str:
    first = next(spec for spec in specs(type(fact)) if spec.place == "head")
    text: str = getattr(_named(fact), first.name)
    return pen.text(first.name, text) if text else ""


def _field(spec: FieldSpec, value: Any, pen: Pen) -> str:
    if spec.shape in _TEXTS:
        text = pen.text(spec.name, value)
    else:
        text = money_in(value) or value if spec.shape == "money" else written(value)
    lead = "due" if isinstance(value, Due) and not (value.distance or value.time or value.hours) else spec.word
    return f"{lead} {text}" if spec.place == "word" else text
