"""Questions about sentences that somebody put in their own words."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap
from ticket.job.case import Case
from ticket.job.reworded_sentence import Rewording

_WHOSE = {"customer": "the customer's story", "payer": "the payer's story", "shop": "the shop's story"}
_LONG = 120  # characters of the old words that a question repeats


def rewording_outdated(case: Case) -> Iterator[Gap]:
    """A sentence was reworded, and what it rests on changed since: the story tells its own words again."""
    for one, changed in outdated_rewordings(case):
        words = one.text if len(one.text) <= _LONG else f"{one.text[:_LONG]}…"
        noun = "entries" if len(changed) > 1 else "entry"
        why = f"{noun} {', '.join(changed)} changed since" if changed else "the story no longer says what it stood for"
        told = f"{one.by} reworded a sentence of {_WHOSE[one.reader]}: “{words}”."
        yield Gap(
            "rewording-outdated", ADVICE,
            f"{told} It is not shown any more, because {why}. Reword it anew, or take it back?",
            next((int(source) for source in changed if source.isdecimal()), None),
        )  # fmt: skip


def outdated_rewordings(case: Case) -> Iterator[tuple[Rewording, tuple[str, ...]]]:
    """The rewordings that no story shows any more, each with the sources that changed since."""
    if not case.ticket.rewordings:
        return
    from ticket.story.build import build
    from ticket.story.rewording import changed

    for reader, language in dict.fromkeys((one.reader, one.language) for one in case.ticket.rewordings):
        for one in build(case, reader, language).stale:
            yield one, changed(case, one)
