"""Completion of the command line and the manual page, both made from the parser."""

import argparse
from collections.abc import Iterator

from ticket import __version__
from ticket.cli.output import say_as_it_is, say_json
from ticket.job.errors import InputError, extra_words


def completion(options: argparse.Namespace) -> None:
    """The script that completes commands and flags in a shell; shtab writes it."""
    from ticket.cli.parser import build_parser

    try:
        import shtab
    except ImportError:
        raise InputError(f"Completion is written with {extra_words('shell')}") from None
    text = shtab.complete(build_parser(), options.shell)
    if options.json:
        say_json({"shell": options.shell, "script": text})
    else:
        say_as_it_is(text.rstrip("\n"))


def manual(options: argparse.Namespace) -> None:
    """The manual page, as ``man`` reads it."""
    text = manual_page()
    if options.json:
        say_json({"name": "ticket.1", "page": text})
    else:
        say_as_it_is(text.rstrip("\n"))


# -- the manual page ---------------------------------------------------------------------------------------------


def manual_page() -> str:
    """The page of all commands in the man macros (man(7)), made from the parser."""
    from ticket.cli.parser import build_parser

    return "\n".join(_page(build_parser())) + "\n"


def _page(parser: argparse.ArgumentParser) -> Iterator[str]:
    yield f'.TH TICKET 1 "" "job ticket {__version__}" "User Commands"'
    yield from (".SH NAME", "ticket \\- job ticket for vehicle repair")
    yield from (".SH SYNOPSIS", ".B ticket", _literal("[--db PATH] [--by NAME] [COMMAND ...]"))
    yield from (".SH DESCRIPTION", _literal(parser.description or ""))
    yield from (".SH OPTIONS", *_flags(parser))
    yield ".SH COMMANDS"
    for name, made in commands_of(parser).items():
        yield f".SS {_literal(f'ticket {name}')}"
        yield _literal(made.description or "")
        yield from _flags(made)
        yield from (".PP", ".nf", *map(_literal, (made.epilog or "").splitlines()), ".fi")
    yield from (".SH EXIT STATUS", _literal((parser.epilog or "").partition("\n")[0].removeprefix("Exit codes: ")))
    yield from (".SH ENVIRONMENT",)
    for name, text in VARIABLES.items():
        yield from (".TP", f".B {_literal(name)}", _literal(text))


def commands_of(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """Every command with its parser."""
    (several,) = (one for one in parser._actions if isinstance(one, argparse._SubParsersAction))  # noqa: SLF001
    found: dict[str, argparse.ArgumentParser] = dict(several.choices)
    return found


def flags_of(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    """Every flag and argument of a command that is told to people."""
    hidden = (argparse.SUPPRESS,)
    return [
        one
        for one in parser._actions  # noqa: SLF001 - argparse has no other way to ask
        if one.help not in hidden and not isinstance(one, argparse._SubParsersAction)  # noqa: SLF001
    ]


def _flags(parser: argparse.ArgumentParser) -> Iterator[str]:
    for one in flags_of(parser):
        value = one.metavar or ("|".join(map(str, one.choices)) if one.choices else one.dest.upper())
        name = ", ".join(one.option_strings) or str(value)
        takes = f" {value}" if one.option_strings and one.nargs != 0 else ""
        yield from (".TP", f".B {_literal(name + takes)}", _literal((one.help or "").replace("%%", "%")))


def _literal(text: str) -> str:
    """A line that no macro takes for its own: hyphens as signs, no control line, no escape."""
    line = " ".join(text.split()) if "\n" in text else text
    line = line.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{line}" if line.startswith((".", "'")) else line


VARIABLES = {
    "TICKET_DB": "the database file",
    "TICKET_PERSON": "who works; else the login name",
    "TICKET_KEYS": "the file of changed keys",
    "TICKET_LOOK": "terminal, dark, light, contrast or none",
    "TICKET_SIGNS": "drawn or letters",
    "TICKET_NOW": "a fixed moment with its zone, in scratch shops only",
    "TICKET_SERVED": "set by ticket serve for the screens it runs, by nobody else",
    "TICKET_TRACE": "for developers: a fault of the program is raised with its trace",
    "NO_COLOR": "no colors",
    "COLUMNS": "the width of text, where it is set",
}
"""What of the environment the program looks at, for people; read in many places, told in this one."""
