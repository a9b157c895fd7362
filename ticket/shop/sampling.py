"""A sample of jobs for an auditor: each with its open questions, its sums against what was agreed, and its seal."""

from dataclasses import replace

from ticket.job.errors import DamagedError
from ticket.job.progress import counted
from ticket.job.text import one_line
from ticket.money.amount import grouped
from ticket.papers.sheet import Block, Column, Facts, Heading, Items, Paragraph, Said, Sheet, Table
from ticket.past.drawn_sample import COLUMNS, Drawing, Looked, Sample, draw, odd_seal
from ticket.shop.code_history import asked
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
    query = asked(shop, typed)
    numbers = shop.store.find(replace(query, counted=True).without_limit()).numbers
    drawn = draw(numbers, count, seed)
    jobs = sorted(shop.store.briefs(drawn, shop.settings.comeback_days), key=lambda job: job.number)
    rows = tuple(_looked_at(shop, job) for job in counted(jobs, "look at", len(jobs)))
    head = shop.store.proofs.head()
    named = f"{head.seq}-{head.hash[:32]}" if head else "no row"
    return Sample(Drawing(typed, count, seed, shop.now(), shop.person, named), len(numbers), rows)


def _looked_at(shop: Shop, job: Brief) -> Looked:
    try:
        questions = tuple(gap.id for gap in open_gaps(shop, job.number) if gap.level == "blocking")
    except DamagedError as error:
        return Looked(job, (), "cannot be read", (str(error),))
    seal = shop.store.proofs.seal_word(job.number)
    asked = f"{len(questions)} blocking question{'s' * (len(questions) != 1)}"
    odd = [f"signed with {asked}"] if questions and job.status == "signed" else []
    odd += [f"billed {grouped(job.difference or 0)} above what was agreed"] if job.over else []
    odd += [f"its seal {seal}"] if odd_seal(seal) else []
    return Looked(job, questions, seal, tuple(odd))


_ON_PAPER = ("ticket", "day", "vehicle", "status", "customer owes", "agreed", "difference")
_FIGURES = ("customer owes", "agreed", "difference")


def sample_sheet(shop: Shop, drawn: Sample) -> Sheet:
    """The sample as a paper: how it was drawn, what it says, its sums, and below them what to look at, job by job."""
    places = [COLUMNS.index(title) for title in _ON_PAPER]
    columns = tuple(Column(title, figures=title in _FIGURES) for title in _ON_PAPER)
    fit = "job fits" if drawn.whole == 1 else "jobs fit"
    head = f"{len(drawn.rows):,} of {drawn.whole:,} {fit}. {like_with_like(drawn)}".strip()
    notes = [f"{row.job.number}: {one_line(text)}." for row in drawn.rows if (text := _noted(row))]
    seals = [(Said(f"{seal}: {_numbers(drawn, seal)}."),) for seal in dict.fromkeys(row.seal for row in drawn.rows)]
    blocks: tuple[Block, ...] = (
        Facts(drawn.drawing.pairs),
        Heading("What the sample says"),
        Paragraph((Said(drawn.says),)),
        Table(head, columns, tuple(tuple(row.cells[i] for i in places) for row in drawn.rows)),
        Heading("To look at"),
        Items(tuple((Said(note),) for note in notes) or ((Said("Nothing."),),)),
        Heading("Seals"),
        Items(tuple(seals) or ((Said("No job was drawn."),),)),
    )
    return Sheet(
        title="Sample of jobs", at=drawn.drawing.at, blocks=blocks, sender=(shop.settings.shop,),
        size=shop.settings.paper,
    )  # fmt: skip


def like_with_like(drawn: Sample) -> str:
    """On what base the sums of a sample stand that are set against each other; empty where no job has a bill."""
    bases = sorted({row.job.base for row in drawn.rows if row.job.base})
    return f"What the customer owes and agreed to is told {' or '.join(bases)}." if bases else ""


def _noted(row: Looked) -> str:
    questions = f"questions that block signing: {', '.join(row.questions)}" if row.questions else ""
    return "; ".join(filter(None, (*row.odd, questions)))


def _numbers(drawn: Sample, seal: str) -> str:
    return ", ".join(str(row.job.number) for row in drawn.rows if row.seal == seal)
