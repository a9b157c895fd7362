"""What the two forms of a ticket's header share: one order, the same names, Enter goes on, one key saves."""

from typing import ClassVar

from textual.widgets import Input

from ticket.screens.actions import key_for
from ticket.screens.frame import Form, bindings


class HeaderForm(Form):
    """Fields of a ticket's header in the order of :data:`ticket.job.header_fields.HEADER_FIELDS`.

    Enter never writes: whoever types on behind it types into the next field, not into a ticket.
    """

    subject: ClassVar[str] = "header"
    BINDINGS = bindings("header")

    @property
    def fields(self) -> list[Input]:
        """The fields one can type into, from the top."""
        return [field for field in self.query(Input) if not field.disabled]

    def action_next(self) -> None:
        """Go to the next field; behind the last one say which key saves."""
        fields = self.fields
        at = next((i for i, field in enumerate(fields) if field is self.focused), -1)
        if at + 1 < len(fields):
            self.set_focus(fields[at + 1])
        else:
            self.answer(f"That was the last field. {self.keys_told()}")

    def action_save(self) -> None:
        """Write what stands in the fields; each form knows how."""
        raise NotImplementedError

    def keys_told(self) -> str:
        """Which key saves and which leaves, as a sentence."""
        return f"{key_for('save')} saves it, {key_for('back')} leaves it as it was."


def titled(name: str) -> str:
    """A header field as forms call it: by the name that flags and plain ticket files use too."""
    return name.replace("-", " ")
