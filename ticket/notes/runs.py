"""How an older ticket's run of readings is written: in the words that are read today as the same readings."""

from ticket.job.values import Run, Value
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen

FOLLOWERS = ("at", "with", "when", "after", "before", "on", "under", "during", "while", "hot", "cold")
"""Words that may follow a reading without a comma: they say under which conditions it was taken."""

_COUNTED = frozenset({"cyl", "cyls", "cylinder", "cylinders"})


def write_run(run: Run, pen: Pen) -> str:
    """A run as the notation writes it; a marked one with ``=`` in front and nothing left to counting."""
    text = _values(run.values, plainly=pen.marked)
    if run.unit:
        text += f" {run.unit}"
    if run.limits:
        text += f" ({write_limits(run.limits, run.unit, pen)})"
    return f"= {text}" if pen.marked else text


def _values(values: tuple[Value, ...], *, plainly: bool) -> str:
    """Values side by side; ``plainly`` leaves nothing to the counting of figures."""
    if not any(value.label for value in values):
        return (", " if plainly else " ").join(value.number for value in values)
    if not plainly and _is_counted(values):
        return f"{values[0].label.rpartition(' ')[0]} " + " ".join(value.number for value in values)
    colon = ":" if plainly else ""
    glue = ", " if plainly or any(" " in value.label for value in values) else " "
    return glue.join(f"{value.label}{colon} {value.number}" for value in values)


def _is_counted(values: tuple[Value, ...]) -> bool:
    """True for three or more values labelled ``cyl 1``, ``cyl 2``, ``cyl 3`` and so on."""
    word = values[0].label.rpartition(" ")[0]
    counted = len(values) > 2 and word.casefold() in _COUNTED
    return counted and all(value.label == f"{word} {i}" for i, value in enumerate(values, 1))
