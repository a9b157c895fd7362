"""Two papers to keep away from the shop: the head of a day, and the public keys it is checked with."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from ticket.papers.labels import Labels, labels
from ticket.papers.sheet import Block, Facts, Heading, Notice, Paragraph, Said, Sheet
from ticket.store.signed_heads import Head, shown


@dataclass(frozen=True, slots=True)
class Letter:
    """What both papers share; no name of the shop, which may change: the page can be written again from its row.

    Attributes:
        file: the random name of its file.
        size: of the paper.
        language: of its words.
        scratch: it is a shop for practice.
    """

    file: str
    size: str
    language: str
    scratch: bool = False

    @property
    def label(self) -> Labels:
        """Its words."""
        return labels(self.language)

    def sheet(self, title: str, at: datetime, blocks: Sequence[Block], record: str = "") -> Sheet:
        """One of the papers."""
        label = self.label
        return Sheet(
            title=title,
            at=at,
            blocks=(*((Notice(label("scratch")),) if self.scratch else ()), *blocks),
            language=self.language,
            size=self.size,
            page=label("page", page="{page}", pages="{pages}"),
            foot=title,
            record=record,
            shop=self.file if record else "",
        )


def head_sheet(letter: Letter, head: Head) -> Sheet:
    """The head as a page; its record has all digits, which no copy of a ticket prints."""
    label, record = letter.label, f"{head.seq}-{head.hash}"
    key = (
        ((label("head.key"), shown(head.key)), (label("head.signature"), head.sig))
        if head.key
        else ((label("head.key"), label("head.unsigned")),)
    )
    facts = (
        (label("head.row"), str(head.seq)), (label("head.at"), head.at), (label("head.number"), str(head.number)),
        (label("head.file"), head.shop), *key,
    )  # fmt: skip
    short = f"ticket audit --against {head.seq}-{head.hash[:32]}"
    blocks = (
        Facts(facts),
        Heading(label("record")),
        Paragraph((Said(record),)),
        Paragraph((Said(label("head.why", row=head.seq, command=short)),)),
    )
    return letter.sheet(label("head.title", row=head.seq), datetime.fromisoformat(head.at), blocks, record)


def key_sheet(letter: Letter, keys: Mapping[str, Mapping[str, object]], at: datetime) -> Sheet:
    """The public keys on one page, each with the row that told it and, once ended, the last row it may sign."""
    label = letter.label
    told = tuple(Facts(tuple(_key_facts(label, key, one))) for key, one in keys.items())
    caption = Heading(label("keys.caption", file=letter.file, method="Ed25519"))
    blocks = (caption, *(told or (Notice(label("keys.none")),)), Paragraph((Said(label("keys.why")),)))
    return letter.sheet(label("keys.title"), at, blocks)


def _key_facts(label: Labels, key: str, told: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    yield label("keys.key"), shown(key)
    for name in ("public", "row", "login", "last"):
        if name in told:
            yield label(f"keys.{name}"), str(told[name])
