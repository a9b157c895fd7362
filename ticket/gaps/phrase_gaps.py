"""A question about a phrase that the shop types again and again, and that no story can tell yet."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap
from ticket.job.case import Case


def phrase_met_thrice(case: Case) -> Iterator[Gap]:
    """A phrase stands on three entries and is still told as typed: one wording would serve them all."""
    if not case.met:
        return
    from ticket.story.build import build
    from ticket.story.noted import notes

    language = case.settings.language
    told_as_typed = {one.no for one in notes(case, build(case, "customer", language))}
    asked: set[str] = set()
    for met in case.met:
        if met.no in told_as_typed and met.phrase not in asked:
            asked.add(met.phrase)
            where = [f"{ref.ticket or case.ticket.number}/{ref.no}" for ref in met.entries]
            yield Gap(
                "phrase-met-thrice", ADVICE,
                f"For the writer: “{met.phrase}” stands in {', '.join(where[:-1])} and {where[-1]}, and the story tells"
                " it as typed. Give it a wording once: "
                f"ticket phrases take {case.ticket.number}/{met.no} 'WORDS' --clause",
                met.no,
            )  # fmt: skip
