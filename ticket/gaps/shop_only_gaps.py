"""Questions about what stays inside the shop: typed words that may not be meant for the customer's copy."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.job.case import Case
from ticket.job.kinds import Says, Used
from ticket.job.regex import Regex
from ticket.readings.measured_groups import words_of
from ticket.story.inside import looks_inside

_SUM = Regex(r"[$€£] ?[0-9]|\b[0-9]+\.[0-9]{2}\b")


def shop_only_words(case: Case) -> Iterator[Gap]:
    """No remark on a person, no cost or rate and no tag number goes to the customer unseen.

    A complaint is left alone: it holds the customer's own words.
    """
    for entry in case.ticket.living:
        fact = entry.fact
        if entry.shop_only or fact.inside or isinstance(fact, Says):
            continue
        text = words_of(fact)
        what = looks_inside(text)
        if not what and isinstance(fact, Used) and fact.condition == "sublet" and _SUM.search(text):
            what = "what something cost the shop"
        if what:
            question = (
                f"This may be for the shop only: it looks like {what}. If so, begin the line with # or write a note."
            )
            yield Gap("shop-only-words", ADVICE, question, entry.no)


RULES: tuple[Rule, ...] = (shop_only_words,)
