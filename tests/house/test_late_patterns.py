"""Patterns are compiled late: no module compiles one while it is imported, and each of them can be compiled."""

import ast
from collections.abc import Iterator
from pathlib import Path

import ticket
from support.modules import every_module
from support.sources import tree_of
from ticket.job.regex import Regex

FILES = sorted(Path(ticket.__file__).parent.rglob("*.py"))


def at_import(node: ast.AST) -> Iterator[ast.Call]:
    """The calls that run when a module is imported."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(child, ast.Call):
            yield child
        yield from at_import(child)


def test_no_module_compiles_a_pattern_while_it_is_imported() -> None:
    early = [
        f"{file.name}:{call.lineno}"
        for file in FILES
        for call in at_import(tree_of(file))
        if ast.unparse(call.func) in ("re.compile", "compile")
    ]
    assert not early, "Regex of ticket.job.regex waits until it is asked"


def patterns_in(value: object) -> Iterator[Regex]:
    """The patterns a name stands for, also where they stand in a table."""
    if isinstance(value, Regex):
        yield value
    elif isinstance(value, dict):
        yield from patterns_in(tuple(value.values()))
    elif isinstance(value, tuple | list):
        for one in value:
            yield from patterns_in(one)


def test_every_pattern_can_be_compiled() -> None:
    found = 0
    for module in every_module():
        for value in vars(module).values():
            for pattern in patterns_in(value):
                assert pattern.compiled.pattern == pattern.pattern
                found += 1
    assert found > 300


def test_a_late_pattern_answers_like_a_compiled_one() -> None:
    late = Regex(r"(a)(b)?", 2)  # 2 is re.IGNORECASE
    assert "compiled" not in vars(late)
    early = late.compiled
    for text in ("xAb", "ab", "", "b"):
        for name in ("match", "search", "fullmatch"):
            one, other = getattr(late, name)(text), getattr(early, name)(text)
            assert (one and one.groups()) == (other and other.groups())
    assert late.sub("-", "xAbA") == "x--"
    found = late.search("xa")
    assert found is not None
    assert found.re is late.compiled


def test_a_figure_is_one_that_a_number_can_be_made_of() -> None:
    """``isdigit`` is true of a raised two, which ``int`` refuses: ``isdecimal`` asks for what is meant."""
    assert [file.name for file in FILES if ".isdigit" in file.read_text(encoding="utf-8")] == []
