"""What a search asks, as values: clauses that must all hold, each of them any of some terms."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

WORD_FIELDS = {
    "word": "", "vehicle": "vehicle", "cause": "cause", "did": "correction", "offered": "offered", "unit": "units",
}  # fmt: skip
"""Fields that are searched for as words, and their column of the word index; empty for all of them."""


@dataclass(frozen=True, slots=True)
class Term:
    """One thing that must hold of a job, or must not.

    Attributes:
        field: what it is about: one of :data:`WORD_FIELDS`, ``code``, ``part``, ``vin``, ``plate``, ``tech``,
            ``customer``, ``since``, ``until``, ``distance``, ``total``, ``status``, ``state``, ``pays``, ``over``,
            ``overruled``, ``amended``, ``signed``, ``comeback`` or ``number``.
        text: what it should be. A word or a code that ends in ``*`` stands for all that begin so; words in one text
            stand behind each other.
        sub: the sub-code; empty for any.
        low: the least value: metres, cents, a number.
        high: the greatest.
        day: for ``since`` and ``until``; of ``signed`` the first day.
        last: of ``signed`` the last day.
        whole: the whole part, plate or vehicle's number, not a piece of it.
        without: it must not hold.
    """

    field: str
    text: str = ""
    sub: str = ""
    low: float | None = None
    high: float | None = None
    day: date | None = None
    last: date | None = None
    whole: bool = False
    without: bool = False


Clause = tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for.

    Attributes:
        clauses: all must hold; of each, one term is enough.
        limit: how many numbers to give.
        offset: how many to leave out before them.
        counted: count all that fit, not only to :data:`ticket.store.search.CAP`.
        best: those whose words fit best first, among the newest thousand; else newest first.
    """

    clauses: tuple[Clause, ...] = ()
    limit: int = 50
    offset: int = 0
    counted: bool = False
    best: bool = False

    @classmethod
    def of(
        cls, *, codes: Iterable[tuple[str, str]] = (), words: Iterable[str] = (), parts: Iterable[str] = (),
        vehicle: str = "", plate: str = "", vin: str = "", since: date | None = None, until: date | None = None,
        number: int | None = None, signed: bool | None = None, limit: int = 50,
    ) -> "Query":  # fmt: skip
        """A query in which everything given must hold; parts, plate and number are whole ones."""
        terms = [Term("code", code, sub) for code, sub in codes]
        terms += [Term("word", word) for word in words]
        terms += [Term("part", part, whole=True) for part in parts]
        terms += [Term("vehicle", word) for word in vehicle.split()]
        terms += [Term(field, text, whole=True) for field, text in (("plate", plate), ("vin", vin)) if text]
        terms += [Term(field, day=day) for field, day in (("since", since), ("until", until)) if day]
        terms += [] if number is None else [Term("number", low=number)]
        terms += [] if signed is None else [Term("status", "signed", without=not signed)]
        return cls(tuple((term,) for term in terms), limit)

    def terms(self, *fields: str) -> list[Term]:
        """The terms of some fields, in their order."""
        return [term for clause in self.clauses for term in clause if term.field in fields]

    def without_limit(self) -> "Query":
        """The same for all that fit."""
        return replace(self, limit=2**40, offset=0)
