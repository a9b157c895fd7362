"""One clause: a thing and its state, a thing and what it does, a thing that is not there."""

from collections.abc import Sequence
from dataclasses import dataclass

from ticket.language.forms import listed

PAST, PRESENT = "past", "present"
BE = {PAST: ("was", "were"), PRESENT: ("is", "are")}


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause.

    Attributes:
        form: ``state`` (the hose was dry), ``verb`` (the relay clicked), ``no`` (no play at the hub), ``there``
            (water in the plug), ``bare`` (a noun group alone).
        subject: what it speaks of, with its article; for ``no``, ``there`` and ``bare`` the whole text.
        many: the subject is plural.
        verb: ``was`` or ``were`` before a state; empty otherwise.
        rest: the states, or the verb and what follows.
        parts: the states one by one, with their sense.
        end: place of the token behind it.
        link: the word typed between the clause before and this one; empty for a comma.
    """

    form: str
    subject: str
    many: bool
    verb: str
    rest: str
    parts: tuple[tuple[str, str], ...] = ()
    end: int = 0
    link: str = ""

    @property
    def text(self) -> str:
        """The clause as it stands inside a sentence."""
        if self.form == "no":
            return f"there {self.verb} {self.subject}"
        if self.form == "there":
            return f"there {self.verb} {self.subject}"
        return " ".join(piece for piece in (self.subject, self.verb, self.rest) if piece)


def told_list(items: Sequence[Clause], *, comma: str = ",") -> str:
    """Clauses side by side as one sentence, without its stop.

    Args:
        items: the clauses; the link typed before each is kept.
        comma: stands before the link of two; empty inside a longer sentence.
    """
    texts = [item.text for item in items]
    if len(texts) == 2:
        return f"{texts[0]}{comma} {items[1].link or 'and'} {texts[1]}"
    return listed(texts, next((item.link for item in items[1:] if item.link in ("or", "but")), "and"))


def states_text(parts: tuple[tuple[str, str], ...]) -> str:
    """States side by side; "but" only from a bad one to a good one."""
    texts = [text for text, _ in parts]
    if len(texts) > 1 and texts[-1].startswith("but "):
        return f"{states_text(parts[:-1])} {texts[-1]}"
    texts = [text.removeprefix("but ") for text in texts]
    if len(parts) == 2 and parts[0][1] == "bad" and parts[1][1] == "good":
        return " but ".join(texts)
    return listed(texts)
