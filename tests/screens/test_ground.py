"""The terminal's ground is read out of what it sends, and nothing that is typed meanwhile is lost.

The forms of the answer are those of the xterm control sequences (OSC 11, "rgb:" with one to four hexadecimal digits a
part, ended by BEL or ST) and of DA1 (ECMA-48 8.3.24, private parameters).
"""

import pytest

from ticket.machine.terminal_ground import Ground, GroundQuestion, ground_in


@pytest.mark.parametrize(
    ("sent", "light", "ahead"),
    [
        ("\x1b]11;rgb:ffff/ffff/ffff\x1b\\\x1b[?62;22c", 1.0, ""),
        ("\x1b]11;rgb:00/00/00\x07\x1b[?6c", 0.0, ""),
        ("\x1b]11;rgb:f/f/f\x07\x1b[?6c", 1.0, ""),
        ("\x1b]11;rgba:0000/ffff/0000/ffff\x1b\\\x1b[?6c", 0.7152, ""),
        ("\x1b[?62c", None, ""),
        ("ab\r\x1b]11;rgb:ffff/ffff/ffff\x1b\\\x1b[?62cc", 1.0, "ab\rc"),
        ("", None, ""),
    ],
)
def test_what_a_terminal_sends_is_read(sent: str, light: float | None, ahead: str) -> None:
    found = ground_in(sent)
    assert found.ahead == ahead
    assert found.light == (None if light is None else pytest.approx(light))


@pytest.mark.parametrize("more", [{"TERM": "dumb"}, {"NO_COLOR": "1"}, {"TICKET_LOOK": "dark"}])
def test_nothing_is_asked_where_the_answer_would_not_matter(more: dict[str, str]) -> None:
    assert GroundQuestion({"TERM": "xterm"} | more).answer() == Ground()
