"""Every shape of a field value with its reader; those of due work know the phrases of the trade as well."""

from ticket.job.field_specs import FieldSpec
from ticket.job.values import Due
from ticket.notes import shapes
from ticket.notes.due import due_of
from ticket.notes.shapes import Context, Reader, due_in
from ticket.notes.spans import Body


def _due(body: Body, _spec: FieldSpec, _context: Context) -> Due | None:
    return due_in(body.raw) or due_of(body.bare)


READERS: dict[str, Reader] = shapes.READERS | {"due": _due}
"""From a piece of a line to a value; anything false means that the piece has another shape."""
