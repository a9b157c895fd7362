"""Questions that take longer than a key may wait: asked on a thread of their own, with a connection of its own."""

import asyncio
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

Answer = TypeVar("Answer")
_TURN = 0.001  # seconds this thread may work while the screen's wants its turn; Python's own 0.005 can be felt


class Behind:
    """One thread that holds its own open shop; it only asks, so nothing on the screen depends on its order.

    Args:
        open_shop: opens the shop; called on the thread, at the first question.
    """

    def __init__(self, open_shop: "Callable[[], Shop]") -> None:
        self._open_shop = open_shop
        self._shop: Shop | None = None
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="behind")
        self._closed = False

    async def ask(self, question: "Callable[[Shop], Answer]") -> Answer:
        """The answer, when the thread has it. Raises what the question raises; once closed, nothing is asked."""
        if self._closed:
            raise asyncio.CancelledError
        answer = copy_context().run  # whoever listens here hears how far the work on the thread is
        return await asyncio.get_running_loop().run_in_executor(self._thread, answer, self._answer, question)

    def _answer(self, question: "Callable[[Shop], Answer]") -> Answer:
        if self._closed:
            raise asyncio.CancelledError
        if self._shop is None:
            sys.setswitchinterval(_TURN)
            self._shop = self._open_shop()
        self._shop.refresh()
        return question(self._shop)

    def close(self) -> None:
        """Close its shop, on the thread that opened it; questions that still wait are dropped."""
        if not self._closed:
            self._closed = True
            self._thread.submit(self._end).result()
            self._thread.shutdown()

    def _end(self) -> None:
        if self._shop is not None:
            self._shop.close()
            self._shop = None
