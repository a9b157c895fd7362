"""A language is files only: its catalogue is whole, its terms are sound, and a third one needs no line of code."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from babel import Locale
from babel.dates import format_date
from babel.messages.pofile import read_po
from babel.units import format_unit
from story_jobs import case_of, ticket_from

import support.faithful.language as judge_files
from support.faithful import check_story
from ticket.job.case import Settings
from ticket.job.errors import InputError
from ticket.language import tables
from ticket.language.shipped import shipped
from ticket.readings.units import find
from ticket.story.build import build
from ticket.story.cautions import cautions
from ticket.story.document import to_document
from ticket.story.sections import files
from ticket.story.sections.catalogue import english, optional
from ticket.story.sections.figures import day, number
from ticket.story.sentence import READERS

LOCALE = files.FOLDERS[0]
CODES = [code for code in files.languages() if code != "en"]
_SLOT = re.compile(r"\{[a-z0-9]+\}")


def _messages(name: str) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """By id: the English forms and the translated ones."""
    with (LOCALE / name).open("rb") as file:
        held = read_po(file, abort_invalid=True)
    out = {}
    for message in held:
        if message.context:
            texts = (message.id, message.string or "")
            english, told = ((one,) if isinstance(one, str) else tuple(one) for one in texts)
            out[message.context] = (english, told)
    return out


@pytest.mark.parametrize("code", CODES)
def test_a_catalogue_is_whole(code: str) -> None:
    """Every pattern of the template is translated, with the same slots and all plural forms; nothing is left over."""
    template, told = _messages("story.pot"), _messages(f"{code}.po")
    assert set(told) == set(template)
    for name, (msgid, forms) in told.items():
        assert msgid == template[name][0], name
        assert all(form.strip() or name == "told.way" for form in forms), name
        for form in forms:
            assert set(_SLOT.findall(form)) == set(_SLOT.findall(msgid[-1])), name
        assert len(forms) == (2 if len(msgid) == 2 else 1), name


def _ids_in_code() -> Iterator[str]:
    """The ids that the code names outright, and beginnings of those it puts together."""
    for path in Path(files.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in ("say", "variants", "title"):
                first = node.args[0] if node.args else None
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    yield first.value
                if isinstance(first, ast.JoinedStr) and isinstance(first.values[0], ast.Constant):
                    yield f"{first.values[0].value!s}*"


def test_every_id_of_the_code_stands_in_the_english_catalogue() -> None:
    names = set(english().patterns)
    for wanted in _ids_in_code():
        if wanted.endswith("*"):
            assert any(name.startswith(wanted[:-1]) for name in names), wanted
        else:
            assert wanted in names, wanted


def test_the_template_holds_every_pattern_a_language_needs_in_its_english() -> None:
    needed = {name: forms for name, forms in english().patterns.items() if not optional(name)}
    assert {name: tuple(forms[0]) for name, forms in _messages("story.pot").items()} == needed


def test_every_caution_is_translated() -> None:
    names = set(_messages("story.pot"))
    for caution in cautions():
        assert {f"caution.{caution.id}.customer", f"caution.{caution.id}.technician"} <= names
        assert _messages("story.pot")[f"caution.{caution.id}.customer"][0] == (caution.customer,)


@pytest.mark.parametrize("code", CODES)
def test_patterns_hold_no_figure_no_promise_and_no_blame(code: str) -> None:
    banned = {word.rstrip("~") for word in judge_files.load(code).data["banned"]["told"]}
    for name, (_, forms) in _messages(f"{code}.po").items():
        text = " ".join(forms).lower()
        assert not re.search(r"[0-9]", _SLOT.sub("", text)), name
        if not name.startswith("caution."):
            assert not [word for word in banned if re.search(rf"\b{word}", text)], name


# CLDR by way of Babel is the reference for unit names, dates and marks.
@pytest.mark.parametrize(
    ("unit", "cldr"),
    [("mi", "length-mile"), ("in", "length-inch"), ("ft", "length-foot"), ("L", "volume-liter"),
     ("gal", "volume-gallon"), ("min", "duration-minute"), ("h", "duration-hour"), ("week", "duration-week"),
     ("month", "duration-month"), ("A", "electric-ampere"), ("V", "electric-volt"), ("Ohm", "electric-ohm"),
     ("g", "mass-gram"), ("lb", "mass-pound"), ("inHg", "pressure-inch-ofhg")],
)  # fmt: skip
def test_unit_names_are_those_of_cldr(unit: str, cldr: str) -> None:
    told = next(row[2] for row in tables.rows("es", "lexicon") if row[:2] == ("unit", unit))
    assert find(unit) is not None
    one, many = told.split("/")
    assert format_unit(1, cldr, "long", locale="es") == f"1 {one}"
    assert format_unit(2, cldr, "long", locale="es") == f"2 {many}"


def test_figures_dates_and_marks_follow_the_locale() -> None:
    assert (
        day(date(2026, 3, 2), "es_US") == format_date(date(2026, 3, 2), "long", locale="es_US") == "2 de marzo de 2026"
    )
    assert (number("3.0", "es_US"), number("1500", "es_US", grouping=True)) == ("3.0", "1,500")
    assert (number("3.0", "de"), number("1500.5", "de", grouping=True), number("-4", "de")) == ("3,0", "1.500,5", "−4")
    assert Locale.parse(files.load("es").catalogue.locale).language == "es"


def test_an_unknown_language_is_one_clear_sentence() -> None:
    with pytest.raises(InputError, match="There is no story in 'qq': choose one of en, es"):
        build(case_of(ticket_from("says: noise")), language="qq")


def test_the_shipped_book_is_read_as_babel_reads_it() -> None:
    from ticket.language.po import read_book
    from ticket.language.shipped import FOLDER, shipped

    held = [entry for file in sorted(FOLDER.glob("*/phrases.po")) for entry in read_book(file.read_text("utf-8"), "x")]
    assert held
    assert list(shipped()) == held


def test_english_alone_never_loads_babel() -> None:
    code = (
        "import sys, ticket.story.build, ticket.story.sections.files as f; f.languages();"
        " from ticket.language.shipped import shipped; assert shipped(); print('babel' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


_LEXICON = """kind\ttyped\ttold\tclass\tmore
class\tn\tnn
class\tnn\tnn
the\tn\tlo {x}
the\tnn\tli {x}
of\tn\tde {x}
many\to\toni
noun\those\tmango\tn
noun\tvoltage\tforco\tn\tq
noun\tbattery\tpilo\tn
prep\tat\tche {x}
adj\tdry\tseko/sekoj
state\tdry\tseko/sekoj
and\tand\tet
be\tis\tera\t\tes
work\treplace\tremplam {x}\t\tremplar {x}
unit\tV\tvolto/volti
number\t1\tun
word\tphone\tper fono
"""
_TEMPLATES = """record\twhen\tnumber\ttext
state\t\t\t{x} era {y}
measure\t\t\t{x} era {n}
and\t\t\tet
we\t\t\t{y}
"""


def _invented(folder: Path, words: Path) -> None:
    """A language nobody speaks: every pattern's letters turned about, its slots kept; a handful of words."""
    lines = []
    for line in (LOCALE / "story.pot").read_text(encoding="utf-8").split("\n"):
        lines.append(line)
        if line.startswith("msgid ") and line != 'msgid ""':
            source = line
        if line.startswith("msgstr ") and lines[-2] != 'msgid ""':
            words_told = re.sub(
                r"[A-Za-z’]+(?![^{}]*\})", lambda match: match[0][::-1].lower(), source.removeprefix("msgid ")
            )
            lines[-1] = f"msgstr {words_told}"
        if line.startswith("msgstr["):
            lines[-1] = line[:10] + re.sub(r"[A-Za-z’]+(?![^{}]*\})", lambda m: m[0][::-1].lower(), source[6:])
    head = '"Language: de\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n'
    text = "\n".join(lines).replace(
        '"Content-Transfer-Encoding: 8bit\\n"\n', '"Content-Transfer-Encoding: 8bit\\n"\n' + head
    )
    (folder / "zz.po").write_text(text, encoding="utf-8")
    judge = (Path(judge_files.__file__).parent / "es.toml").read_text(encoding="utf-8")
    (folder / "zz.toml").write_text(judge.replace('decimal = "."', 'decimal = ","'), encoding="utf-8")
    own = words / "zz"
    own.mkdir(parents=True)
    (own / "lexicon.tsv").write_text(_LEXICON, encoding="utf-8")
    (own / "templates.tsv").write_text(_TEMPLATES, encoding="utf-8")
    (words / "en").symlink_to(Path(tables.__file__).parent / "en")


def test_a_third_language_is_files_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    shipped()  # with the languages that ship, whatever test read it first
    request.addfinalizer(tables.languages.cache_clear)
    _invented(tmp_path, tmp_path / "words")
    monkeypatch.setattr(tables, "FOLDERS", [tmp_path / "words"])
    tables.languages.cache_clear()
    monkeypatch.setattr(files, "FOLDERS", [tmp_path, *files.FOLDERS])
    monkeypatch.setattr(judge_files, "FOLDERS", [tmp_path, *judge_files.FOLDERS])
    assert "zz" in files.languages()
    case = case_of(ticket_from(
        "says: noise\nfound: hose dry\nfound: voltage at battery 12.3 V (13.8 to 14.8)\n"
        "did: 0.4 h replace hose\nlater: replace seal; in 1500 km"
    ), settings=Settings(language="zz"))  # fmt: skip
    texts = []
    for reader in READERS:
        story = build(case, reader, "zz")
        assert story.language == to_document(story)["language"] == "zz"
        texts += [sentence.text.replace("\u00a0", " ") for section in story.sections for sentence in section.sentences]
        flaws = check_story(to_document(story), case)
        assert [(one.finding, one.text) for one in flaws if one.finding.rule in ("F2", "F3", "F5", "F21")] == []
    whole = " ".join(texts)
    assert "Lo mango era seko" in whole
    assert "remplam lo mango" in whole.lower()
    assert "12,3 volti" in whole
    assert "1.500 km" in whole
    assert "12,3" in whole
