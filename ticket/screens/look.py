"""How the screens look: every colour of the program, by what it means. No other file names one.

Cool means read or settled, warm means your turn or wrong, grey is context; nothing is green, so nothing is a traffic
light. A colour only ever stresses what a sign and a word say already.
"""

from collections.abc import Mapping
from functools import lru_cache

from rich.style import Style
from textual.color import Color
from textual.theme import Theme

from ticket.grid.signs import LETTERS

GROUNDS = ("bg", "here", "top", "field")
"""Tokens that are drawn behind text: the page, where you are, the header row, a field."""

_COLUMNS = ("dark", "light", "dark 256", "light 256", "contrast", "dark 16", "light 16", "none")
_TABLE = {
    # token    dark            light           dark 256    light 256  contrast        16 dark   16 light   none
    "bg":     ("#121212",      "#fbfaf7",      "233",      "231",     "#000000",      "",        "",        ""),
    "here":   ("#303030",      "#e4e0d4",      "235",      "255",     "#3a3a3a",      "",        "",        ""),
    "top":    ("#1f1f1f",      "#efece4",      "234",      "255",     "#000000",      "",        "",        ""),
    "field":  ("#262626",      "#efece4",      "234",      "255",     "#262626",      "",        "",        ""),
    "ink":    ("#d0d0d0",      "#303030",      "252",      "236",     "#ffffff",      "",        "",        ""),
    "strong": ("#ffffff bold", "#000000 bold", "231 bold", "16 bold", "#ffffff bold", "15 bold", "0 bold",  "bold"),
    "quiet":  ("#a8a8a8",      "#5f5f5f",      "248",      "241",     "#d0d0d0",      "7",       "0",       "dim"),
    "fact":   ("#87d7ff",      "#0050a0",      "117",      "25",      "#a8dcff",      "14",      "4",       "bold"),
    "where":  ("#9d9df0",      "#6b4f7a",      "147",      "60",      "#d0d0d0",      "6",       "0",       ""),
    "ask":    ("#ffd75f bold", "#7a5c00 bold", "221 bold", "94 bold", "#ffd75f bold", "11 bold", "5 bold",  "bold"),
    "bad":    ("#ff6e6e bold", "#b0005a bold", "203 bold", "125 bold", "#ff9c9c bold", "9 bold", "1 bold",  "bold"),
    "rule":   ("#5f5f5f",      "#b2b2b2",      "240",      "249",     "#a8a8a8",      "7",       "7",       "dim"),
}  # fmt: skip
"""Each token in every theme. 256 colours have values of their own: the nearest ones would be too faint."""
_MADE = {"value": ("fact", " bold"), "unread": ("ask", " underline"), "key": ("strong", "")}
"""Tokens made of another one: a figure that was read, a piece that nobody took, a key's name on its faint band."""
INKS = tuple(name for name in (*_TABLE, *_MADE) if name not in GROUNDS)


class Look:
    """One theme at one depth of colour; it never changes.

    Attributes:
        name: one of the columns of the table.
        styles: the style of every ink and ground.
        ansi: the terminal's own colours are used, or none.
        letters: signs are drawn as letters: the terminal has no others.
        ground: the page behind all text, as Textual's filters want it; known once something was drawn.
    """

    __slots__ = ("_laid", "ansi", "ground", "letters", "name", "styles")

    def __init__(self, name: str, styles: Mapping[str, Style], *, ansi: bool = False, letters: bool = False) -> None:
        self.name = name
        self.styles = styles
        self.ansi = ansi
        self.letters = letters
        self._laid: dict[tuple[str, str], Style] = {}
        self.ground: Color | None = None

    def style(self, ink: str, ground: str = "bg") -> Style:
        """Ink on a ground."""
        key = (ink, ground)
        if key not in self._laid:
            self._laid[key] = self.styles[ground] + self.styles[ink]
        return self._laid[key]

    @property
    def banded(self) -> bool:
        """Whether the pointed row has a band; without one its head is reversed."""
        return self.styles["here"].bgcolor is not None

    def drawn(self, text: str) -> str:
        """The text as this terminal can show it."""
        return text.translate(LETTERS) if self.letters else text


def _style(token: str, column: int) -> Style:
    base, more = _MADE.get(token, (token, ""))
    words = f"{_TABLE[base][column]}{more}".split()
    colour = next((word for word in words if word.startswith("#") or word.isdecimal()), "")
    shown = f"color({colour})" if colour.isdecimal() else colour
    ground = f"on {shown}" if token in GROUNDS and shown else shown
    return Style.parse(" ".join([*(word for word in words if word != colour), ground]) or "none")


@lru_cache(maxsize=16)
def look(name: str = "dark", *, letters: bool = False) -> Look:
    """A theme by its name, such as ``dark`` or ``light 256``."""
    column = _COLUMNS.index(name)
    styles = {token: _style(token, column) for token in (*_TABLE, *_MADE)}
    styles["key"] += styles["here"]
    return Look(name, styles, ansi=name == "none" or name.endswith("16"), letters=letters)


def look_on(app: object) -> Look:
    """The look of a running app; where a test runs another one, the usual."""
    shown: Look = getattr(app, "inks", None) or look()
    return shown


def look_for(wanted: str, depth: str | None, *, light: bool, plain: bool, letters: bool) -> Look:
    """The look for a terminal.

    Args:
        wanted: ``terminal``, ``dark``, ``light``, ``contrast`` or ``none``.
        depth: what the terminal can show: ``truecolor``, ``256``, ``standard``, or ``None`` for no colour at all.
        light: its ground is light; asked where ``terminal`` is wanted.
        plain: NO_COLOR is set.
        letters: it cannot show the drawn signs.
    """
    if plain or wanted == "none" or depth is None:
        return look("none", letters=letters)
    if wanted == "contrast":
        return look("contrast" if depth in ("truecolor", "256", "windows") else "dark 16", letters=letters)
    ground = "light" if wanted == "light" or (wanted == "terminal" and light) else "dark"
    more = {"truecolor": "", "256": " 256", "windows": " 256"}.get(depth, " 16")
    return look(ground + more, letters=letters)


def theme_of(shown: Look) -> Theme:
    """What Textual's own widgets take from a look: the line to type in, the lists, the scroll bars."""

    def hex_of(token: str) -> str:
        colour = shown.styles[token].bgcolor if token in GROUNDS else shown.styles[token].color
        if colour is None:
            return "ansi_default"
        if shown.ansi:
            return f"ansi_{_ANSI[colour.number or 0]}"
        return colour.get_truecolor().hex

    return Theme(
        name=f"ticket-{shown.name.replace(' ', '-')}",
        primary=hex_of("fact"), secondary=hex_of("quiet"), accent=hex_of("ask"), warning=hex_of("ask"),
        error=hex_of("bad"), success=hex_of("fact"), foreground=hex_of("ink"), background=hex_of("bg"),
        surface=hex_of("bg"), panel=hex_of("here"), dark=not shown.name.startswith("light"), ansi=shown.ansi,
        variables={f"tone-{token}": hex_of(token) for token in _TABLE} | _bars(shown, hex_of("rule"), hex_of("bg")),
    )  # fmt: skip


def _bars(shown: Look, bar: str, ground: str) -> dict[str, str]:
    """The scroll bars: context, so a grey; where colours are the terminal's own, none at all."""
    if shown.ansi:
        return _OWN_COLOURS
    bars = dict.fromkeys(("scrollbar", "scrollbar-hover", "scrollbar-active"), bar)
    grounds = ("scrollbar-background", "scrollbar-background-hover", "scrollbar-background-active")
    return bars | dict.fromkeys((*grounds, "scrollbar-corner-color"), ground)


_OWN_COLOURS = {
    "ansi-background": "ansi_default", "ansi-foreground": "ansi_default", "border": "ansi_default",
    "border-blurred": "ansi_default", "input-cursor-background": "ansi_default",
    "input-cursor-foreground": "ansi_default", "block-cursor-background": "ansi_default",
    "input-selection-background": "ansi_default", "input-selection-foreground": "ansi_default",
    "scrollbar": "ansi_default", "scrollbar-hover": "ansi_default", "scrollbar-active": "ansi_default",
    "scrollbar-background": "ansi_default", "scrollbar-background-hover": "ansi_default",
    "scrollbar-background-active": "ansi_default",
}  # fmt: skip
"""What Textual's own widgets ask of a theme that leaves all colours to the terminal."""
_ANSI = (
    "black", "red", "green", "yellow", "blue", "magenta", "cyan", "white", "bright_black", "bright_red", "bright_green",
    "bright_yellow", "bright_blue", "bright_magenta", "bright_cyan", "bright_white",
)  # fmt: skip
