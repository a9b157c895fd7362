"""How many small faults put into a room are noticed by its tests; each one that is not is printed to be judged.

    python -m pip install cosmic-ray                      # the operators are its own; nothing else needs it
    python benchmarks/mutants.py money [--draw 100] [--seed 13] [--tests tests/money tests/shop/test_bill.py]

Faults are drawn by a fixed seed from all that the operators of cosmic-ray can make in the room, put one at a time into
a copy of the program, and its tests are run until the first that fails. Left out are operators that change nothing
here, such as ``is`` for ``==``, or nothing but the types, such as another sign for ``|``.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from difflib import unified_diff
from pathlib import Path
from random import Random
from typing import NamedTuple

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

ROOT = Path(__file__).parents[1]
_LEFT_OUT = ("BitOr_", "_Is_", "_IsNot_", "Eq_Is", "RemoveDecorator", "Variable")
_PATIENCE = 600  # seconds; a fault that never ends is noticed too


class Fault(NamedTuple):
    """One place and what is done there."""

    path: Path
    operator: str
    occurrence: int


def faults(room: Path) -> Iterator[Fault]:
    """Every fault the operators can make in a room or a file."""
    paths = sorted(room.rglob("*.py")) if room.is_dir() else [room]
    names = [name for name in operator_names() if not any(part in name for part in _LEFT_OUT)]
    for path in paths:
        nodes = list(ast_nodes(get_ast(path.read_text("utf-8"))))
        for name in names:
            made = get_operator(name)()
            many = sum(1 for node in nodes for _ in made.mutation_positions(node))
            yield from (Fault(path, name, at) for at in range(many))


def noticed(copy: Path, fault: Fault, tests: list[str]) -> tuple[bool, str]:
    """Whether a test fails with the fault in the copy, and what the fault is."""
    place = copy / fault.path.relative_to(ROOT)
    before = place.read_text("utf-8")
    after = mutate_code(before, get_operator(fault.operator)(), fault.occurrence)
    if after is None or after == before:
        return True, ""
    place.write_text(after, "utf-8")
    call = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    environment = os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(call, cwd=copy, env=environment, capture_output=True, timeout=_PATIENCE, check=False)
        failed = done.returncode != 0
    except subprocess.TimeoutExpired:
        failed = True
    finally:
        place.write_text(before, "utf-8")
    name = str(fault.path.relative_to(ROOT))
    return failed, "\n".join(unified_diff(before.splitlines(), after.splitlines(), name, fault.operator, "", "", 1, ""))


def main() -> None:
    """Draw, try and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("room", help="a folder of ticket/, or a file of one: money, job/offer_answers.py")
    parser.add_argument("--draw", type=int, default=100)
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--tests", nargs="+", help="left out: the tests of the room")
    options = parser.parse_args()
    room = ROOT / "ticket" / options.room
    every = list(faults(room))
    drawn = Random(f"{options.seed} {options.room}").sample(every, min(options.draw, len(every)))
    tests = options.tests or [f"tests/{options.room}"]
    print(f"{options.room}: {len(drawn)} of {len(every)} faults, seed {options.seed}, {' '.join(tests)}", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in ("ticket", "schemas", "demo_jobs", "tests", "benchmarks"):
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(ROOT / "pyproject.toml", copy)
        found = 0
        for at, fault in enumerate(drawn, 1):
            failed, what = noticed(copy, fault, tests)
            found += failed
            if not failed:
                print(f"--- {at}: not noticed\n{what}", flush=True)
        print(f"{options.room}: {found} of {len(drawn)} noticed ({100 * found / len(drawn):.0f} %)")


if __name__ == "__main__":
    main()
