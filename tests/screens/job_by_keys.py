"""One whole job as keys: what a shop types from a new ticket to the printed copy, and what it sees on the way.

The pilot and tmux drive the same steps. A step is one of

    ("press", keys...)   keys by their names
    ("line", text)       text and Enter
    ("type", text)       text alone
    ("see", words)       wait until the words stand on the screen, whatever the line breaks
"""

Step = tuple[str, ...]

OPENING: tuple[Step, ...] = (
    ("see", "Jobs"),
    ("press", "ctrl+n"),
    ("see", "New ticket"),
    ("type", "SMC 033"),
    ("press", "enter"),
    ("type", "Dunmarrow 28 coach, 7.0 diesel"),
    ("press", "enter", "enter"),
    ("type", "160480 km"),
    ("press", "enter"),
    ("type", "Sandmere Coaches"),
    ("press", "enter"),
    ("type", "555-0128"),
    ("press", "ctrl+s"),
    ("see", "1024 SMC 033"),
)

DIAGNOSIS: tuple[Step, ...] = (
    ("line", "says: fan roars all the time, message on the dash since Tuesday; worse on hills; reproduced"),
    ("line", "code: P1A30-7B fan control, stored"),
    ("see", "P1A30"),
    ("line", "fan-drive reservoir level -14 mm (-3 to 0 per maker)"),
    ("see", "low"),
    ("line", "engine oil level +6 mm (-5 to 0 per maker), smells of fan-drive fluid"),
    ("line", "fan-drive housing and hoses dry after 20 min at idle"),
    ("line", "ruled: outside leak; housing and hoses are dry; from 5"),
    ("line", "cause: fluid passes the shaft seal between fan drive and engine; likely; from 3 4"),
    (
        "line",
        "offer: change engine oil, refill and bleed fan drive; for 3 4; do now; hours 1.2; parts 67.39; est 235.39",
    ),
    ("see", "offer"),
)

PHONE: tuple[Step, ...] = (
    ("press", "alt+c"),
    ("see", "read aloud"),
    ("see", "235.39"),
    ("press", "y"),
    ("see", "yes 8; total 235.39"),
    ("press", "enter"),
    ("see", "1024 SMC 033"),
)

REPAIR: tuple[Step, ...] = (
    ("line", "did: 1.2 h change engine oil, refill and bleed fan drive; for 8; rate truck"),
    ("line", "used: 5.2 L 10W-40 engine oil @ 8.90/L"),
    ("line", "used: 0.9 L FD-46 fan-drive fluid @ 21.40/L"),
    ("line", "used: 1 x DW-022 drain washer, new @ 1.85"),
    ("line", "proof: 3 now -1 mm"),
    ("see", "proved"),
    ("line", "proof: 4 now -2 mm"),
    ("line", "proof: codes cleared, road test 14 km with one long hill, fan quiet, codes read again, none stored"),
    (
        "line",
        "later: replace shaft seal between fan drive and engine; may wait; because it may have seeped slowly over"
        " 160,000 km; risk: fan may stop on a hill; watch: fan message comes back; in 1500 km or 2 months; est 640;"
        " for 3 4",
    ),
    ("line", "# seal kit is a two-day order"),
    ("see", "two-day order"),
)

ENDING: tuple[Step, ...] = (
    ("press", "ctrl+t"),
    ("see", "story for the"),
    ("see", "P1A30"),
    ("press", "alt+w"),
    ("see", "Write out ticket 1024"),
    ("press", "down", "p"),
    ("see", "ticket-1024-customer.pdf"),
    ("press", "ctrl+s"),
    ("see", "story for the"),
    ("press", "escape"),
    ("see", "1024 SMC 033"),
    ("press", "f12"),
    ("see", "Sign ticket 1024"),
    ("press", "f12"),
    ("see", "signed 235.39 agreed"),
)

WHOLE: tuple[Step, ...] = OPENING + DIAGNOSIS + PHONE + REPAIR + ENDING
