"""The ``ticket`` command. Importing it loads argparse and nothing heavy; each command imports what it needs."""

from ticket.cli.main import main

__all__ = ["main"]
