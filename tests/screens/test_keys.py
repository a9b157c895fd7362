"""Keys of one's own: checked line by line, shown as changed, and working on the screens."""

import re
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from test_whole_job import desk
from textual import events
from textual._xterm_parser import XTermParser

from support.clock import Clock
from support.screens_desk import page_text
from ticket.cli import main
from ticket.screens.action_table import ACTIONS, FORMER
from ticket.screens.actions import Hint, actions_of, change_keys, hinted, keys_of, shown_key
from ticket.screens.alt_keys import know_alt_keys
from ticket.screens.app import TicketApp
from ticket.screens.help_pages import job_steps, purpose
from ticket.screens.help_screen import HelpScreen, help_rows, key_sheet
from ticket.screens.key_row import action_at, key_row
from ticket.screens.keys import SCREENS, Changes, former_block, read_keys
from ticket.screens.routes import ROUTES
from ticket.shop.opening import Shop

# What terminals keep, by the tables of POSIX General Terminal Interface (chapter 11: INTR) and ASCII (Ctrl+H, I, J, M
# and [ are BS, HT, LF, CR and ESC). START, STOP and SUSP (Ctrl+Q, Ctrl+S, Ctrl+Z) are given back by the program.
# Alt+B and Alt+F are what terminals send for a word to the left and right (measured with tmux and xterm's names).
KEPT = ["ctrl+c", "ctrl+h", "ctrl+i", "ctrl+j", "ctrl+m", "ctrl+[", "alt+b", "alt+f"]


@pytest.fixture(autouse=True)
def keys_as_they_came() -> Iterator[None]:
    yield
    change_keys({})


def clashes(changes: Changes) -> list[tuple[str, str]]:
    found = []
    for screen in SCREENS:
        keys = [key for action in actions_of(screen) for key in changes.keys.get(action.id, action.keys)]
        found += [(screen, key) for key in set(keys) if keys.count(key) > 1]
    return found


def test_a_good_file_changes_what_it_names() -> None:
    changes = read_keys('story = ["Ctrl+E", "F4"]\nreader = "e"\n'.replace("Ctrl+E", "Alt+Y"))
    assert changes == Changes({"story": ("alt+y", "f4"), "reader": ("e",)})


def test_two_actions_may_swap_their_keys() -> None:
    assert read_keys('gaps = "ctrl+t"\nstory = "ctrl+g"').refused == ()


@pytest.mark.parametrize("key", KEPT)
def test_a_key_that_the_terminal_keeps_is_refused(key: str) -> None:
    changes = read_keys(f'story = "{key}"')
    assert not changes.keys
    assert "keeps" in changes.refused[0]


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ('stroy = "f4"', "no such action"),
        ("story = 4", "as text"),
        ("story = []", "as text"),
        ('story = "alt+1"', "another sign"),
        ('story = "hyper+x"', "is no key"),
        ('story = "[/x]"', "is no key"),
        ('story = "s"', "belongs to the line"),
        ('story = "ctrl+w"', "belongs to the line"),
        ('story = "f12"', "is sign on the screen"),
        ('reader = "alt+w"', "is write on the screen"),
        ('open = "f4"', "Enter in the line"),
        ("story = ", "no TOML"),
    ],
)
def test_what_cannot_be_used_is_one_sentence_and_the_rest_stays(line: str, reason: str) -> None:
    changes = read_keys(f'printer = "i"\n{line}\n')
    assert len(changes.refused) == 1
    assert reason in changes.refused[0]
    assert changes.keys == ({} if "no TOML" in reason else {"printer": ("i",)})


_SOME = sorted({key for action in ACTIONS for key in action.keys} | {"alt+k", "alt+4", "q", "f2", "ctrl+c", "é", ""})


@given(st.dictionaries(st.sampled_from([action.id for action in ACTIONS]), st.sampled_from(_SOME), max_size=8))
def test_whatever_the_file_says_no_screen_gives_a_key_twice(wanted: dict[str, str]) -> None:
    changes = read_keys("\n".join(f'{name} = "{key}"' for name, key in wanted.items()))
    assert not clashes(changes)
    assert len(changes.keys) + len(changes.refused) == len(wanted)


@given(st.text(max_size=60))
def test_any_text_is_a_file_of_keys_or_a_sentence(text: str) -> None:
    changes = read_keys(text)
    assert all("\n" not in sentence for sentence in changes.refused)
    assert not clashes(changes)


async def test_changed_keys_work_and_are_shown(database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "keys.toml"
    file.write_text('new = "alt+m"\nhelp = ["f2", "f1"]\nedit = "alt+r"\nsave = "ctrl+o"\nsign = "ctrl+c"\n')
    monkeypatch.setenv("TICKET_KEYS", str(file))
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.4)
        assert "sign stays as it came" in app.told
        assert Hint("new", "Alt+M", "new") in hinted("jobs", 78)
        jobs: object = app.screen
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert app.screen is jobs
        await pilot.press("alt+m")
        await pilot.pause()
        assert app.screen is not jobs
        await pilot.press("f2")
        await pilot.pause()
        shown: object = app.screen
        assert isinstance(shown, HelpScreen)
        assert any(row.text.startswith("F2 or F1 ") for row in help_rows("ticket", 78))
        app.close_shop()


def test_the_command_tells_the_file_and_the_keys(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "keys.toml"
    monkeypatch.setenv("TICKET_KEYS", str(file))
    assert main(["shop", "keys"]) == 0
    assert f"{file} (not there yet)" in capsys.readouterr().out
    file.write_text('story = "alt+y"\nnobody = "f4"\n')
    assert main(["shop", "keys"]) == 1
    said = capsys.readouterr()
    assert "Alt+Y (changed)" in said.out
    assert "no such action" in said.err


def test_every_action_has_keys() -> None:
    assert all(keys_of(action) for action in ACTIONS)


@pytest.mark.parametrize("width", [20, 38, 76, 116])
def test_hints_and_help_of_every_screen_fit(width: int) -> None:
    for screen in SCREENS:
        assert sum(cell_len(span.text) for span in key_row(screen, width)) <= width + 1
        assert all(cell_len(row.text) <= max(width, 38) for row in help_rows(screen, max(width, 38)))


def test_every_action_of_the_registry_has_its_method() -> None:
    from ticket.screens.phone_screen import PhoneScreen
    from ticket.screens.settings_screen import SettingsScreen
    from ticket.screens.story_screen import StoryScreen

    for screen in (PhoneScreen, SettingsScreen, StoryScreen):
        for action in actions_of(screen.subject):
            assert hasattr(screen, f"action_{action.id}") or hasattr(TicketApp, f"action_{action.id}"), action.id


def test_one_key_means_one_thing_wherever_it_is_pressed() -> None:
    """What a key does may be called otherwise on another screen; these are all that are, each with its one meaning."""
    words = {
        "enter": "go on with this", "ctrl+s": "keep", "tab": "next place", "space": "choose", "alt+u": "show the rest",
        "alt+x": "strike, take back", "alt+v": "look at it", "ctrl+g": "next that asks", "f5": "next that asks",
        "right": "take, further in", "left": "further out", "escape": "back",
    }  # fmt: skip
    for key in {key for action in ACTIONS for key in action.keys}:
        meant = {action.label for action in ACTIONS if key in action.keys}
        assert len(meant) == 1 or key in words, (key, meant)


def test_what_people_have_in_their_hands_does_what_it_does_elsewhere() -> None:
    """Common practice, no source: undo, redo, keep, leave, help, find, print a list of everything."""
    keys = {action.id: action.keys[0] for action in ACTIONS}
    assert [keys[name] for name in ("undo", "redo", "save", "kept", "leave", "help")] == [
        "ctrl+z", "ctrl+y", "ctrl+s", "ctrl+s", "ctrl+q", "f1",
    ]  # fmt: skip


def test_the_former_keys_can_be_switched_on_together() -> None:
    assert all(line.startswith("# ") for line in former_block().splitlines())
    changes = read_keys("\n".join(line.removeprefix("# ") for line in former_block().splitlines()))
    assert not changes.refused
    assert changes.keys == FORMER


@pytest.mark.parametrize("width", [58, 78, 118])
def test_a_click_does_what_stands_under_it(width: int) -> None:
    for screen in SCREENS:
        text = "".join(span.text for span in key_row(screen, width))
        for hint in hinted(screen, width):
            at = text.index(f"{hint.key} {hint.label}")
            assert action_at(screen, width, at) == action_at(screen, width, at + len(hint.key) + 1) == hint.action
        assert action_at(screen, width, 0) == ""


def test_the_sheet_of_all_keys_tells_each_key_once() -> None:
    heads = [row.text.split("  ")[0] for row in key_sheet(118)[1:] if not row.text.startswith(" ")]
    assert len(heads) == len(set(heads))
    assert {"Ctrl+Z", "Ctrl+S", "F12", "Alt+C", "PgDn"} <= set(heads)


def test_every_alt_letter_arrives_as_itself_from_a_terminal() -> None:
    """What is made of the bytes a terminal sends for Alt and a letter: the letter behind an escape (ECMA-48)."""
    know_alt_keys()
    letters = sorted({key[-1] for action in ACTIONS for key in action.keys if key.startswith("alt+") and len(key) == 5})
    found = list(XTermParser().feed("".join(f"\x1b{letter}" for letter in letters)))
    assert [event.key for event in found if isinstance(event, events.Key)] == [f"alt+{letter}" for letter in letters]


@pytest.mark.parametrize(
    ("sent", "keys"),
    [
        ("\x1bt\x1bt", ["alt+t", "alt+t"]),
        ("\x1bc\x1b[A", ["alt+c", "up"]),
        ("\x1bcy", ["alt+c", "y"]),
        ("\x1b1", ["alt+1"]),
    ],
)
def test_alt_and_a_letter_is_one_key_whatever_follows_it(sent: str, keys: list[str]) -> None:
    """A terminal sends Escape and the letter (xterm, ctlseqs: metaSendsEscape)."""
    know_alt_keys()
    found = [event for event in XTermParser().feed(sent) if isinstance(event, events.Key)]
    assert [event.key for event in found] == keys
    assert "^" not in {event.character for event in found}


def test_help_begins_with_what_a_hand_at_the_ticket_looks_for() -> None:
    texts = [row.text for row in help_rows("ticket", 78)]
    keys = texts[texts.index("Keys here") + 1 :]
    places = [next(at for at, text in enumerate(keys) if word in text) for word in ("under the pointer back", "Alt+A")]
    assert places == sorted(places), "to correct a line comes before what signed tickets need"
    assert places[0] < 5
    assert "read to the customer" in help_rows("phone", 78)[0].text


def test_the_help_of_every_page_says_what_it_is_for_and_names_keys_that_are_there() -> None:
    for page in ROUTES:
        if page != "lock":  # it asks for a PIN and says so itself
            assert purpose(page), page
    known = {shown_key(key) for action in ACTIONS for key in keys_of(action)}
    steps = list(job_steps())
    named = re.findall(r"(?:Ctrl|Alt)\+\S|F\d+", " ".join([*steps, *map(purpose, ROUTES)]))
    assert len(named) > 20
    assert set(named) <= known
    assert steps[0] in " ".join(row.text for row in help_rows("jobs", 400))
    assert steps[0] not in " ".join(row.text for row in help_rows("ticket", 400, page="signed"))


async def test_a_key_that_means_nothing_says_so_and_help_closes_with_its_own_key(database: Path) -> None:
    async with desk(database) as (app, pilot):
        jobs: object = app.screen
        await pilot.press("alt+6")
        assert "Alt+6 does nothing here; F1 tells the keys." in page_text(app, "#hints")
        await pilot.press("f1")
        await pilot.pause()
        assert isinstance(app.screen, HelpScreen)
        await pilot.press("x")
        assert "x does nothing here" in page_text(app, "#hints")
        await pilot.press("f1")
        await pilot.pause()
        assert app.screen is jobs
