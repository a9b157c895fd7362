"""A sample of jobs for an auditor: each with its open questions, its sums against what was agreed, and its seal."""

from dataclasses import replace

from ticket.job.errors import DamagedError
from ticket.job.progress import counted
from ticket.job.text import one_line
from ticket.papers.sheet import Column, Heading, Paragraph, Said, Sheet, Table
from ticket.past.drawn_sample import COLUMNS, Looked, Sample, draw
from ticket.past.query import parse_query
from ticket.shop.code_history import here
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps
from ticket.store.briefs import Brief


def sample(shop: Shop, typed: str, count: int, seed: str) -> Sample:
    """Draw some of the jobs that fit a query, and look at each.

    Args:
        shop: the open shop.
        typed: the query.
        count: how many to draw.
        seed: the same one draws the same jobs.

    Raises:
        QueryFault: what is wrong with the query, and where.
    """
    query = parse_query(typed, here(shop, typed))
    numbers = shop.store.find(replace(query, counted=True).without_limit()).numbers
    drawn = draw(numbers, count, seed)
    jobs = sorted(shop.store.briefs(drawn, shop.settings.comeback_days), key=lambda job: job.number)
    rows = tuple(_looked_at(shop, job) for job in counted(jobs, "look at", len(jobs)))
    return Sample(typed, seed, len(numbers), rows)


def _looked_at(shop: Shop, job: Brief) -> Looked:
    try:
        questions = tuple(gap.id for gap in open_gaps(shop, job.number) if gap.level == "blocking")
    except DamagedError as error:
        return Looked(job, (), "cannot be read", (str(error),))
    seal = shop.store.proofs.seal_word(job.number)
    asked = f"{len(questions)} blocking question{'s' * (len(questions) != 1)}"
    odd = [f"signed with {asked}"] if questions and job.status == "signed" else []
    odd += ["billed above what was agreed"] if job.over else []
    odd += [f"its seal {seal}"] if seal not in ("holds", "came signed", "not signed") else []
    return Looked(job, questions, seal, tuple(odd))


def sample_sheet(shop: Shop, drawn: Sample) -> Sheet:
    """The sample as a paper."""
    head = (
        f"{len(drawn.rows):,} of {drawn.whole:,} jobs that fit “{one_line(drawn.query)}”, seed {one_line(drawn.seed)}."
    )
    blocks = (
        Heading("What the sample says"),
        Paragraph((Said(drawn.says),)),
        Table(head, tuple(Column(title) for title in COLUMNS), tuple(row.cells for row in drawn.rows)),
    )
    return Sheet(
        title="Sample of jobs", at=shop.now(), blocks=blocks, sender=(shop.settings.shop,), size=shop.settings.paper
    )
