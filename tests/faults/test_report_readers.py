"""Readers of scan reports as plugins: asked first, held to their protocol, passed over where they fail.

The plugin below is the example of docs/how-to/extend.md: a package with one entry point.
"""

import io
import json
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.faults.report_readers import GROUP, FoundCode, ReportReader, read_report
from ticket.machine.plugins import report_readers


class BracketReader:
    """Reads reports that begin with BRACKET and hold [unit] code=status lines."""

    name = "bracket"

    def read(self, text: str) -> Sequence[FoundCode] | None:
        """The codes of such a report."""
        lines = text.splitlines()
        if not lines or lines[0] != "BRACKET":
            return None
        found = []
        for no, line in enumerate(lines[1:], 2):
            unit, _, rest = line.strip("[").partition("] ")
            code, _, status = rest.partition("=")
            found.append(FoundCode(code=code, unit=unit, status=status, line=no))
        return found


class Failing:
    name = "failing"

    def read(self, text: str) -> Sequence[FoundCode] | None:
        raise ValueError("no\x1b such thing")


REPORT = "BRACKET\n[engine computer] P0562-16=stored\n[fan control] P1A30-7B=pending\n"


def test_the_example_is_a_reader_and_its_codes_are_read_as_the_program_reads_them() -> None:
    assert isinstance(BracketReader(), ReportReader)
    found = read_report(REPORT, [BracketReader()])
    assert found.by == "bracket"
    assert [(one.written.code, one.written.sub, one.unit, one.status, one.line) for one in found.report.faults] == [
        ("P0562", "16", "engine computer", "stored", 2), ("P1A30", "7B", "fan control", "pending", 3),
    ]  # fmt: skip


def test_a_reader_that_fails_or_knows_nothing_leaves_the_report_to_the_next() -> None:
    found = read_report("P0562-16 stored", [Failing(), BracketReader()])
    assert found.by == ""
    assert [one.written.code for one in found.report.faults] == ["P0562"]
    (remark,) = found.remarks
    assert remark.startswith("The reader 'failing' failed")
    assert "\x1b" not in remark


@pytest.mark.parametrize("status", ["broken", "STORED", "\x1b"])
def test_a_status_that_is_none_is_a_fault_of_the_reader(status: str) -> None:
    class Odd:
        name = "odd"

        def read(self, text: str) -> Sequence[FoundCode] | None:
            return [FoundCode(code="P0562", status=status)]

    found = read_report("P0562-16 stored", [Odd()])
    assert found.by == ""
    assert found.remarks


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The example as an installed package: its module, and the folder an installer leaves with its entry points."""
    info = tmp_path / "bracket_reports-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: bracket-reports\nVersion: 1.0\n", encoding="utf-8")
    points = f"[{GROUP}]\nbracket = test_report_readers:BracketReader\nlost = not_there:Reader\nodd = json:dumps\n"
    (info / "entry_points.txt").write_text(points, encoding="utf-8")
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    monkeypatch.syspath_prepend(str(tmp_path))


@pytest.mark.usefixtures("installed")
def test_installed_plugins_are_found_and_what_is_none_is_told() -> None:
    readers, unusable = report_readers()
    assert [one.name for one in readers] == ["bracket"]
    assert len(unusable) == 2
    assert "'lost' cannot be loaded" in " ".join(unusable)
    assert "'odd' is no reader" in " ".join(unusable)


@pytest.mark.usefixtures("installed")
def test_a_piped_report_goes_through_the_plugin(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(REPORT.encode())))
    assert main(["code", "-", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(one["code"], one["unit"]) for one in told] == [("P0562", "engine computer"), ("P1A30", "fan control")]
