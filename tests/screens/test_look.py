"""Colours by what they mean: readable on every ground, and nothing told by colour alone.

The contrast ratio and its least value for text of normal size, 4.5 to 1, are those of WCAG 2.2, success criterion
1.4.3 and its definition of relative luminance (checked against the two examples there are no colours for: black on
white is 21 to 1, a colour on itself 1 to 1).
"""

import pytest
from rich.color import Color
from rich.style import Style

from ticket.grid import signs
from ticket.machine.terminal_signs import needs_letters
from ticket.screens.look import GROUNDS, INKS, Look, look, look_for, theme_of
from ticket.screens.terminal import look_of

COLOURED = ("dark", "light", "dark 256", "light 256", "contrast")
TEXT = [ink for ink in INKS if ink != "rule"]


def luminance(colour: Color) -> float:
    parts = [part / 255 for part in colour.get_truecolor()]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Color, other: Color) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_itself() -> None:
    black, white = Color.parse("#000000"), Color.parse("#ffffff")
    assert contrast(black, white) == pytest.approx(21)
    assert contrast(white, white) == pytest.approx(1)


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("name", COLOURED)
def test_every_ink_is_readable_on_every_ground(name: str, ground: str) -> None:
    shown = look(name)
    behind = shown.styles[ground].bgcolor
    assert behind is not None
    for ink in TEXT:
        colour = shown.style(ink, ground).color
        assert colour is not None
        assert contrast(colour, behind) >= 4.5, ink


def test_without_colours_only_weight_is_left() -> None:
    for ink in INKS:
        style = look("none").styles[ink]
        assert style.color is None
        assert style.bgcolor is None
    heavy = [ink for ink in INKS if look("none").styles[ink].bold]
    assert {"strong", "fact", "value", "ask", "unread", "bad"} <= set(heavy)
    assert look("none").styles["unread"].underline


@pytest.mark.parametrize("name", ["dark 16", "light 16"])
def test_sixteen_colours_name_only_those_of_the_terminal(name: str) -> None:
    numbers = {style.color.number for style in look(name).styles.values() if style.color}
    assert numbers
    assert all(number is not None and number < 16 for number in numbers)
    assert theme_of(look(name)).ansi


@pytest.mark.parametrize(
    ("wanted", "depth", "plain", "light", "name"),
    [
        ("terminal", "truecolor", False, False, "dark"),
        ("terminal", "truecolor", False, True, "light"),
        ("terminal", "256", False, True, "light 256"),
        ("dark", "standard", False, True, "dark 16"),
        ("contrast", "256", False, False, "contrast"),
        ("light", "truecolor", True, True, "none"),
        ("none", "truecolor", False, False, "none"),
        ("dark", None, False, False, "none"),
    ],
)
def test_the_look_follows_the_terminal(wanted: str, depth: str | None, plain: bool, light: bool, name: str) -> None:
    assert look_for(wanted, depth, light=light, plain=plain, letters=False).name == name


@pytest.mark.parametrize(
    ("around", "letters"),
    [
        ({"TERM": "xterm-256color", "LANG": "en_US.UTF-8"}, False),
        ({"TERM": "linux", "LANG": "en_US.UTF-8"}, True),
        ({"TERM": "vt100"}, True),
        ({"TERM": "xterm", "LC_ALL": "C.ISO-8859-1", "LANG": "en_US.UTF-8"}, True),
        ({"TERM": "linux", "TICKET_SIGNS": "drawn"}, False),
        ({"TERM": "xterm", "TICKET_SIGNS": "letters"}, True),
    ],
)
def test_letters_where_the_terminal_has_no_signs(around: dict[str, str], letters: bool) -> None:
    assert needs_letters(around) is letters
    assert look_of(around, "256").letters is letters


def test_every_sign_has_a_letter_and_a_word() -> None:
    drawn = [sign for name, sign in vars(signs).items() if name.isupper() and isinstance(sign, str)]
    shown = Look("none", {"bg": Style()}, letters=True)
    assert all(shown.drawn(sign).isascii() and len(shown.drawn(sign)) == 1 for sign in drawn)
    frame = {signs.RULE, signs.HEAVY, signs.BAR}
    assert set(drawn) - frame == set(signs.WORDS)
    states = [shown.drawn(sign) for sign in signs.WORDS]
    assert len(states) == len(set(states)), "two states would look the same"
