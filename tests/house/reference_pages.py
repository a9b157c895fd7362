"""The pages of docs/reference, made from the program: commands, settings, keys, files, environment, JSON.

``PYTHONPATH=tests python tests/house/reference_pages.py`` writes them; a test compares.
"""

import argparse
import dataclasses
import inspect
import json
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from ticket.cli.check_file_command import EXAMPLES
from ticket.cli.parser import build_parser
from ticket.cli.shell_commands import VARIABLES, commands_of, flags_of
from ticket.data import data_folder
from ticket.job.case import Settings
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import shown_key

FOLDER = Path(__file__).parents[2] / "docs" / "reference"
_MADE = "<!-- Made from the program: PYTHONPATH=tests python tests/house/reference_pages.py -->\n"


def pages() -> dict[str, str]:
    """Every page by its file name."""
    made = {
        "commands.md": _commands, "line.md": _line, "settings.md": _settings, "keys.md": _keys, "files.md": _files,
        "environment.md": _environment, "json.md": _json,
    }  # fmt: skip
    return {name: _MADE + "\n" + "\n".join(write()) + "\n" for name, write in made.items()}


def _cell(text: str) -> str:
    return " ".join(text.replace("%%", "%").split()).replace("|", "\\|")


def _table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    yield f"| {' | '.join(heads)} |"
    yield f"|{'---|' * len(heads)}"
    yield from (f"| {' | '.join(_cell(cell) for cell in row)} |" for row in rows)
    yield ""


def _commands() -> Iterator[str]:
    parser = build_parser()
    yield from ("# Commands", "", (parser.epilog or "").partition("\n")[0], "")
    yield from ("Every command takes:", "")
    common = ("--db", "--by", "--json", "--pin-fd", "--help")
    first = next(iter(commands_of(parser).values()))
    yield from _table(("option", "what it does"), [_option(one) for one in flags_of(first) if _names(one, common)])
    for name, made in commands_of(parser).items():
        yield from (f"## ticket {name}", "", made.description or "", "")
        own = [_option(one) for one in flags_of(made) if not _names(one, common)]
        if own:
            yield from _table(("argument or option", "what it is"), own)
        yield from ("```", *[line.strip() for line in (made.epilog or "").splitlines()[1:]], "```", "")


def _names(action: argparse.Action, common: tuple[str, ...]) -> bool:
    return any(one in common for one in action.option_strings)


def _option(action: argparse.Action) -> tuple[str, str]:
    values = " | ".join(map(str, action.choices)) if action.choices else ""
    value = str(action.metavar or values or action.dest.upper())
    takes = f" {value}" if action.option_strings and action.nargs != 0 else ""
    name = ", ".join(action.option_strings) or value
    said = action.help or ""
    return f"`{name}{takes}`", f"{said} ({values})" if values and action.metavar else said


def _line() -> Iterator[str]:
    yield from ("# The words of a line", "", "One fact a line; `ticket cheat` prints the same on one page.", "")
    for kind, cls in KINDS.items():
        yield from (f"## {kind}:", "", f"{cls.title}. Short: `{cls.short}:`. `{cls.example}`", "")
        rows = [
            (_field(one.word, one.choices), one.title + (f": {one.help}" if one.help else "")) for one in specs(cls)
        ]
        yield from _table(("field", "what it holds"), rows)


def _field(word: str, choices: tuple[str, ...]) -> str:
    return f"`{word}`" if word else ", ".join(f"`{one}`" for one in choices) if choices else "at its place"


def _settings() -> Iterator[str]:
    yield from ("# Settings", "", "`ticket shop` lists them, `ticket shop NAME VALUE` changes one.", "")
    told = _attributes(inspect.cleandoc(Settings.__doc__ or ""))  # a newer Python has taken the margin off already
    rows = []
    for item in dataclasses.fields(Settings):
        value = getattr(Settings(), item.name)
        rows.append(
            (
                f"`{item.name}`",
                told[item.name].replace("``", "`"),
                f"`{', '.join(value) if isinstance(value, tuple) else value}`",
            )
        )
    yield from _table(("name", "what it is", "at first"), rows)


def _attributes(text: str) -> dict[str, str]:
    """The lines of a docstring's list of attributes, by name."""
    body = text.partition("Attributes:")[2]
    found = re.findall(r"^ {4}(\w+): (.*(?:\n {8}.*)*)", body, re.M)
    return {name: " ".join(words.split()) for name, words in found}


def _keys() -> Iterator[str]:
    yield from (
        "# Keys of the screens",
        "",
        "`ticket shop keys` says where changed ones are kept; F1 tells those of a page.",
        "",
    )
    rows = [(f"`{one.id}`", ", ".join(map(shown_key, one.keys)), one.help, ", ".join(one.screens)) for one in ACTIONS]
    yield from _table(("action", "keys", "what it does", "screens"), rows)


_SCHEMAS = {
    "ticket": "a ticket: `ticket dump`, `ticket load`", "story": "`ticket story --json`",
    "bill": "`ticket bill --json`", "estimate": "`ticket estimate --json`", "hours": "`ticket hours --json`",
    "allowed": "`ticket allowed --json`", "due": "`ticket due --json`", "phrases": "`ticket phrases --json`",
    "read": "`ticket read --json`, one object a line",
    "talk": "`ticket talk --json`, one object a line", "outputs": "every other command with `--json`, and errors",
    "price-list": "the price list: `ticket shop prices FILE`", "rule-pack": "local rules: `ticket shop pack FILE`",
    "limits-book": "limits: `ticket shop limits FILE`", "code-table": "codes: `ticket code --import FILE`",
    "suggestion": "what a command of `ticket shop suggest` gets and gives",
}  # fmt: skip


def schema_names() -> list[str]:
    return sorted(file.stem for file in data_folder("schemas").glob("*.json"))


def _files() -> Iterator[str]:
    yield from ("# Files", "", "## Schemas", "")
    yield from _table(
        ("file", "what it describes"), [(f"`schemas/{name}.json`", _SCHEMAS[name]) for name in schema_names()]
    )
    yield from (
        "## Files a shop writes",
        "",
        "`ticket shop example KIND` prints one, `ticket shop check FILE` looks at yours.",
        "",
    )
    yield from _table(("kind", "example"), [(f"`{kind}`", f"`examples/{file}`") for kind, file in EXAMPLES.items()])
    yield from ("## Where things are kept", "")
    rows = [
        ("`shop.db`", "the database: `--db`, else `TICKET_DB`, else the data folder of the login"),
        (
            "`shop.db-wal`, `shop.db-shm`, `shop.db-journal`, `shop.db.lock`, `shop.db.here/`",
            "beside it while somebody works",
        ),
        ("`shop.db.pepper`", "what PINs are mixed with; in no copy, and without it no PIN is known"),
        ("`shop.db.before-3.1`", "the copy from before the tables were brought to version 3; yours to take away"),
        ("`shop.db.aside-1`", "what stood there before `ticket restore`; yours to take away"),
        (
            "`.ticket-….part`, `shop.db.….part`, of an archive `….tmp` and `….jsonl`",
            "a file that is being written; one that stays was cut off and may go",
        ),
        ("`keys/` in the data folder of the login", "its own keys that sign, mode 0600; back them up like keys"),
        ("`shops.duckdb.key`", "the key of a chain's archive, beside the archive `shops.duckdb`; keep it out of it"),
        ("`keys.toml`", "changed keys: `TICKET_KEYS`, else the settings folder of the login"),
        (
            "state folder",
            "half-typed lines, the name and the look told last, reports of faults; `ticket health` tells where",
        ),
        ("folder of the setting `extras`", "a shop's own languages, rules, codes and template"),
    ]
    yield from _table(("file", "what it is"), rows)


def _environment() -> Iterator[str]:
    yield from ("# Environment", "")
    yield from _table(("variable", "what it does"), [(f"`{name}`", text) for name, text in VARIABLES.items()])


def _json() -> Iterator[str]:
    yield from (
        "# Fields of JSON",
        "",
        "Amounts are decimal strings, times ISO 8601 in UTC. Fields may be added within a version; none is taken away.",
        "",
    )
    for name in schema_names():
        schema = json.loads((data_folder("schemas") / f"{name}.json").read_text(encoding="utf-8"))
        yield from (f"## {name}", "", f"`schemas/{name}.json`: {_SCHEMAS[name]}", "")
        shapes = {name: schema, **schema.get("$defs", {})}
        rows = [
            (f"`{shape}`", ", ".join(f"`{one}`" for one in fields))
            for shape, held in shapes.items()
            if (fields := _fields(held))
        ]
        yield from _table(("definition", "fields"), rows)


def _fields(shape: dict[str, Any]) -> list[str]:
    """The names of the fields of a shape, those of what it holds behind a dot."""
    found: list[str] = []
    for name, inner in shape.get("properties", {}).items():
        found.append(name)
        found += [f"{name}.{one}" for one in _fields(inner)]
    items = shape.get("items")
    if isinstance(items, dict):
        found += _fields(items)
    for branch in shape.get("anyOf", []):
        found += [one for one in _fields(branch) if one not in found]
    return list(dict.fromkeys(found))


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for page, text in pages().items():
        (FOLDER / page).write_text(text, encoding="utf-8")
