"""How one field of an entry is declared. Notation, form, schema, views and help all read this and nothing else."""

from dataclasses import MISSING, dataclass, field, fields
from functools import cache
from typing import Any

_KEY = "spec"


@dataclass(frozen=True, slots=True)
class FieldSpec:
    """Everything the program knows about one field.

    Attributes:
        name: attribute name on the entry.
        title: words on forms and displays.
        place: where the line notation puts it: ``head`` (up to the first field), ``next`` (the plain chunk
            behind the head), ``word`` (led by ``word``), ``flag`` (its own words, from ``choices``).
        shape: what it must look like: ``text number money date time due person rate payer clock split refs choice``;
            ``code sub part unit ref picture measurements run answers`` only where a kind's own reader takes them.
        word: the lead of a ``word`` field as typed, such as ``because`` or ``risk:``.
        choices: the closed list of values, where there is one.
        free: prose; kept out of the chained part of the journal, so that it can be blanked one day.
        private: identifies a customer; kept in the identity table, never in the journal.
        help: one line for forms and help.
        read: read out of the text of another field and no field of a form of its own.
        alone: a line that gives nothing else still says something; prose does, unless it is declared otherwise.
        required: an entry without it makes no sense.
    """

    name: str
    title: str
    place: str
    shape: str
    word: str = ""
    choices: tuple[str, ...] = ()
    free: bool = False
    private: bool = False
    help: str = ""
    read: bool = False
    alone: bool = False
    required: bool = False

    @property
    def prose(self) -> bool:
        """Typed words that may be matched and searched: they name no customer."""
        return self.free and not self.private


def _make(default: Any, **spec: Any) -> Any:
    metadata = {_KEY: spec}
    return field(metadata=metadata) if default is MISSING else field(default=default, metadata=metadata)


def head(title: str, shape: str = "text", *, default: Any = MISSING, **more: Any) -> Any:
    """A field at the start of the line."""
    return _make(default, title=title, place="head", shape=shape, **more)


def following(title: str, shape: str = "text", **more: Any) -> Any:
    """The plain chunk that follows the head after a semicolon."""
    return _make("", title=title, place="next", shape=shape, **more)


def word(lead: str, title: str, shape: str, *, default: Any = "", **more: Any) -> Any:
    """A field led by its own word, such as ``because``."""
    return _make(default, title=title, place="word", shape=shape, word=lead, **more)


def flag(title: str, choices: tuple[str, ...], **more: Any) -> Any:
    """A field whose values are their own words, such as ``may wait``."""
    return _make("", title=title, place="flag", shape="choice", choices=choices, **more)


def specs(kind: type[Any]) -> tuple[FieldSpec, ...]:
    """The declared fields of an entry class, in the order they are written."""
    return _declared(kind)  # type: ignore[arg-type]


@cache
def _declared(kind: type[Any]) -> tuple[FieldSpec, ...]:
    return tuple(
        FieldSpec(
            name=item.name,
            required=item.default is MISSING and item.default_factory is MISSING,
            **{"alone": _is_prose(item.metadata[_KEY])} | item.metadata[_KEY],
        )
        for item in fields(kind)
    )


def _is_prose(spec: dict[str, Any]) -> bool:
    return spec.get("free", False) and not spec.get("private", False)
