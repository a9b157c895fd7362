"""What a paper must carry by the local rules and nobody has typed: lines to be written in by hand."""

from collections.abc import Iterable

from ticket.papers.labels import Labels
from ticket.papers.sheet import Block, Facts, Heading

LINE = "_" * 28


def fill_in(label: Labels, fields: Iterable[str], kinds: Iterable[str] = ()) -> tuple[Block, ...]:
    """A line for each field of ``rules/fields.tsv`` that is missing; nothing where none is.

    Args:
        label: the words of the paper.
        fields: keys of the fields, in the order of the rules.
        kinds: the kinds a part must be told to be, where the law lists them.
    """
    listed = "; ".join(label.or_typed("made", kind) for kind in kinds)

    def name(field: str) -> str:
        words = label(f"field.{field}")
        return label("fill.kinds", name=words, kinds=listed) if field == "part kinds" and listed else words

    pairs = tuple((name(field), LINE) for field in dict.fromkeys(fields))
    return (Heading(label("estimate.fill")), Facts(pairs)) if pairs else ()
