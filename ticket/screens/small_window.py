"""A window too small for any page says what it needs, and keeps the line that is being typed in sight."""

from textual.screen import Screen

from ticket.grid.rows import Row, Span, wrap
from ticket.screens.page import Page

LEAST = (48, 14)
"""Columns and rows below which nothing but one sentence is shown."""
CSS = """
#small { display: none; }
Screen.small > * { display: none; }
Screen.small > #small { display: block; height: 1fr; }
Screen.small > .line { display: block; }
"""


def fit_window(screen: Screen[None]) -> None:
    """Show the one sentence instead of the page where the window is too small, or the page again."""
    columns, rows = screen.size
    small = columns < LEAST[0] or rows < LEAST[1]
    if small == screen.has_class("small") and not small:
        return
    screen.set_class(small, "small")
    if not small:
        return
    if not screen.query("#small"):
        page = Page(id="small", pointer=False)
        page.styles.scrollbar_size_vertical = 0
        screen.mount(page, before=0)
    for page in screen.query("#small").results(Page):  # none where the screen is just going down
        page.show(small_rows(columns, rows))


def small_rows(columns: int, rows: int) -> list[Row]:
    """The sentence, as wide as the window is."""
    said = f"The window is {columns}x{rows}; ticket needs {LEAST[0]}x{LEAST[1]}. Your line is kept."
    return [Row((Span(" "), *row.spans)) for row in wrap((Span(said),), max(columns - 2, 8))]
