"""The rooms of the program: imports run one way without a circle, and what of the shop is reached from outside."""

import ast
from functools import cache
from importlib import import_module
from inspect import isclass
from pathlib import Path

from textual.screen import Screen

from support.sources import tree_of
from ticket.screens.routes import ROUTES

ROOT = Path(__file__).parents[2]
MOST_FACES = 10


def module_of(path: Path, root: Path) -> str:
    parts = path.relative_to(root).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def import_graph(root: Path, package: str) -> dict[str, set[str]]:
    """Which module imports which, wherever in a file it stands: for types only and inside functions too."""
    files = {module_of(path, root): path for path in (root / package).rglob("*.py")}
    graph: dict[str, set[str]] = {}
    for module, path in files.items():
        found: set[str] = set()
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Import):
                found |= {name.name for name in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                inside = {f"{node.module}.{name.name}" for name in node.names}
                found |= inside & files.keys() or {node.module}
        graph[module] = found & files.keys() - {module}
    return graph


def circles(graph: dict[str, set[str]]) -> set[str]:
    """The modules on a circle or between two: what is left where nothing but modules without arrows is taken away."""
    left = {module: set(found) for module, found in graph.items()}
    while True:
        told = {one for found in left.values() for one in found}
        loose = {module for module, found in left.items() if not found or module not in told}
        if not loose:
            return set(left)
        left = {module: found - loose for module, found in left.items() if module not in loose}


def test_no_module_comes_back_to_itself() -> None:
    graph = import_graph(ROOT, "ticket")
    assert len(graph) > 400
    assert circles(graph) == set()


def test_a_circle_is_seen_wherever_the_import_stands(tmp_path: Path) -> None:
    (tmp_path / "made").mkdir()
    (tmp_path / "made/one.py").write_text("from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import made.two\n")
    (tmp_path / "made/two.py").write_text("def late():\n    from made import three\n")
    (tmp_path / "made/three.py").write_text("from made.one import name\n")
    (tmp_path / "made/four.py").write_text("from made.one import name\n")
    assert circles(import_graph(tmp_path, "made")) == {"made.one", "made.two", "made.three"}


def test_the_shop_is_reached_through_ten_modules_at_most() -> None:
    graph = import_graph(ROOT, "ticket")
    reached = {
        one
        for module, found in graph.items()
        for one in found
        if one.startswith("ticket.shop.") and not module.startswith("ticket.shop")
    }
    assert len(reached) <= MOST_FACES, sorted(reached)


def test_every_route_leads_to_a_screen() -> None:
    for module, made in ROUTES.values():
        found = getattr(import_module(f"ticket.screens.{module}"), made)
        assert isclass(found)
        assert issubclass(found, Screen)
    graph = import_graph(ROOT, "ticket")
    assert "ticket.screens.app" not in graph["ticket.screens.frame"]


def test_no_screen_imports_another_to_open_it() -> None:
    made = {name for _, name in ROUTES.values()}
    for path in (ROOT / "ticket/screens").glob("*.py"):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.ImportFrom):
                assert not made & {name.name for name in node.names}, f"{path.name} imports a screen"


def test_no_class_of_the_store_is_cut_into_pieces_by_inheritance() -> None:
    classes = {
        node.name: {ast.unparse(base) for base in node.bases}
        for path in (ROOT / "ticket/store").glob("*.py")
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ClassDef)
    }
    assert "Store" in classes
    assert {name: bases for name, bases in classes.items() if bases & classes.keys()} == {}
