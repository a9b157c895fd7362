"""Files are written in few places, each of which knows who may read them."""

import ast
import re
from pathlib import Path

from support.sources import tree_of

ROOT = Path(__file__).parents[2] / "ticket"
WRITERS = {"store/file_modes.py", "store/outfile.py", "store/sharing.py"}
# Run by developers in a checkout:
TOOLS = {
    "job/ticket_schema.py",
    "money/price_list_schema.py",
    "rules/pack_schema.py",
    "assist/limits_schema.py",
    "store/views.py",
}
# In a folder of its own that only this login may open, and that is gone when the file is handed on:
SCRATCH = {"cli/parquet.py"}
WRITING = {"write_text", "write_bytes", "touch", "mkdir", "makedirs", "chmod", "hardlink_to", "symlink_to"}
_MODE = re.compile(r"(?=.*[wax+])[rwaxbt+]{1,3}")


def writes(tree: ast.Module) -> list[int]:
    """Lines that make or write a file: a writing method of a path, or an opening that is not for reading alone."""
    found = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        words = [
            arg.value for arg in (*node.args[:2], *(k.value for k in node.keywords)) if isinstance(arg, ast.Constant)
        ]
        opened = name == "open" and any(isinstance(word, str) and _MODE.fullmatch(word) for word in words)
        found += [node.lineno] if name in WRITING or opened else []
    return found


def test_every_file_is_made_by_what_knows_who_may_read_it() -> None:
    astray = {
        f"{path.relative_to(ROOT)}:{line}"
        for path in ROOT.rglob("*.py")
        if str(path.relative_to(ROOT)) not in WRITERS | TOOLS | SCRATCH
        for line in writes(tree_of(path))
    }
    assert not astray, "use store.outfile for what is handed out, store.modes for what the program keeps"


def test_the_search_for_writers_finds_them() -> None:
    code = "p.write_text('x')\nopen(p, 'w')\np.open('rb')\np.open('r+b')\nopen(p, mode='ab')\nopen('shop.db')\n"
    assert writes(ast.parse(code)) == [1, 2, 4, 5]
