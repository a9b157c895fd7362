"""One sentence against its sources."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.regex import Regex
from ticket.job.text import clean, fold
from ticket.job.ticket import Ticket
from ticket.story.faithful.converted import without_converted
from ticket.story.faithful.finding import Finding
from ticket.story.faithful.grounds import Grounds
from ticket.story.faithful.language import Language, load
from ticket.story.faithful.rule_figures import figures
from ticket.story.faithful.rule_owners import owners
from ticket.story.faithful.rule_polarity import polarity
from ticket.story.faithful.rule_reasons import answers, comparisons, hedges, reasons
from ticket.story.faithful.rule_sides import sides
from ticket.story.faithful.rule_sources import absence, cited
from ticket.story.faithful.rule_surface import plain, surface
from ticket.story.faithful.rule_verdicts import verdicts
from ticket.story.faithful.rule_words import words
from ticket.story.faithful.rule_work import work
from ticket.story.faithful.tokens import Text, cut
from ticket.story.faithful.translated import check_translated

_ADVICE_WHEN_REWORDED = ("F25", "F26")
_WIDE = 8  # quotes of a text that are first tried up to its last quote mark, because quotes may hold quotes
_BRACKET = Regex(r"\(([^()]{1,400})\)")


def check(
    text: str, sources: Sequence[Entry], *, reader: str = "customer", ticket: Ticket | None = None,
    earlier: Sequence[Ticket] = (), derived: Sequence[str] = (), caution: bool = False, reworded: bool = False,
    language: str = "en",
) -> tuple[Finding, ...]:  # fmt: skip
    """The rules of faithfulness that a text breaks; empty where it breaks none.

    Nothing is known about how the text came to be: the checker looks at the words and at the entries only. Total and
    linear in the length of the text and of the sources.

    Args:
        text: the sentence, or a few sentences that share their sources.
        sources: the entries it rests on, also those of earlier tickets. None at all with a ``ticket``: the text
            must be one of the few absences that rest on the ticket as a whole.
        reader: ``customer``, ``payer`` or ``shop``.
        ticket: the ticket the sources stand on; without it they are taken as all there is.
        earlier: the earlier tickets cited.
        derived: figures and meanings that were worked out and declared, such as ``about five months``.
        caution: the text is a caution that the sources call for.
        reworded: a person wrote it in place of a generated one: the plain style becomes advice.
        language: which word lists apply.
    """
    lists = load(language)
    apart = without_converted(clean(text), derived, lists)
    judge = check_translated if lists.translated else _rules
    found = judge(apart.text, sources, lists, reader, ticket, earlier, derived, caution=caution, reworded=reworded)
    moved = (replace(one, start=apart.moved(one.start), end=apart.moved(one.end)) for one in found)
    return _ordered([*apart.found, *moved], reworded=reworded)


def _rules(
    text: str, sources: Sequence[Entry], lists: Language, reader: str, ticket: Ticket | None,
    earlier: Sequence[Ticket], derived: Sequence[str], *, caution: bool, reworded: bool,
) -> list[Finding]:  # fmt: skip
    """The rules of a language that technicians type in."""
    given = cut(text, lists)
    found = list(
        cited(given, sources, lists, reader=reader, ticket=ticket, earlier=earlier, caution=caution)
    )  # fmt: skip
    grounds = Grounds(sources, lists, reader=reader, ticket=ticket, earlier=earlier, derived=derived)
    if not sources and not caution:
        found += absence(given, lists, ticket, reader=reader) if ticket is not None and given.words else ()
        return [*found, *surface(given, grounds)]
    _mask_glosses(given, grounds)
    found += _mask_quotes(given, grounds)
    if not caution:
        found += words(given, grounds, reworded=reworded)
        for rule in (polarity, sides, reasons, comparisons, work, answers, hedges, verdicts, owners):
            found += rule(given, grounds)
    return [*found, *figures(given, grounds), *plain(given, grounds), *surface(given, grounds)]


def _ordered(found: list[Finding], *, reworded: bool) -> tuple[Finding, ...]:
    if reworded:
        found = [replace(one, advice=True) if one.rule in _ADVICE_WHEN_REWORDED else one for one in found]
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.start, int(one.rule[1:]), one.end)))


def _mask_glosses(text: Text, grounds: Grounds) -> None:
    """Explanations of terms in brackets state no event: no rule of words looks at them."""
    own = {fold(text) for text in grounds.derived}
    for match in _BRACKET.finditer(text.raw):
        inside = fold(match[1]).rstrip(".")
        _, verb, rest = inside.partition(" is ")
        _, colon, meaning = inside.partition(": ")
        listed = inside in grounds.language.glosses or (verb and rest in grounds.language.glosses)
        if listed or inside in own or (colon and meaning in own):
            _mark(text, match.start(), match.end())


def _mask_quotes(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Typed words in quote marks are never wrong; words that were not typed so may not stand in quote marks."""
    last, wide = text.raw.rfind("”"), _WIDE
    start = text.raw.find("“")
    while 0 <= start < last:
        near = text.raw.find("”", start)
        ends = (last, near) if wide and near != last else (near,)
        wide -= len(ends) - 1
        end = next((end for end in ends if grounds.holds(_between(text, start, end)) or end == start + 1), None)
        if end is not None:
            _mark(text, start, end)
        elif _between(text, start, near):
            yield Finding("F5", "The words in quote marks were not typed so.", start, near + 1)
        start = text.raw.find("“", near if end is None else end)


def _between(text: Text, start: int, end: int) -> list[str]:
    return text.keys[bisect_left(text.starts, start) : bisect_left(text.starts, end)]


def _mark(text: Text, start: int, end: int) -> None:
    for i in range(bisect_left(text.starts, start), bisect_left(text.starts, end)):
        text.quoted[i] = True
