"""The source of the program as syntax trees, each file read once for all tests that look at it."""

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]


@cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a file; nobody changes it."""
    return ast.parse(path.read_text(encoding="utf-8"))
