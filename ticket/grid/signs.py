"""The signs of the rows, each with the word it stands for, and what a terminal without them shows instead."""

LOW, HIGH, IN, UNJUDGED, UNREAD, PROVED, STRUCK = "▼", "▲", "·", "~", "?", "✓", "×"
HERE, BACK, AMENDED, PICTURE, WAITS, INSIDE, UNSAFE, REWORDED = "›", "«", "±", "▣", "○", "#", "!", "r"
RULE, HEAVY, BAR = "─", "━", "│"

INK_OF = {
    LOW: "bad", HIGH: "bad", UNSAFE: "bad", UNJUDGED: "ask", UNREAD: "ask", PROVED: "fact", HERE: "strong",
}  # fmt: skip
"""The ink of each sign; every other one is quiet."""

WORDS = {
    LOW: "low", HIGH: "high", IN: "in limits", UNJUDGED: "not judged", UNREAD: "asks, or unread",
    PROVED: "proved, agreed",
    STRUCK: "struck", HERE: "you are here", BACK: "came back", AMENDED: "amended, or amends", PICTURE: "picture",
    WAITS: "waits", INSIDE: "shop only", UNSAFE: "late, unsafe", REWORDED: "reworded by hand",
}  # fmt: skip

WORST = (UNREAD, UNSAFE, LOW, HIGH, UNJUDGED, PROVED, IN)
"""Which sign of several stands in the first column."""
QUIET = (BACK, AMENDED, PICTURE, WAITS, INSIDE)
"""Which of several stands in the last column."""

_PAIRS = {
    LOW: "v", HIGH: "^", IN: ".", PROVED: "*", STRUCK: "x", HERE: ">", BACK: "<", AMENDED: "&", PICTURE: "p",
    WAITS: "w", RULE: "-", HEAVY: "=", BAR: "|", "├": "|", "┤": "|", "●": "o", "┊": ":",
    "“": '"', "”": '"', "‘": "'", "’": "'", "−": "-", "–": "-", "—": "-", "…": "+", "→": ">", "←": "<", "↑": "^",
    "↓": "v", "█": "#", "▓": "*", "▒": ":", "░": ".",
}  # fmt: skip
LETTERS = str.maketrans(_PAIRS)
"""Every drawn sign as one plain character, for terminals that have no others; the grid keeps its columns."""


def worst(signs: "list[str] | tuple[str, ...]") -> str:
    """The sign that stands for several; empty where there is none."""
    return next((sign for sign in WORST if sign in signs), "")
