"""Wordings offered for a note: from the book, from the program's own reading, from a command that the shop names.

Whoever offers, the judge holds each wording against the entries, and the writer takes it or does not. Nothing outside
the program is called unless the shop's settings name a command; it gets one JSON document on standard input and gives
one back, within a time, and whatever it does the note stays as it is.
"""

import contextlib
import json
import os
import shlex
import signal
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from ticket.job.case import Case
from ticket.job.errors import DataError, InputError
from ticket.job.read_json import read_json
from ticket.job.text import clean, one_line
from ticket.notes.write import write

if TYPE_CHECKING:
    from ticket.story.noted import Noted

SECONDS = 10
MOST = 5  # wordings that one source may offer
_LONGEST = 1_000_000  # bytes of an answer that are read


@dataclass(frozen=True, slots=True)
class Asked:
    """What a source of wordings is asked.

    Attributes:
        case: the ticket with what surrounds it, the shop's phrasebook too.
        note: the note.
        language: of the wording.
    """

    case: Case
    note: "Noted"
    language: str


@dataclass(frozen=True, slots=True)
class Offered:
    """One wording, whose it is, and the word of the typed line that is in doubt, by its place there."""

    text: str
    source: str
    start: int = 0
    end: int = 0


class Suggester(Protocol):
    """Something that offers wordings."""

    def __call__(self, asked: Asked) -> Sequence[Offered]:
        """The wordings it offers for a note; none where it has none.

        Raises:
            InputError: it failed, in one sentence.
        """


@dataclass(frozen=True, slots=True)
class Offers:
    """What was offered, and a sentence for each source that failed."""

    offers: tuple[Offered, ...]
    failed: tuple[str, ...] = ()


def offers(asked: Asked, asking: Sequence[Suggester]) -> Offers:
    """The wordings that the judge does not refuse and that leave nothing of the note out, each once, in order."""
    from ticket.story.judge import REFUSED, judge

    found: dict[str, Offered] = {}
    failed: list[str] = []
    for source in asking:
        try:
            offered = tuple(source(asked))[:MOST]
        except InputError as error:
            failed.append(str(error))
            continue
        for one in offered:
            text = _sentence(one.text)
            whole = asked.note.whole(text)
            answer = judge(asked.case, "customer", asked.note.sentence, whole, asked.language)
            short = any(one.rule == "left out" for one in answer.advice)  # no telling of that note
            if text and whole != asked.note.sentence.original and answer.word != REFUSED and not short:
                found.setdefault(text, replace(one, text=text))
    return Offers(tuple(found.values()), tuple(failed))


def _sentence(text: str) -> str:
    text = " ".join(clean(text).split())
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) or not text else ".")


def from_book(asked: Asked) -> Sequence[Offered]:
    """What the book has for the line, and may not tell by itself: not looked at, kept for another kind, or in doubt."""
    from ticket.language.book import all_of
    from ticket.language.spans import spans

    held = spans(asked.note.line, asked.note.where)
    return tuple(Offered(fit.told, "book") for fit in all_of(asked.case.book).every(held, asked.language))


def from_reading(asked: Asked) -> Sequence[Offered]:
    """What the line would say if the one word in doubt were this or that."""
    from ticket.language.book import book_of
    from ticket.language.doubts import readings

    note = asked.note
    found = readings(note.line, note.where, asked.language, book_of(asked.case.book))
    return tuple(Offered(one.told, "reading", one.start, one.end) for one in found)


@dataclass(frozen=True, slots=True)
class Command:
    """A command of the shop's own, as its settings name it; no shell is asked."""

    command: str
    seconds: float = SECONDS

    def __call__(self, asked: Asked) -> Sequence[Offered]:
        """Its wordings. Raises :class:`InputError` where it fails, takes too long, or answers something else."""
        given = json.dumps(request(asked), ensure_ascii=True).encode()
        try:
            asked_of = subprocess.Popen(  # noqa: S603 - the shop named it
                shlex.split(self.command), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                start_new_session=True,
            )  # fmt: skip
        except (OSError, ValueError, IndexError) as error:
            why = (getattr(error, "strerror", None) or str(error)).lower()
            raise self._failed(f"cannot be started ({one_line(why)})") from None
        try:
            out, told = asked_of.communicate(given, timeout=self.seconds)
        except subprocess.TimeoutExpired:
            _end_all(asked_of)
            raise self._failed(f"gave no answer within {self.seconds:g} s") from None
        except BaseException:
            _end_all(asked_of)
            raise
        if asked_of.returncode:
            said = told.decode("utf-8", "replace").strip().split("\n")[-1]
            raise self._failed(f"ended with {asked_of.returncode}" + (f" ({one_line(said)[:120]})" if said else ""))
        return tuple(Offered(text, "command") for text in self._answer(out))

    def _answer(self, out: bytes) -> list[str]:
        try:
            data = read_json(out[:_LONGEST].decode("utf-8"))
        except (DataError, UnicodeDecodeError):
            raise self._failed("answered something that is no JSON") from None
        found = data.get("suggestions") if isinstance(data, dict) else None
        if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
            raise self._failed('did not answer {"suggestions": ["...", ...]}')
        return found[:MOST]

    def _failed(self, what: str) -> InputError:
        return InputError(
            f"The command for wordings, {one_line(self.command)[:80]!r}, {what}; the note stays as it is. "
            "Change it with ticket shop suggest COMMAND."
        )


def _end_all(asked_of: "subprocess.Popen[bytes]") -> None:
    """End a command and whatever it started, which may hold its pipes."""
    with contextlib.suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(asked_of.pid, signal.SIGKILL)
        else:
            asked_of.kill()
    asked_of.wait()
    for pipe in (asked_of.stdin, asked_of.stdout, asked_of.stderr):
        if pipe is not None:
            with contextlib.suppress(OSError):
                pipe.close()


def request(asked: Asked) -> dict[str, object]:
    """What a command is given: the line, how it is told now, and the entries the sentence rests on. No customer."""
    rests = [str(source) for source in asked.note.sentence.sources]
    entries = [entry for entry in asked.case.ticket.living if str(entry.no) in rests and not entry.shop_only]
    return {
        "format": "suggest-1", "language": asked.language, "where": asked.note.where, "line": asked.note.line,
        "told": asked.note.sentence.original, "entries": [write(entry.fact) for entry in entries],
    }  # fmt: skip
