"""What holds other widgets and has nothing of its own to draw: its lines are the ground, made at once.

Textual asks every widget of the screen for its lines whenever one of them changed, and makes them through borders,
titles and opacity that these have none of.
"""

from textual.containers import Horizontal
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from ticket.screens.look import look_on


def filtered(widget: Widget, strips: list[Strip]) -> list[Strip]:
    """Lines as this terminal may show them: without colours, or with its own, where it wants so."""
    shown = look_on(widget.app)
    if shown.ground is None:  # the same behind all of them, and worked out through all that holds a widget
        shown.ground = widget.background_colors[1]
    for one in widget.get_line_filters():
        strips = [strip.apply_filter(one, shown.ground) for strip in strips]
    return strips


def blank_lines(widget: Widget, crop: Region) -> list[Strip]:
    """As many lines of nothing but the ground as are asked for."""
    return filtered(widget, [Strip.blank(crop.width, look_on(widget.app).styles["bg"])]) * crop.height


class Band(Horizontal):
    """Widgets beside each other."""

    def render_lines(self, crop: Region) -> list[Strip]:
        """Nothing: the widgets cover it."""
        return blank_lines(self, crop)
