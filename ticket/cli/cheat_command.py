"""``ticket cheat``: the notation of a line on one page, to look at or to hang beside the bench."""

import argparse

from ticket.cli.output import as_json, columns, write
from ticket.cli.paper_commands import put, refuse_binary
from ticket.papers.cheat_sheet import cheat_sheet
from ticket.papers.formats import written
from ticket.papers.paper_document import to_document
from ticket.papers.pdf import sheet_pdf

_SMALL = "8.8"  # points of the letters, so that it is one page


def cheat(options: argparse.Namespace) -> None:
    """The page in the form that is asked for."""
    sheet = cheat_sheet(options.paper)
    if options.json:
        write(options, as_json(to_document(sheet)))
        return
    refuse_binary(options)
    small = options.form == "pdf"
    put(options, sheet_pdf(sheet, _SMALL) if small else written(sheet, options.form, columns(options)))
