"""The flags of the commands about the program itself: its health, cheat sheet, pages, completion and manual."""

from argparse import ArgumentParser
from collections.abc import Callable

from ticket.cli.paper_flags import FORMS, number, output_flags, width


def learn_commands(command: Callable[..., ArgumentParser]) -> None:
    """Add them; ``command`` makes a parser."""
    made = command("cheat", "cheat_command", "cheat", "the notation of a line on one page",
                   "ticket cheat", "ticket cheat --as pdf --paper A4 -o the-line.pdf")  # fmt: skip
    made.add_argument("--as", dest="form", default="text", choices=FORMS, help="how it is written")
    made.add_argument("--paper", default="Letter", choices=("Letter", "A4"), help="the size of the page")
    made.add_argument("--width", type=width, metavar="COLUMNS", help="columns of text; left out, those of the terminal")
    output_flags(made)
    command("health", "health_command", "health",
            "version, paths, state of the database, terminal and optional parts; 1 where something is not well",
            "ticket health", "ticket health --json")  # fmt: skip
    made = command("serve", "serve_command", "serve",
                   "the screens in a browser of the shop's own network, behind a PIN",
                   "ticket serve", "ticket serve --host 192.168.1.20 --name shop-pc --port 8080")  # fmt: skip
    made.add_argument("--host", default="127.0.0.1", metavar="ADDRESS", help="where it listens; this machine alone")
    made.add_argument("--port", type=number, default=8000, metavar="N", help="its port")
    made.add_argument("--name", metavar="NAME", help="what is typed into the browser; the only name it answers to")
    made = command("completion", "shell_commands", "completion", "the script that completes commands in a shell",
                   "ticket completion bash > ~/.local/share/bash-completion/completions/ticket",
                   "ticket completion zsh > ~/.zfunc/_ticket")  # fmt: skip
    made.add_argument("shell", choices=("bash", "zsh", "tcsh"), help="which shell")
    command("man", "shell_commands", "manual", "the manual page of all commands, as man reads it",
            "ticket man > ~/.local/share/man/man1/ticket.1", "ticket man | man -l -")  # fmt: skip
