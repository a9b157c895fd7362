"""The phrasebook from the shell: what waits for a wording, take one, teach a word, search, take back, trade books."""

import argparse
import textwrap
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from ticket.cli.open_shop import open_shop
from ticket.cli.output import hand_out, read_text, remark, say, say_json
from ticket.job.book_entry import SHIPPED, BookEntry
from ticket.job.codec import encode, instant
from ticket.job.errors import InputError
from ticket.job.text import clean, one_line
from ticket.shop import wordings

if TYPE_CHECKING:
    from ticket.assist.suggestions import Offers
    from ticket.shop.opening import Shop
    from ticket.shop.wordings import Waiting

_FLAGS = {
    "take": ("clause", "line", "language"),
    "word": ("told", "plural", "told_plural", "past", "gender", "language"),
    "find": ("language",),
    "export": ("language", "force"),
    "": ("language",),
}
_ALL_FLAGS = ("clause", "line", "told", "plural", "told_plural", "past", "gender", "language", "force")


def phrases(options: argparse.Namespace) -> None:
    """List what waits, or do what the first word says."""
    words = [clean(word) if options.words and options.words[0] != "import" else word for word in options.words]
    verb = words[0] if words and not words[0].isdecimal() else ""
    if verb and verb not in _VERBS:
        raise InputError(f"{one_line(verb)!r} is nothing to do with phrases: {', '.join(_VERBS)}, or a ticket number.")
    for flag in _ALL_FLAGS:
        if getattr(options, flag) and flag not in _FLAGS.get(verb, ()):
            raise InputError(f"--{flag.replace('_', '-')} does not belong there: see ticket phrases --help.")
    with open_shop(options) as shop:
        if verb:
            _VERBS[verb](options, shop, words[1:])
        else:
            _waiting(options, shop, _one(words, "one ticket number") if words else None)


def _one(words: list[str], what: str) -> int:
    if len(words) != 1 or not words[0].isascii() or not words[0].isdecimal() or not 0 < int(words[0][:18]) < 2**53:
        raise InputError(f"Name {what}: see ticket phrases --help.")
    return int(words[0])


# -- what waits ------------------------------------------------------------------------------------------------------


def _waiting(options: argparse.Namespace, shop: "Shop", number: int | None) -> None:
    from ticket.shop.wordings import offers_for, waiting

    found = waiting(shop, number, options.language)
    clashes = wordings.clashing(shop, options.language)
    offered = {
        (one.ticket, one.note.place): offers_for(shop, one.ticket, one.note, options.language)
        for one in (found if number is not None else ())
    }
    if options.json:
        said = [_waiting_json(one, offered.get((one.ticket, one.note.place))) for one in found]
        say_json({"waiting": said, "clashes": [[_json(one), _json(other)] for one, other in clashes]})
        return
    for one in found:
        _say_note(one, offered.get((one.ticket, one.note.place)))
    if not found:
        say("Nothing waits for a wording." if number is None else f"Ticket {number} tells nothing as it was typed.")
    for kept, other in clashes:
        _paragraph(
            f"Neither is told, because both fit: “{kept.typed}” as “{kept.told}” ({_whose(kept)}), as “{other.told}”"
            f" ({_whose(other)})."
        )
    for failed in dict.fromkeys(reason for one in offered.values() for reason in one.failed):
        remark(failed)


def _say_note(one: "Waiting", offered: "Offers | None") -> None:
    note = one.note
    name = f"{one.ticket}/{note.no}"
    rows = [f"{name:<9} {note.where:<8} {note.line}"]
    rows += [f"not listed: {', '.join(note.unlisted)}"] if note.unlisted else []
    for offer in offered.offers if offered else ():
        doubt = f" (if “{note.line[offer.start : offer.end]}” means that)" if offer.end else ""
        rows.append(f"{offer.source}: {offer.text}{doubt}")
    for i, row in enumerate(rows):
        lead = " " * 19 if i else ""
        say(textwrap.fill(one_line(row), 96, initial_indent=lead, subsequent_indent=" " * 19, break_long_words=False))


def _waiting_json(one: "Waiting", offered: "Offers | None") -> dict[str, Any]:
    note = one.note
    said: dict[str, Any] = {
        "ticket": one.ticket, "entry": note.no, "field": note.field, "where": note.where, "line": note.line,
        "told": note.sentence.text, "place": note.place, "unlisted": list(note.unlisted),
    }  # fmt: skip
    if offered is not None:
        said["offers"] = [
            {"text": offer.text, "source": offer.source} | ({"doubt": [offer.start, offer.end]} if offer.end else {})
            for offer in offered.offers
        ]
        said["failed"] = list(offered.failed)
    return said


# -- taking, teaching ------------------------------------------------------------------------------------------------


def _take(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    if len(words) == 1 and words[0].isdecimal():
        _say_entry(options, wordings.let_in(shop, _one(words, "an entry of the phrasebook")), "Told from now on")
        return
    if len(words) != 2:
        raise InputError("Name the note and its wording, such as ticket phrases take 31/4 'The pump held 118 psi.'")
    number, no, field = _place(words[0])
    size = wordings.CLAUSE if options.clause else wordings.LINE if options.line else ""
    taken = wordings.take(
        shop, number, no, words[1], field=field, size=size, language=options.language, unproved=options.keep
    )
    if options.json:
        wording = {"ticket": number, "entry": no, "original": taken.rewording.original, "text": taken.rewording.text}
        say_json({"taken": wording, "kept": _json(taken.kept) if taken.kept else None})
        return
    say(f"Ticket {number} says so now: {one_line(taken.rewording.text)}")
    if taken.kept:
        _say_entry(options, taken.kept, "Kept for every ticket")


def _place(text: str) -> tuple[int, int, str]:
    """Ticket, entry and field of ``31/4`` or ``31/4/risk``."""
    number, _, rest = text.partition("/")
    no, _, field = rest.partition("/")
    if not all(one.isascii() and one.isdecimal() and len(one) < 16 for one in (number, no)):
        raise InputError(f"{one_line(text)!r} names no note: write ticket and entry, such as 31/4.")
    return int(number), int(no), field


def _word(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    if len(words) != 2:
        raise InputError("Name the word and what it is, such as ticket phrases word swivel thing.")
    made = wordings.teach(
        shop, words[0], words[1], told=options.told, plural=options.plural, told_plural=options.told_plural,
        past=options.past, gender=options.gender, language=options.language,
    )  # fmt: skip
    _say_entry(options, made, "Kept for every ticket")


def _back(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    made = wordings.take_back(shop, _one(words, "one entry of the phrasebook, such as ticket phrases back 17"))
    _say_entry(options, made, "Taken back; signed tickets keep it")


def _find(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    found = wordings.search(shop, " ".join(words), options.language)
    if options.json:
        say_json({"entries": [_json(one) for one in found]})
        return
    for one in found:
        _paragraph(_words(one))
    if not found:
        say("The phrasebook holds nothing of the kind.")


# -- trading ---------------------------------------------------------------------------------------------------------


def _export(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    if len(words) != 1:
        raise InputError("Name the file, or - for standard output: ticket phrases export book.po")
    text = wordings.exported(shop, options.language)
    if words[0] == "-":
        say(text.rstrip("\n"))
        return
    options.output = words[0]
    hand_out(options, text.encode())
    remark(f"The shop's phrasebook is in {one_line(words[0])}.")


def _import(options: argparse.Namespace, shop: "Shop", words: list[str]) -> None:
    if len(words) != 1:
        raise InputError("Name the file, or - for standard input: ticket phrases import book.po")
    made, there = wordings.imported(shop, read_text(words[0]), words[0])
    if options.json:
        say_json({"in_file": there, "entries": [_json(one) for one in made]})
        return
    say(f"{len(made)} of {there} entries are new. None is told before somebody has looked at it: ticket phrases take N")
    for one in made:
        _paragraph(_words(one))


# -- entries ---------------------------------------------------------------------------------------------------------


def _say_entry(options: argparse.Namespace, one: BookEntry, done: str) -> None:
    if options.json:
        say_json({"entry": _json(one)})
    else:
        _paragraph(f"{done}: {_words(one)}")


def _json(one: BookEntry) -> dict[str, Any]:
    said: dict[str, Any] = {
        name: value for name, value in encode(one).items() if name not in ("since", "until", "at", "back_at")
    }
    said |= {name: instant(at) for name, at in (("at", one.at), ("back_at", one.back_at)) if at}
    return said | {"no": one.no, "state": one.state, "shipped": one.no == SHIPPED}


def _words(one: BookEntry) -> str:
    plural = f", {one.plural}" if one.plural else ""
    told = one.told + (f", {one.told_plural}" if one.told_plural else "")
    number = f"{one.no}  " if one.no else ""
    return f"{number}{one.language} {one.where} {one.size}: “{one.typed}{plural}” as “{told}” ({_whose(one)})"


def _whose(one: BookEntry) -> str:
    if one.no == SHIPPED:
        return "came with the program"
    day = instant(one.at)[:10] if one.at else ""
    taken = f"by {one.by}, {day}" + (f", ticket {one.ticket}" if one.ticket else "")
    if one.state == "waiting":
        return f"imported {taken}, not looked at, not told" + (f"; {one.origin}" if one.origin else "")
    if one.state == "back":
        return f"{taken}; taken back by {one.back_by}, {instant(one.back_at)[:10] if one.back_at else ''}"
    return taken + (f"; from another book: {one.origin}" if one.origin else "")


def _paragraph(text: str) -> None:
    say(textwrap.fill(one_line(text), 96, subsequent_indent="    ", break_long_words=False))


_VERBS: dict[str, Callable[[argparse.Namespace, "Shop", list[str]], None]] = {
    "take": _take, "word": _word, "find": _find, "back": _back, "export": _export, "import": _import,
}  # fmt: skip
