"""The command that draws jobs for an audit."""

import argparse

from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark, say_json, to_file, write
from ticket.cli.paper_commands import refuse_binary
from ticket.cli.past_exports import put_bytes
from ticket.job.codec import instant
from ticket.job.csv_table import csv_table
from ticket.job.text import one_line
from ticket.money.amount import plain
from ticket.past.drawn_sample import COLUMNS, Sample
from ticket.shop.past import audit_sample, sample_paper, search_remarks


def draw(options: argparse.Namespace) -> int:
    """Draw jobs and look at each; 1 where one of them holds something to look at, or none was drawn."""
    if options.archive:
        from ticket.cli import archive_commands

        return archive_commands.sample(options)
    refuse_binary(options)
    with open_shop(options) as shop:
        drawn = audit_sample(shop, " ".join(options.query), options.n, options.seed)
        told = search_remarks(shop, " ".join(options.query), drawn.whole)
        sheet = sample_paper(shop, drawn) if options.form == "pdf" else None
    for line in told:
        remark(line)
    if options.json:
        say_json(_as_json(drawn))
    elif sheet is not None:
        from ticket.papers.pdf import sheet_pdf

        put_bytes(options, sheet_pdf(sheet))
    elif options.form == "csv":
        put_bytes(options, csv_table(COLUMNS, (row.cells for row in drawn.rows)).encode())
    else:
        write(options, "\n".join(_lines(drawn)), fit=True)
    if to_file(options):
        remark(drawn.says)  # why it ends in 1 is told, wherever the sample went
    return 1 if not drawn.rows or any(row.odd for row in drawn.rows) else 0


def _lines(drawn: Sample) -> list[str]:
    jobs = "job" if drawn.whole == 1 else "jobs"
    drawing = drawn.drawing
    lines = [f"{len(drawn.rows):,} of {drawn.whole:,} {jobs}, seed {one_line(drawing.seed)}, journal {drawing.head}:"]
    for row in drawn.rows:
        cells = dict(zip(COLUMNS, row.cells, strict=True))
        agreed = f"of {cells['agreed']} agreed" if cells["agreed"] else "and no sum was agreed"
        sums = f"  customer owes {cells['customer owes']} {agreed} ({row.job.base})" if cells["customer owes"] else ""
        lines.append(
            f"{row.job.number:>7}  {cells['day']}  {cells['vehicle']} · {row.job.status}{sums}  seal: {row.seal}"
        )
        lines += [f"{'':9}{one_line(odd)}" for odd in row.odd]
        lines += [f"{'':9}[{', '.join(row.questions)}]"] if row.questions else []
    return [*lines, "", drawn.says]


def _sum(cents: int | None) -> str | None:
    return None if cents is None else plain(cents)


def _as_json(drawn: Sample) -> dict[str, object]:
    return {
        "query": drawn.drawing.query, "seed": drawn.drawing.seed, "asked": drawn.drawing.asked,
        "at": instant(drawn.drawing.at), "by": drawn.drawing.by, "head": drawn.drawing.head,
        "total": drawn.whole, "says": drawn.says,
        "jobs": [
            {
                "number": row.job.number, "total": _sum(row.job.total), "billed": _sum(row.job.billed),
                "agreed": _sum(row.job.agreed), "base": row.job.base, "difference": _sum(row.job.difference),
                "over": row.job.over,
                "blocking": list(row.questions), "seal": row.seal, "look_at": list(row.odd),
            }
            for row in drawn.rows
        ],
    }  # fmt: skip
