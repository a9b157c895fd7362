"""A picture file becomes a picture of the shop: what is kept of it, what is refused, and what a line says afterwards.

EXIF tags: JEITA CP-3451 / CIPA DC-008 (0x8825 is the GPS block, 0x0112 the orientation). The place of the JPEG markers
is checked against ITU-T T.81, Annex B.
"""

import hashlib
import multiprocessing
import os
import random
import signal
import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from support.clock import Clock
from support.pictures import as_bytes, phone_photo, scene, write_photo
from ticket.job.errors import InputError, NotFoundError
from ticket.job.kinds import Note, Photo
from ticket.job.picture import MOST, Picture, name_of
from ticket.machine.new_pictures import newest_pictures
from ticket.machine.picture_file import LONGEST_SIDE, picture_from
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.shop.changing import (
    add_lines,
    amend_ticket,
    edit_entry,
    load_documents,
    new_ticket,
    sign_ticket,
    strike_entry,
    undo,
)
from ticket.shop.opening import Shop, set_setting
from ticket.shop.past import find_jobs
from ticket.shop.reading import open_gaps, story_of, ticket_of


@pytest.fixture
def shop(database: Path) -> Shop:
    opened = Shop.open(database, "K. Orlo", now=Clock())
    new_ticket(opened)
    return opened


def segments(jpeg: bytes) -> list[int]:
    """The markers in front of the picture data of a JPEG (ITU-T T.81, B.1.1.4 and B.2)."""
    found, at = [], 2
    assert jpeg[:2] == b"\xff\xd8"
    while jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        found.append(jpeg[at + 1])
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
    return found


def test_place_device_and_owner_are_gone_and_the_picture_stands_upright() -> None:
    given = phone_photo(640, 480)
    for told in (b"SERIAL-4711", b"Ada Fenn", b"Invented Maker", b"taken at home"):
        assert told in given
    kept = picture_from(given, "x.jpg")
    for told in (b"SERIAL", b"Ada", b"Invented", b"taken", b"Exif", b"xmp", b"2026"):
        assert told not in kept.content
    # APP0 is the plain JFIF head; APP1 (EXIF, XMP), APP2 (profiles), APP13 and comments (COM) are not there
    assert not {marker for marker in segments(kept.content) if 0xE1 <= marker <= 0xEF or marker == 0xFE}
    with Image.open(BytesIO(kept.content)) as image:
        assert image.size == (480, 640), "turned as its tag says"
        assert not image.getexif()
        assert image.convert("RGB").getpixel((470, 10))[0] > 200, "the red corner went to the right"  # type: ignore[index]


def test_large_pictures_are_made_small_and_small_ones_stay() -> None:
    with Image.open(BytesIO(picture_from(as_bytes(scene(5000, 2500)), "x.jpg").content)) as image:
        assert image.size == (LONGEST_SIDE, LONGEST_SIDE // 2)
    with Image.open(BytesIO(picture_from(as_bytes(scene(60, 40), "PNG"), "x.png").content)) as image:
        assert image.size == (60, 40)


@pytest.mark.slow
def test_what_cannot_be_made_small_in_good_quality_is_bounded_all_the_same() -> None:
    noise = Image.frombytes("RGB", (2600, 2600), random.Random(7).randbytes(2600 * 2600 * 3))
    assert len(picture_from(as_bytes(noise, quality=95), "noise.jpg").content) <= MOST


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L", "RGBA", "P", "CMYK", "1", "LA"])
def test_every_form_and_kind_of_colour_is_read(form: str, mode: str) -> None:
    image = scene().convert(mode)
    try:
        given = as_bytes(image, form)
    except OSError:
        pytest.skip(f"{form} does not hold {mode}")
    with Image.open(BytesIO(picture_from(given, "x").content)) as kept:
        assert kept.format == "JPEG"
        assert kept.size == (640, 480)


def test_what_shines_through_lies_on_white() -> None:
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    with Image.open(BytesIO(picture_from(as_bytes(clear, "PNG"), "x.png").content)) as kept:
        assert kept.convert("L").getpixel((20, 20)) == 255


def test_heic_is_read_where_its_library_is_installed() -> None:
    pillow_heif = pytest.importorskip("pillow_heif")
    out = BytesIO()
    pillow_heif.from_pillow(scene(320, 240)).save(out, format="HEIF")
    with Image.open(BytesIO(picture_from(out.getvalue(), "x.heic").content)) as kept:
        assert (kept.format, kept.size) == ("JPEG", (320, 240))


def bomb() -> bytes:
    """A PNG of some kilobytes that says it is 40,000 by 40,000 pixels (ISO/IEC 15948, 11.2.2)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", 40_000, 40_000, 1, 0, 0, 0, 0)
    rows = zlib.compress(b"\0" * 5001 * 100)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "is no picture this program reads: JPEG, PNG and WebP"),
        (b"says: fan roars all the time\n", "is no picture this program reads"),
        (b"\xff\xd8\xff\xe0" + b"\0" * 300, "is no picture this program reads|is broken"),
        (phone_photo()[:2000], "is broken"),
        (as_bytes(scene(), "PNG")[:900], "is broken"),
        (bomb(), "unfolds to more than 120 million pixels"),
        (as_bytes(scene(), "GIF"), "is no picture this program reads"),
        (as_bytes(scene(), "TIFF"), "is no picture this program reads"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is no picture this program reads"),
    ],
    ids=["empty", "text", "head alone", "half a JPEG", "half a PNG", "bomb", "GIF", "TIFF", "SVG"],
)
def test_a_hostile_or_broken_file_is_one_sentence_and_nothing_is_kept(
    shop: Shop, tmp_path: Path, data: bytes, why: str
) -> None:
    path = tmp_path / "seen.jpg"
    path.write_bytes(data)
    with pytest.raises(InputError, match=why) as told:
        add_lines(shop, 1, f"photo: {path}; wet")
    assert "\n" not in str(told.value)
    assert str(path) in str(told.value)
    assert ticket_of(shop, 1).entries == ()
    assert shop.store._session.db.execute("SELECT count(*) FROM picture").fetchone() == (0,)


@pytest.mark.parametrize("seed", range(40))
def test_no_damage_of_a_file_is_more_than_one_sentence(seed: int) -> None:
    chance = random.Random(seed)
    data = bytearray(as_bytes(scene(80, 60), chance.choice(("JPEG", "PNG", "WEBP"))))
    for _ in range(chance.randint(1, 60)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    said = ""
    try:
        picture_from(bytes(data[: chance.randint(10, len(data))]), "x")
    except InputError as error:
        said = str(error)
    assert "\n" not in said


def test_what_is_no_plain_file_is_refused_and_never_waited_for(shop: Shop, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    for name, why in (("pipe.jpg", "it is a pipe"), (".", "it is a folder"), ("none.jpg", "no such file")):
        with pytest.raises(InputError, match=why):
            add_lines(shop, 1, f"photo: {tmp_path / name}")
    with pytest.raises(InputError, match="it is a device"):
        add_lines(shop, 1, "photo: /dev/zero")
    with pytest.raises(InputError, match="Which file is the picture"):
        add_lines(shop, 1, "photo: ; wet below the seal")


def test_a_wrong_ending_does_not_matter(shop: Shop, tmp_path: Path) -> None:
    write_photo(tmp_path, "scan.txt", as_bytes(scene(), "PNG"))
    add_lines(shop, 1, f"photo: {tmp_path / 'scan.txt'}; fault list")
    assert ticket_of(shop, 1).entries[0].kind == "photo"


def test_once_taken_the_line_says_the_digest_and_reads_back_the_same(shop: Shop, tmp_path: Path) -> None:
    add_lines(shop, 1, "says: fan roars\nfound: housing wet")
    path = write_photo(tmp_path)
    (added,) = add_lines(shop, 1, f"photo: {path}; wet below the seal; for 2; before")
    fact = added.entry.fact
    assert isinstance(fact, Photo)
    kept = shop.store.picture(fact.picture)
    assert hashlib.sha256(kept.content).hexdigest() == fact.picture
    line = write(fact)
    assert line == f"photo: {fact.picture[:12]}; wet below the seal; for 2; before"
    (again,) = add_lines(shop, 1, line)
    assert again.entry.fact == fact
    assert again.entry.concern == "A"
    assert shop.store._session.db.execute("SELECT count(*) FROM picture").fetchone() == (1,)
    path.unlink()
    edit_entry(shop, 1, 3, read(line.replace("wet", "dripping"))[0].fact, fact)
    assert write(ticket_of(shop, 1).entries[2].fact) == line.replace("wet", "dripping")
    with pytest.raises(NotFoundError, match="No picture of this shop begins with 0123456789ab"):
        add_lines(shop, 1, "photo: 0123456789ab; wet")
    assert shop.store.audit(deep=True).ok


@pytest.mark.parametrize("name", ["a;b.jpg", 'say "x"; y.jpg', "C- 3 mm (max 2); before.jpg", "wät  ; for 4.jpg"])
def test_any_file_name_can_be_typed_in_quote_marks(shop: Shop, tmp_path: Path, name: str) -> None:
    path = write_photo(tmp_path, name)
    line = write(Photo(picture=str(path), text="wet; for good", stage="after"))
    assert read(line)[0].fact == Photo(picture=str(path), text="wet; for good", stage="after")
    add_lines(shop, 1, line)
    (entry,) = ticket_of(shop, 1).entries
    assert isinstance(entry.fact, Photo)
    assert (entry.fact.text, entry.fact.stage, len(entry.fact.picture)) == ("wet; for good", "after", 64)


def test_the_journal_names_no_file_of_anybodys_machine(shop: Shop, tmp_path: Path) -> None:
    add_lines(shop, 1, f"photo: {write_photo(tmp_path, 'private-folder.jpg')}; wet")
    rows = shop.store._session.db.execute("SELECT body, words FROM journal").fetchall()
    assert "private-folder" not in str(rows)
    (digest,) = shop.store._session.db.execute("SELECT digest FROM picture").fetchone()
    assert digest in str(rows), "the chain holds the whole digest"


def test_an_exchanged_a_missing_and_a_redirected_picture_are_named_by_audit_and_never_shown(
    shop: Shop, tmp_path: Path
) -> None:
    add_lines(shop, 1, f"photo: {write_photo(tmp_path)}; wet")
    other = picture_from(as_bytes(scene(colour="olive")), "x")
    (entry,) = ticket_of(shop, 1).entries
    assert isinstance(entry.fact, Photo)
    db, digest = shop.store._session.db, entry.fact.picture
    for sql in ("UPDATE picture SET content = x'00'", "DELETE FROM picture"):
        with pytest.raises(Exception, match="a picture stays as it was taken"):
            db.execute(sql)
    for guard in ("same", "keep"):
        db.execute(f"DROP TRIGGER picture_{guard}")
    db.execute("UPDATE picture SET content = ?", [other.content])
    db.conn.commit()
    told = shop.store.audit()
    assert not told.ok
    assert f"ticket 1 entry 1: its picture {digest[:12]} was altered" in str(told.differences[-1])
    with pytest.raises(NotFoundError, match=f"The picture {digest[:12]} was changed"):
        shop.store.picture(digest)
    db.execute("DELETE FROM picture")
    db.conn.commit()
    assert f"its picture {digest[:12]} is missing" in str(shop.store.audit().differences[-1])
    db.execute("INSERT INTO picture VALUES(?, ?)", [other.digest, other.content])
    db.execute("UPDATE entry SET data = replace(data, ?, ?)", [digest, other.digest])
    db.conn.commit()
    assert not shop.store.audit(deep=True).ok, "the digest of the entry is the one of the journal"


def test_documents_carry_pictures_and_prove_them(shop: Shop, database: Path, tmp_path: Path) -> None:
    import json

    from ticket.job.ticket_document import to_document
    from ticket.shop.papers import held_by

    add_lines(shop, 1, f"photo: {write_photo(tmp_path)}; wet")
    sign_ticket(shop, 1, overruled={gap.id: "tried" for gap in open_gaps(shop, 1)})
    ticket = ticket_of(shop, 1)
    document = to_document(ticket, [picture for _, picture in held_by(shop, ticket.entries)])
    with Shop.open(tmp_path / "other.db", "M. Vale", now=Clock()) as other:
        with pytest.raises(InputError, match="neither in this shop nor beside its entry"):
            load_documents(other, [("bare.json", json.dumps(to_document(ticket)))])
        wrong = document | {"pictures": {key: text[:-8] + "AAAAAAA=" for key, text in document["pictures"].items()}}
        with pytest.raises(InputError, match="not the one its entry was written with"):
            load_documents(other, [("wrong.json", json.dumps(wrong))])
        hostile = Picture(phone_photo())
        foreign = document | {"pictures": to_document(ticket, [hostile])["pictures"]}
        with pytest.raises(InputError, match="was not written by this program"):
            load_documents(other, [("foreign.json", json.dumps(foreign))])
        load_documents(other, [("whole.json", json.dumps(document))])
        came = ticket_of(other, 1)
        assert came.elsewhere is not None
        assert came.elsewhere.fits == "yes"
        assert [held.digest for _, held in held_by(other, came.entries)] == [*document["pictures"]]
        assert other.store.audit(deep=True).ok


def test_a_ticket_file_of_somebody_else_takes_no_file_of_this_machine(shop: Shop, tmp_path: Path) -> None:
    path = write_photo(tmp_path)
    with pytest.raises(InputError, match="names a file of this machine"):
        load_documents(shop, [("theirs.txt", f"vehicle: Corvane Petrel\nsays: fan roars\nphoto: {path}; look\n")])
    assert list(shop.store.numbers()) == [1]


def test_a_backup_holds_the_pictures_and_proves_them(shop: Shop, tmp_path: Path) -> None:
    add_lines(shop, 1, f"photo: {write_photo(tmp_path)}; wet")
    shop.store.backup(tmp_path / "copy.db")
    with Shop.open(tmp_path / "copy.db", "K. Orlo", now=Clock()) as copy:
        assert copy.store.audit(deep=True).ok
        (entry,) = ticket_of(copy, 1).entries
        assert isinstance(entry.fact, Photo)
        assert copy.store.picture(entry.fact.picture).content[:2] == b"\xff\xd8"


def test_the_newest_files_of_the_folder_are_known_and_meant(shop: Shop, tmp_path: Path) -> None:
    folder = tmp_path / "from the phone"
    folder.mkdir()
    for age, name in enumerate(("new.jpg", "older.HEIC", "oldest.png", "list.txt")):
        os.utime(write_photo(folder, name), (1_700_000_000 - age, 1_700_000_000 - age))
    assert newest_pictures(shop.settings.photos) == ()
    set_setting(shop, "photos", str(folder))
    assert newest_pictures(shop.settings.photos) == ("new.jpg", "older.HEIC", "oldest.png")
    add_lines(shop, 1, "photo: new.jpg; seen")
    assert ticket_of(shop, 1).entries[0].kind == "photo"
    set_setting(shop, "photos", str(tmp_path / "gone"))
    assert newest_pictures(shop.settings.photos) == ()


def _adds(database: Path, file: Path, caption: str) -> None:
    with Shop.open(database, "M. Vale", now=Clock()) as shop:
        add_lines(shop, 1, f"photo: {file}; {caption}")


def test_two_terminals_adding_the_same_picture_keep_it_once(shop: Shop, database: Path, tmp_path: Path) -> None:
    file = write_photo(tmp_path)
    both = [multiprocessing.Process(target=_adds, args=(database, file, f"seen by {i}")) for i in range(4)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert [one.exitcode for one in both] == [0] * 4
    assert len({entry.fact for entry in ticket_of(shop, 1).entries}) == 4
    assert shop.store._session.db.execute("SELECT count(*) FROM picture").fetchone() == (1,)
    assert shop.store.audit(deep=True).ok


def _dies(database: Path, file: Path) -> None:
    from ticket.store import picture_rows

    def keep_and_die(*args: object) -> None:
        kept(*args)  # type: ignore[arg-type]
        os.kill(os.getpid(), signal.SIGKILL)

    kept = picture_rows.keep
    picture_rows.keep = keep_and_die  # type: ignore[assignment]
    _adds(database, file, "never seen")


def test_a_terminal_killed_between_the_picture_and_its_entry_leaves_neither(
    shop: Shop, database: Path, tmp_path: Path
) -> None:
    killed = multiprocessing.Process(target=_dies, args=(database, write_photo(tmp_path)))
    killed.start()
    killed.join()
    assert killed.exitcode == -signal.SIGKILL
    assert ticket_of(shop, 1).entries == ()
    assert shop.store._session.db.execute("SELECT count(*) FROM picture").fetchone() == (0,)
    add_lines(shop, 1, "note: goes on")
    assert ticket_of(shop, 1).entries[0].fact == Note(text="goes on")
    assert shop.store.audit(deep=True).ok


def test_a_name_is_the_beginning_of_a_digest_and_a_file_stays_a_file() -> None:
    assert name_of("ab" * 32) == "ab" * 6
    assert name_of("fan.jpg") == "fan.jpg"


def test_a_signed_ticket_takes_a_picture_by_amendment_and_its_seal_moves_on(shop: Shop, tmp_path: Path) -> None:
    add_lines(shop, 1, "says: fan roars\nfound: housing wet")
    seal = sign_ticket(shop, 1, overruled={gap.id: "tried" for gap in open_gaps(shop, 1)})
    with pytest.raises(InputError, match="is broken"):
        amend_ticket(shop, 1, f"photo: {write_photo(tmp_path, 'half.jpg', phone_photo()[:1500])}", "taken late")
    (added,) = amend_ticket(shop, 1, f"photo: {write_photo(tmp_path)}; wet; for 2", "taken late")
    assert added.entry.amended
    assert ticket_of(shop, 1).seal != seal
    assert shop.store.audit(deep=True).ok


def test_undo_copy_and_strike_know_pictures(shop: Shop, tmp_path: Path) -> None:
    from ticket.shop.changing import copy_entry

    add_lines(shop, 1, "says: fan roars")
    (added,) = add_lines(shop, 1, f"photo: {write_photo(tmp_path)}; wet")
    other = write_photo(tmp_path, "other.png", as_bytes(scene(colour="olive"), "PNG"))
    changed = edit_entry(shop, 1, 2, Photo(picture=str(other), text="wet"), added.entry.fact)
    assert isinstance(changed.fact, Photo)
    assert isinstance(added.entry.fact, Photo)
    assert changed.fact.picture != added.entry.fact.picture
    undo(shop, 1)
    assert ticket_of(shop, 1).entries[1].fact == added.entry.fact
    number = new_ticket(shop)
    with pytest.raises(InputError, match="shows the job it was taken on"):
        copy_entry(shop, 1, 2, number)  # a picture of another vehicle would be false evidence here
    strike_entry(shop, 1, 2)
    assert story_of(shop, 1).sections[-1].id != "photo"
    assert shop.store.audit(deep=True).ok
    assert shop.store.check_index() == []


def test_a_caption_is_found_by_its_words(shop: Shop, tmp_path: Path) -> None:
    add_lines(shop, 1, f"photo: {write_photo(tmp_path)}; crack beside the flange")
    assert list(find_jobs(shop, "flange crack")[0].numbers) == [1]


def test_the_photo_of_the_test_holds_a_place_to_be_taken_out() -> None:
    with Image.open(BytesIO(phone_photo())) as image:
        assert dict(image.getexif().get_ifd(0x8825)), "else the test of what is gone tests nothing"
