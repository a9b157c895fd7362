"""A rewording: the writer's own words in place of one sentence that the story of a ticket would tell one reader."""

import json
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256

from ticket.job.codec import encode_fact
from ticket.job.entry import Entry

READERS = ("customer", "payer", "shop")
_SHOWN = 16  # hex digits of a digest; it tells a change, it proves nothing


@dataclass(frozen=True, slots=True)
class Basis:
    """One source of a reworded sentence, and what stood there when it was reworded.

    Attributes:
        source: an entry's number, ``2107/12`` for another ticket's, ``ticket`` or ``caution:id``.
        digest: of that entry as :func:`digest_of` gives it; empty where the source is no entry.
    """

    source: str
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Merged:
    """A further sentence that a rewording stands in for too.

    Attributes:
        original: the generated sentence.
        rests_on: what it rests on, as it stood when it was reworded.
    """

    original: str
    rests_on: tuple[Basis, ...]


@dataclass(frozen=True, slots=True)
class Rewording:
    """One sentence of one reader's story in somebody's own words.

    Attributes:
        reader: whose story it belongs to.
        original: the generated sentence it stands in for. Where the story no longer says that, the rewording is
            outdated and nobody is shown it.
        text: the new words.
        by: who wrote them.
        at: when; carries a zone.
        rests_on: what the sentence rests on, as it stood then.
        language: of both texts.
        cites: further entries the new words may draw on, as they stood then.
        merges: further sentences of the same section that the new words stand in for.
        unproved: why the words could not be proved from the entries, where their writer kept them all the same;
            empty for words that were proved.
    """

    reader: str = field(metadata={"choices": READERS})
    original: str
    text: str
    by: str
    at: datetime
    rests_on: tuple[Basis, ...]
    language: str = "en"
    cites: tuple[Basis, ...] = ()
    merges: tuple[Merged, ...] = ()
    unproved: str = ""

    @property
    def sources(self) -> tuple[str, ...]:
        """The sources of the sentence."""
        return tuple(basis.source for basis in self.rests_on)

    @property
    def grounds(self) -> tuple[Basis, ...]:
        """Everything the new words rest on: its own sources, those of the merged sentences, what else it cites."""
        return (*self.rests_on, *(one for merged in self.merges for one in merged.rests_on), *self.cites)

    @property
    def sentence(self) -> tuple[str, str, str, tuple[str, ...]]:
        """Which sentence it stands in for; a ticket holds at most one rewording of each."""
        return self.reader, self.language, self.original, self.sources


def digest_of(entry: Entry) -> str:
    """Sixteen hex digits that differ once what an entry says, or whom it is meant for, was changed."""
    held = [entry.kind, encode_fact(entry.fact), entry.shop_only]
    return sha256(json.dumps(held, sort_keys=True, ensure_ascii=True).encode()).hexdigest()[:_SHOWN]
