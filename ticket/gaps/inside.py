"""Questions about what stays inside the shop: typed words that may not be meant for the customer's copy."""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.gaps.look import text_of
from ticket.job.case import Case
from ticket.job.kinds import Note, Says, Used
from ticket.job.regex import Regex

_SUM = Regex(r"[$€£] ?[0-9]|\b[0-9]+\.[0-9]{2}\b")


def shop_only_words(case: Case) -> Iterator[Gap]:
    """No remark on a person, no cost or rate and no tag number goes to the customer unseen.

    A complaint is left alone: it holds the customer's own words.
    """
    for entry in case.ticket.living:
        fact = entry.fact
        if entry.shop_only or isinstance(fact, Note | Says):
            continue
        text = text_of(fact)
        what = next((what for what, pattern in _words() if pattern.search(text)), "")
        if not what and isinstance(fact, Used) and fact.condition == "sublet" and _SUM.search(text):
            what = "what something cost the shop"
        if what:
            question = (
                f"This may be for the shop only: it looks like {what}. If so, begin the line with # or write a note."
            )
            yield Gap("shop-only-words", ADVICE, question, entry.no)


@cache
def _words() -> tuple[tuple[str, re.Pattern[str]], ...]:
    lines = (Path(__file__).parent / "inside.tsv").read_text("utf-8").splitlines()
    rows = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return tuple((what, re.compile(pattern, re.I)) for sort, what, pattern, _ in rows if sort == "words")


RULES: tuple[Rule, ...] = (shop_only_words,)
