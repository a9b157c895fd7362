"""Phrases as lists."""

from ticket.story.catalogue import title
from ticket.story.sentence import Lit, Phrase, Val, text_of


def phrase_list(items: list[Phrase], *, mark: str = "") -> Phrase:
    """Phrases as a list: A; A and B; A, B, and C.

    Args:
        items: what to list.
        mark: what stands between; left out, a comma, or a semicolon where an item holds a comma itself. Given as a
            semicolon it also sets off the second of two.
    """
    link = title("list.and")
    chosen = mark or (";" if any("," in text_of(item) for item in items) else ",")
    if len(items) == 2 and mark != ";":
        return (*items[0], Lit(f" {link} "), *items[1])
    out: list[Lit | Val] = []
    for i, item in enumerate(items):
        if i:
            out.append(Lit(f"{chosen} {link} " if i == len(items) - 1 else f"{chosen} "))
        out += item
    return tuple(out)
