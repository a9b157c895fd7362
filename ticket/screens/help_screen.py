"""Help for the screen it was asked on: its actions, and the words of the notation with an example each."""

from typing import ClassVar

from ticket.job.kinds import KINDS
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.frame import Reading, bindings
from ticket.screens.rows import Row, Span, row, wrap

_KEYS = 18  # columns of the keys
_EXAMPLES = {
    "says": "says: fan roars all the time, since Tuesday; worse on hills",
    "code": "code: P1A30-7B fan control, stored",
    "found": "found: fan-drive reservoir level -14 mm (-3 to 0 per maker)",
    "maybe": "maybe: air in the fan drive",
    "ruled": "ruled: outside leak; housing and hoses dry after 20 min at idle",
    "cause": "cause: fluid passing the shaft seal; likely; from 3 4",
    "offer": "offer: refill and bleed fan drive; for 3; do now; est 228.40",
    "did": "did: 1.2 h refill and bleed fan drive; for 7; rate engine",
    "used": "used: 0.9 L FD-46 fan-drive fluid @ 21.40/L",
    "later": "later: replace shaft seal; may wait; because it may have seeped slowly; risk: fan may stop; in 1500 km",
    "told": "told: Ada Fenn by phone 555-0134, yes 7; total 228.40",
    "proof": "proof: 3 now -1 mm",
    "note": "# seal kit is a two-day order",
}


def help_rows(subject: str, width: int) -> list[Row]:
    """The help of a screen at a width in cells."""
    rows = [row("Keys", "title")]
    for action in actions_of(subject):
        keys = " or ".join(shown_key(key) for key in keys_of(action))
        rows += wrap([Span(f"{keys:<{_KEYS}}  ", "strong"), Span(action.help)], width, rest=" " * (_KEYS + 2))
    if subject == "ticket":
        rows += [Row(), row("The thirteen words", "title")]
        rows += wrap(
            [Span("One fact a line. The word with its colon decides; without one the line is a finding.")], width
        )
        for word, kind in KINDS.items():
            rows += wrap([Span(f"{word:<7}", "strong"), Span(kind.title)], width, rest=" " * 7)
            rows += wrap([Span(_EXAMPLES[word], "quiet")], width, first=" " * 7, rest=" " * 9)
        rows += wrap(
            [Span("A capital before the word names the concern, as in B found: ...; # and a space hides a line.")],
            width,
        )
    return rows


class HelpScreen(Reading):
    """Help, until it is left."""

    subject: ClassVar[str] = "reading"
    BINDINGS = bindings("reading")

    def __init__(self, about: str) -> None:
        super().__init__()
        self.about = about

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.page().show(help_rows(self.about, max(self.size.width - 3, 20)))
        self.top([Span("Help", "title"), Span("  Esc goes back", "quiet")])
        self.hints()
