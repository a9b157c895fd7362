"""A phrasebook: what trade words and phrases mean in plain words of one language, and who said so when."""

from dataclasses import dataclass, field, replace
from datetime import datetime

SIZES = ("word", "clause", "line")
WORD_CLASSES = ("thing", "matter", "noise", "state", "doing")
LINE_KINDS = (
    "found", "cause", "maybe", "ruled", "proof", "did", "what", "remedy", "risk", "because", "says", "used",
)  # fmt: skip
STATES = ("kept", "waiting", "back")
SHIPPED = 0  # the number of an entry that came with the program


@dataclass(frozen=True, slots=True)
class BookEntry:
    """One entry of a phrasebook.

    Attributes:
        language: of the told text.
        size: ``word``, ``clause`` (a phrase between commas, with slots) or ``line`` (a whole line).
        where: the kind of line it was typed in; for a word, what the word is.
        typed: as a technician types it, with slots such as ``{thing}``.
        told: how it is told, with the same slots.
        plural: of a typed thing.
        told_plural: of the told one.
        past: of a told doing, where it is irregular.
        gender: ``m`` or ``f``, in languages that have it.
        no: its number in the shop's book, given once; :data:`SHIPPED` for one that came with the program.
        by: who took it, or looked at it and let it in.
        at: when; carries a zone.
        ticket: where it was first typed, 0 for none.
        origin: where an imported one says it comes from.
        state: ``kept``, ``waiting`` (imported, not looked at, never told) or ``back`` (taken back, never told).
        back_by: who took it back.
        back_at: when.
        since: the journal row since which it is told, 0 while it never was.
        until: the journal row that took it back, 0 while none did.
    """

    language: str
    size: str = field(metadata={"choices": SIZES})
    where: str = field(metadata={"choices": (*LINE_KINDS, *WORD_CLASSES)})
    typed: str
    told: str
    plural: str = ""
    told_plural: str = ""
    past: str = ""
    gender: str = field(default="", metadata={"choices": ("", "m", "f")})
    no: int = SHIPPED
    by: str = ""
    at: datetime | None = None
    ticket: int = 0
    origin: str = ""
    state: str = field(default="kept", metadata={"choices": STATES})
    back_by: str = ""
    back_at: datetime | None = None
    since: int = 0
    until: int = 0

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What it is an entry for; two entries of one key say different things of the same phrase."""
        return self.language, self.size, self.where, " ".join(self.typed.split()).casefold()

    @property
    def says(self) -> tuple[str, ...]:
        """What it says of its phrase."""
        return self.told, self.plural, self.told_plural, self.past, self.gender

    @property
    def bare(self) -> "BookEntry":
        """The entry without its history, as another shop may take it in."""
        return replace(
            self, no=SHIPPED, by="", at=None, ticket=0, origin="", state="kept", back_by="", back_at=None, since=0,
            until=0,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Phrasebook:
    """The shop's own entries, oldest first. Two books are the same book only where they are one object.

    A story is told again at each key: whoever keeps something for a book keeps it by the object.
    """

    entries: tuple[BookEntry, ...] = ()

    @property
    def told(self) -> tuple[BookEntry, ...]:
        """The entries that may be told."""
        return tuple(one for one in self.entries if one.state == "kept")

    def at_row(self, row: int) -> "Phrasebook":
        """The book as it stood when a row of the journal was written, such as the one that signed a ticket."""
        stood = (one for one in self.entries if 0 < one.since < row and not 0 < one.until < row)
        return Phrasebook(tuple(replace(one, state="kept") for one in stood))


NO_ENTRIES = Phrasebook()
