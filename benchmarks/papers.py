"""How long papers take: the story of each demo job as text, and its copy as a PDF beside the bare library.

    PYTHONPATH=tests:tests/papers python benchmarks/papers.py

Prints medians and ratios, asserts nothing. The bare library sets the same texts on numbered pages, tables as plain
tables, all else one after the other, with no heading, tag or standard. It remembers what it has set before, so every
document is timed once, as a shop would print it; processor time is counted, so that a busy machine blurs less.
"""

import json
import statistics
import time
from collections.abc import Callable

import typst
from papers_cases import contents_for, demo_tickets, texts_of

from ticket.papers.copy import copy, story_paper
from ticket.papers.formats import written
from ticket.papers.plain_text import as_text
from ticket.papers.sheet import Sheet, Table
from ticket.story.build import build

BARE = b"""#set page(numbering: "1 of 1")
#for b in json(bytes(sys.inputs.texts)) {
  if b.columns > 0 { table(columns: b.columns, ..b.texts) } else { for t in b.texts { par(t) } }
}
"""


def spent(what: Callable[[], object]) -> float:
    """Milliseconds of processor time of one call."""
    start = time.process_time()
    what()
    return (time.process_time() - start) * 1000


def bare(sheet: Sheet) -> bytes:
    """The texts of a paper, set by the library alone."""
    blocks = [
        {"columns": len(block.columns) if isinstance(block, Table) else 0, "texts": texts_of(block)}
        for block in sheet.blocks
    ]
    inputs = {"texts": json.dumps(blocks)}
    return typst.compile(BARE, format="pdf", sys_inputs=inputs, ignore_system_fonts=True, timestamp=0, pdf_tags=False)


def main() -> None:
    jobs = [contents_for(ticket) for ticket in demo_tickets()]
    written(story_paper(jobs[0]), "pdf")
    bare(story_paper(jobs[0]))
    text = [spent(lambda m=m: as_text(m.story)) for m in jobs]
    built = [spent(lambda m=m: as_text(build(m.case, "customer"))) for m in jobs]
    print(f"story as text: {statistics.median(text):.2f} ms; built and written: {statistics.median(built):.2f} ms")
    for form in ("text", "markdown", "html"):
        times = [spent(lambda m=m, f=form: written(copy(m), f)) for m in jobs]
        print(f"copy as {form}: {statistics.median(times):.2f} ms")
    for name, make in (("story", story_paper), ("copy", copy)):
        sheets = [make(m) for m in jobs[1:]]
        alone = [spent(lambda s=s: bare(s)) for s in sheets]
        ours = [spent(lambda s=s: written(s, "pdf")) for s in sheets]
        ratio = statistics.median(a / b for a, b in zip(ours, alone, strict=True))
        print(f"{name} as PDF: {statistics.median(ours):.1f} ms, {ratio:.2f} x the bare library")


if __name__ == "__main__":
    main()
