"""Documents of a large load are read by several processes; one alone writes. Rows are the same whoever makes them."""

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from typing import Any

from ticket.job.errors import StoreError
from ticket.shop.arriving import Came, read_document
from ticket.store.arrivals import Making

FEW = 500
"""So many documents are read here: starting other processes takes longer."""
_CHUNK = 50  # documents handed over at once

Sent = list[tuple[str, Any, bytes]]


def read_all(
    documents: Iterable[tuple[str, Any]], seed: Callable[[], bytes], made_with: Making, trusted: Mapping[str, str],
    workers: int,
) -> Generator[Came, None, None]:  # fmt: skip
    """The tickets of some documents in their order.

    Args:
        documents: each behind what to call it.
        seed: a new one for each ticket.
        made_with: what the rows of this load are made with.
        trusted: the shops whose keys are known here, by the names of the keys.
        workers: how many other processes may read where there are many documents.

    Raises:
        InputError: naming document, place and reason.
    """
    sent = ((name, document, seed()) for name, document in documents)
    first = list(islice(sent, FEW + 1)) if workers else []
    pool = _pool(workers, made_with, trusted) if len(first) > FEW else None
    if pool is None:
        yield from (read_document(*one, made_with, trusted) for part in (first, sent) for one in part)
    else:
        yield from _read_by(pool, _chunks(first, sent), 2 * workers)


def _chunks(first: Sent, more: Iterator[tuple[str, Any, bytes]]) -> Iterator[Sent]:
    for at in range(0, len(first), _CHUNK):
        yield first[at : at + _CHUNK]
    while chunk := list(islice(more, _CHUNK)):
        yield chunk


def _pool(workers: int, made_with: Making, trusted: Mapping[str, str]) -> ProcessPoolExecutor | None:
    """Processes that read; ``None`` on a machine that has no means for them, such as shared memory.

    They are spawned, not forked: a fork would hold the lock and the open file of the database.
    """
    context = multiprocessing.get_context("spawn")
    try:
        return ProcessPoolExecutor(workers, context, initializer=_begin, initargs=(made_with, dict(trusted)))
    except (ImportError, NotImplementedError, OSError):
        return None


def _read_by(pool: ProcessPoolExecutor, chunks: Iterator[Sent], ahead: int) -> Iterator[Came]:
    """What others read, in its order; ``ahead``: so many pieces of work are handed out before one is waited for."""
    try:
        under_way: deque[Future[list[Came]]] = deque()
        for chunk in chunks:
            under_way.append(pool.submit(_read, chunk))
            if len(under_way) > ahead:
                yield from under_way.popleft().result()
        while under_way:
            yield from under_way.popleft().result()
    except BrokenProcessPool:
        raise StoreError(
            "a process that was reading the documents was ended from outside; nothing was loaded: load them again"
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


_given: tuple[Making, Mapping[str, str]] | None = None


def _begin(made_with: Making, trusted: Mapping[str, str]) -> None:
    """What every document of this load needs; an interrupt is for the process that started this one."""
    global _given  # noqa: PLW0603 - a worker process has no other place for what it is given once
    _given = made_with, trusted
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A process whose parent was killed would wait for work for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _read(chunk: Sent) -> list[Came]:
    if _given is None:
        raise RuntimeError("this process was not begun")
    return [read_document(*one, *_given) for one in chunk]
