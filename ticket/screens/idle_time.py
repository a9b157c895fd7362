"""How long nobody has touched a terminal, and whether that is long enough to lock it."""

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ticket.shop.opening import Shop


_PAUSE = 1.0


class IdleTime:
    """How long nobody has touched this terminal."""

    def __init__(self) -> None:
        self._since = time.monotonic()

    def touched(self) -> None:
        """A key or the mouse."""
        self._since = time.monotonic()

    def is_pause(self) -> bool:
        """Whether nobody has touched it for a moment: what would stall a key may be done now."""
        return time.monotonic() - self._since > _PAUSE

    def too_long(self, shop: "Shop") -> bool:
        """Whether the screens should be locked by now: never in a shop without PINs."""
        minutes = shop.settings.lock_minutes
        if not minutes or time.monotonic() - self._since < minutes * 60:
            return False
        return bool(shop.gate.known())
