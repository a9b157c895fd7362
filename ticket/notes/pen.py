"""How bold the writer is: plain text where it reads back, a span where it must, marks where nothing else helps."""

from dataclasses import dataclass, field

from ticket.notes.spans import is_span, quote


@dataclass(frozen=True, slots=True)
class Pen:
    """One way of writing a fact.

    Attributes:
        quoted: names of the text fields to write as spans.
        marked: part numbers, amounts and runs carry their mark, ``#`` or ``=``, and every text is a span.
    """

    quoted: frozenset[str] = field(default_factory=frozenset)
    marked: bool = False

    def text(self, name: str, value: str) -> str:
        """The value of a text field: as it is, or as a span where plain text could not hold it."""
        plain = value == value.strip() and "\n" not in value and "\r" not in value and not is_span(value)
        if self.marked or name in self.quoted or not plain:
            return quote(value)
        return value

    def all(self, name: str) -> bool:
        """Whether the field is written as a span whatever it holds."""
        return self.marked or name in self.quoted
