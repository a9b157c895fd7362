"""How many ways lead through one function: branches, loops, cases and handlers, and every ``and`` and ``or`` too."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.sources import tree_of

TICKET = Path(__file__).parents[2] / "ticket"
MOST = 15
ROOMS = (
    "assist", "cli", "faults", "followups", "gaps", "grid", "job", "machine", "money", "papers", "past", "readings",
    "rules", "shop", "store",
)  # fmt: skip

_WAYS = (ast.If, ast.IfExp, ast.For, ast.AsyncFor, ast.While, ast.ExceptHandler, ast.match_case)
_FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


def complexity(function: ast.AST) -> int:
    """McCabe's number with the operators of conditions counted; a function inside counts for itself alone."""
    ways, left = 1, list(ast.iter_child_nodes(function))
    while left:
        node = left.pop()
        if isinstance(node, _FUNCTIONS):
            continue
        ways += isinstance(node, _WAYS)
        ways += len(node.values) - 1 if isinstance(node, ast.BoolOp) else 0
        ways += 1 + len(node.ifs) if isinstance(node, ast.comprehension) else 0
        left += ast.iter_child_nodes(node)
    return ways


def functions(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree_of(path)):
        if isinstance(node, _FUNCTIONS):
            yield f"{path.relative_to(TICKET)}:{node.name}", complexity(node)


# Worked by hand from T. J. McCabe, "A Complexity Measure" (1976): a straight line is 1, each decision adds one, and a
# condition of several predicates is as many decisions.
@pytest.mark.parametrize(
    ("text", "ways"),
    [
        ("def f(): return 1", 1),
        ("def f(a):\n    if a: return 1\n    return 2", 2),
        ("def f(a, b, c):\n    if a and b or c: return 1\n    return 2", 4),
        ("def f(a):\n    for x in a:\n        while x: x -= 1", 3),
        ("def f(a):\n    def g(b):\n        return 1 if b else 2\n    return g", 1),
    ],
)
def test_ways_are_counted_as_by_hand(text: str, ways: int) -> None:
    assert complexity(ast.parse(text).body[0]) == ways


@pytest.mark.parametrize("room", ROOMS)
def test_no_function_has_more_ways_than_fifteen(room: str) -> None:
    found = [one for path in (TICKET / room).rglob("*.py") for one in functions(path)]
    assert found
    assert [name for name, ways in found if ways > MOST] == []
