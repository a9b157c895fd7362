"""What a ticket waits for, in one word each; forms and lists tell the states of a ticket by them."""

WAITS_FOR = {
    "open": "nobody", "waiting for approval": "approval", "waiting for parts": "parts", "ready": "pick-up",
}  # fmt: skip
"""Every state of a ticket that is not signed."""
ANSWERED = ("waiting for approval",)
"""States in which somebody outside the shop must answer."""
