"""What each piece of a typed line was read as, in its order: so that the line can show it while it is typed."""

from collections.abc import Iterator

from ticket.job.entry import Draft, Role
from ticket.job.field_specs import specs
from ticket.job.regex import Regex
from ticket.notes.lead import lead_of

_WORD = Regex(r"\S+")
_EDGE = ".,;:()"


def roles_of(draft: Draft) -> tuple[Role, ...]:
    """The pieces of a line that became more than words, without overlaps, from left to right.

    Readings with their limits, positions and conditions are those the reader found. In all other kinds what a field
    took is what its words no longer hold: a sum, hours, a code, a day, an answer.
    """
    lead = lead_of(draft.line)
    found = [Role(lead.start, lead.end, "lead")] if lead.kind and lead.kind == draft.fact.kind else []
    begin = found[0].end if found else lead.end
    found += draft.roles or _taken(draft, begin)
    return tuple(_apart(sorted(found, key=lambda role: (role.start, -role.end))))


def _taken(draft: Draft, begin: int) -> list[Role]:
    """Runs of words that stand in no text of the fact."""
    from difflib import SequenceMatcher  # asked at a key only

    typed = [match for match in _WORD.finditer(draft.line, begin) if _bare(match[0])]
    words = [_bare(match[0]) for match in typed]
    texts = [word for text in _texts(draft) for one in text.split() if (word := _bare(one))]
    kept = SequenceMatcher(None, words, texts, autojunk=False).get_matching_blocks()
    prose = {at for block in kept for at in range(block.a, block.a + block.size)}
    runs: list[Role] = []
    for at, match in enumerate(typed):
        if at in prose:
            continue
        word = match[0]
        start = match.start() + len(word) - len(word.lstrip(_EDGE))
        end = match.start() + len(word.rstrip(_EDGE))
        if runs and not draft.line[runs[-1].end : start].strip():
            runs[-1] = Role(runs[-1].start, end, "taken")
        else:
            runs.append(Role(start, end, "taken"))
    return runs


def _texts(draft: Draft) -> Iterator[str]:
    """The words of a fact, in the order of its declaration."""
    for spec in specs(type(draft.fact)):
        value = getattr(draft.fact, spec.name)
        if (spec.free or spec.private) and isinstance(value, str) and value:
            yield value


def _bare(word: str) -> str:
    return word.strip(_EDGE).casefold()


def _apart(roles: list[Role]) -> Iterator[Role]:
    end = 0
    for role in roles:
        if role.start >= end:
            yield role
            end = role.end
