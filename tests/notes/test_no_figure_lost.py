"""Every figure of hours, sums, numbers and dues stands in a field or is asked about, however the pieces are ordered.

Common practice of the trade, no source, for the shapes. A fact that no field holds and nobody asks about is lost
without a trace; to ask too much costs a key.
"""

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from ticket.job.numbers import exact
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

WORDS = {
    "did": ("replaced hose", "seat milled", "cleaned both earths", "bled LR", "new gasket fitted"),
    "used": ("drain washer", "brake cleaner", "seal kit", "hose clamp"),
    "told": ("Ada Fenn by phone", "rang Mr Holm", "yes to the belt", "no to the hoses", "he says go ahead", "ok all"),
    "later": ("rear discs lipped", "belt cracking", "watch for leaks", "owner knows"),
    "offer": ("clutch kit", "reseal the sump", "both rear hubs"),
}
FIGURES = {
    "did": ("1.4 h", "2,5 hrs", ".6 hr", "45 min", "1 h 20", "2h10", "1.5 or 2 h"),
    "used": ("@ 4.80", "12.50", "14,90", "$8.40", "2.40 ea", "a 3,20", "2 x", "1.5 L", "x4"),
    "told": ("total 412.50", "up to 600", "512,40 total", "$88", "until 900", "640 quoted", "going to 750", "at 10:40"),
    "later": ("in 6 months", "20,000 km", "at 210,000 km", "in 2 or 3 weeks", "before Oct", "by 90k", "1 March 2027",
              "500 h", "est 240", "within the year", "at 350 on the hr meter"),
    "offer": ("1.5 h", "1.5 to 2 h", "3,5 h", "est 400", "412 total", "285 fitted", "$188", "410,50"),
}  # fmt: skip
_SCALARS = ("hours", "quantity", "price", "total", "ceiling", "time", "number")


def stated(said: dict[str, Any]) -> set[Fraction]:
    """Every figure that a field holds; a time of day as hours and minutes apart."""
    due = said["due"] or {}
    texts = [str(said[name]) for name in _SCALARS if said[name]] + [str(value) for value in due.values() if value]
    found = {
        value
        for text in texts
        for word in text.replace(":", " ").replace("-", " ").split()
        if (value := exact(word)) is not None
    }
    return found | {value * 60 for value in found if said["kind"] == "did"}


def figures_of(piece: str) -> list[Fraction]:
    """The figures of a piece: hours with minutes as one amount in hours."""
    if piece in ("1 h 20", "2h10"):
        return [Fraction(4, 3) if piece == "1 h 20" else Fraction(13, 6)]
    figures = []
    for word in piece.replace("$", "").replace(":", " ").replace("x", "").split():
        plain = word.replace("k", "000") if word.endswith("k") else word
        comma = plain.replace(",", "." if len(plain.rpartition(",")[2]) < len("000") else "")
        if (value := exact(comma)) is not None:
            figures.append(value)
    return figures


def held(value: Fraction, fields: set[Fraction]) -> bool:
    return any(abs(value - other) < Fraction(1, 500) for other in fields)


@given(data=st.data(), kind=st.sampled_from(sorted(WORDS)))
def test_a_figure_is_in_a_field_or_asked_about(data: st.DataObject, kind: str) -> None:
    figures = data.draw(st.lists(st.sampled_from(FIGURES[kind]), min_size=1, max_size=2, unique=True))
    words = data.draw(st.lists(st.sampled_from(WORDS[kind]), min_size=1, max_size=2, unique=True))
    pieces = data.draw(st.permutations([*figures, *words]))
    line = f"{kind}: {', '.join(pieces)}"
    drafts = read(line)
    said = meaning_of(drafts)
    estimate = exact(getattr(drafts[0].fact, "estimate", ""))  # no field of the neutral object holds it
    fields = stated(said) | ({estimate} if estimate is not None else set())
    for piece in figures:
        start = line.index(piece, len(kind) + 1)
        asked = any(
            one["start"] < start + len(piece) and start < one["end"] for one in (*said["unread"], *said["questions"])
        )
        values = figures_of(piece)
        known = bool(values) and all(held(value, fields) for value in values)
        summed = kind == "did" and said["hours"] is not None and len(figures) > 1
        assert asked or known or summed, (line, piece, said)
