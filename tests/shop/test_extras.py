"""A folder of the shop's own: a language, rules, codes and a template without code; what cannot be used is told."""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.data import data_folder
from ticket.faults.code_meaning import meaning
from ticket.job.errors import InputError
from ticket.job.ticket import Header, Vehicle
from ticket.language import tables
from ticket.papers import labels, pdf
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.extras import with_extras
from ticket.shop.kept_settings import read_kept_settings
from ticket.shop.money import find_pack, packs
from ticket.shop.opening import Shop
from ticket.shop.papers import desk, paper
from ticket.shop.reading import code_table, story_of
from ticket.shop.settings import put
from ticket.story.sections import files


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """A folder with one of everything; Spanish under another name stands for a language nobody shipped."""
    own = tmp_path / "own"
    own.mkdir()
    here = Path(files.FOLDERS[0])
    shutil.copy(here / "es.po", own / "qq.po")
    shutil.copy(Path(labels.__file__).with_name("labels_es.tsv"), own / "labels_qq.tsv")
    shutil.copytree(Path(tables.__file__).parent / "es", own / "qq")
    shutil.copy(data_folder("examples") / "rule-pack.json", own / "our-rules.json")
    shutil.copy(data_folder("examples") / "codes.csv", own / "codes.csv")
    shutil.copy(data_folder("examples") / "phrasebook.po", own / "phrasebook.po")
    text = Path(pdf.__file__).with_name("copy.typ").read_text(encoding="utf-8")
    (own / "copy.typ").write_text(text.replace("#let quiet", "#let ours = true\n#let quiet"), encoding="utf-8")
    yield own
    with_extras(read_kept_settings({}))  # no other shop of this process looks into it


@pytest.fixture
def own_shop(shop: Shop, folder: Path) -> Shop:
    put(shop, "setting/extras", str(folder))
    return shop


def test_all_of_it_is_found_and_told(own_shop: Shop, database: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert not own_shop.kept.doubts
    assert main(["shop", "--db", str(database)]) == 0
    told = capsys.readouterr().out
    for words in ("language qq", "rules MY-PLACE", "2 codes", "phrasebook: ticket phrases import", "paper template"):
        assert re.search(rf"^found +{words}", told, re.M), words
    assert main(["shop", "extras", "--db", str(database), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["extras"]) == 5


def test_a_language_tells_stories_and_papers(own_shop: Shop) -> None:
    number = new_ticket(own_shop, Header(Vehicle("Corvane Alder")))
    add_lines(own_shop, number, "says: noise\nfound: LF pad 1.9 mm (min 3.0 per maker)\noffer: replace pads; est 90")
    put(own_shop, "setting/language", "qq")
    spanish = story_of(own_shop, number, language="es")
    ours = story_of(own_shop, number)
    assert ours.language == "qq"
    assert [one.title for one in ours.sections] == [one.title for one in spanish.sections]
    assert "Orden de trabajo" in str(paper(own_shop, number, "customer", "text"))
    assert "Presupuesto" in desk.estimate_sheet(own_shop, number).title


def test_rules_and_codes_are_used_and_what_was_taken_in_goes_first(own_shop: Shop) -> None:
    assert "MY-PLACE" in packs(own_shop)
    put(own_shop, "setting/rules", "MY-PLACE")
    assert find_pack(own_shop, "MY-PLACE").name == "An invented place"
    known = meaning("P1A30", "7B", code_table(own_shop))
    assert "low fluid level in the fan drive" in str(known)


def test_a_template_of_the_shops_own_sets_the_papers_and_its_mistake_is_one_sentence(
    own_shop: Shop, folder: Path
) -> None:  # fmt: skip
    number = new_ticket(own_shop)
    own_shop.refresh()
    _ = own_shop.kept
    assert [folder / "copy.typ"] == pdf.OWN_TEMPLATE
    made = paper(own_shop, number, "customer", "pdf")
    assert isinstance(made, bytes)
    assert made.startswith(b"%PDF-")
    (folder / "copy.typ").write_text("#let broken = (\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"own template .*copy\.typ cannot be set"):
        paper(own_shop, number, "customer", "pdf")


def test_what_cannot_be_used_is_told_and_the_rest_works(own_shop: Shop, folder: Path) -> None:
    (folder / "labels_qq.tsv").unlink()
    (folder / "our-rules.json").write_text('{"format": "rule-pack-1", "id": "x"}', encoding="utf-8")
    (folder / "florida.json").write_text(
        (data_folder("examples") / "rule-pack.json").read_text(encoding="utf-8").replace("MY-PLACE", "US-FL"), "utf-8"
    )
    (folder / "codes.csv").write_text("code,plain\nPX,y\n", encoding="utf-8")
    own_shop.refresh()
    told = " | ".join(own_shop.kept.doubts)
    for words in ("language qq lacks labels_qq.tsv", "our-rules.json", "'US-FL' come with the program", "not a code"):
        assert words in told
    with pytest.raises(InputError):
        story_of(own_shop, new_ticket(own_shop), language="qq")


def test_a_folder_that_is_gone_keeps_no_shop_shut(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(shop, "setting/extras", str(tmp_path / "gone"))
    assert "is not there" in " ".join(shop.kept.doubts)
    assert new_ticket(shop) == 1


def test_another_shop_of_the_same_process_sees_nothing_of_it(own_shop: Shop, tmp_path: Path) -> None:
    _ = own_shop.kept
    assert "qq" in files.languages()
    with Shop.open(tmp_path / "other.db", "K. Orlo") as other:
        _ = other.kept
        assert "qq" not in files.languages()
        assert pdf.OWN_TEMPLATE == []
