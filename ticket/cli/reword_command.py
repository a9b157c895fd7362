"""The command that puts a sentence of a story into the writer's own words."""

import argparse
import textwrap
from typing import Any

from ticket.assist.rewording_ground import UnprovedError, Wording
from ticket.cli.open_shop import open_shop
from ticket.cli.output import say, say_json
from ticket.job.codec import instant
from ticket.job.errors import InputError
from ticket.job.reworded_sentence import Rewording
from ticket.job.text import clean, one_line
from ticket.shop.opening import Shop
from ticket.shop.own_words import outdated, reword, unreword
from ticket.shop.reading import ticket_of


def reworded(options: argparse.Namespace) -> None:
    """Reword a sentence, take a rewording back, or list them."""
    with open_shop(options) as shop:
        if options.list:
            _listed(options, ticket_of(shop, options.number).rewordings, dict(outdated(shop, options.number)))
            return
        if not options.place or (options.text is None) != options.undo:
            raise InputError("Name the sentence and its new words, or the sentence and --undo; --list shows them all.")
        if options.undo:
            one = unreword(shop, options.number, options.reader, clean(options.place), options.language)
        else:
            one = _kept(options, shop)
    if options.json:
        say_json(_document(one) | ({"taken_back": True} if options.undo else {}))
    else:
        done = "The story's own words stand again" if options.undo else f"The {one.reader}'s story says so now"
        say(f"{done}: {one_line(one.original if options.undo else one.text)}")
        if one.unproved and not options.undo:
            say(f"Kept though it is not proved: {one_line(one.unproved)}")


def _kept(options: argparse.Namespace, shop: Shop) -> Rewording:
    wording = Wording(
        options.reader, clean(options.place), options.text, options.language,
        cites=tuple(options.cites), merges=tuple(options.merges), keep=options.keep,
    )  # fmt: skip
    try:
        return reword(shop, options.number, wording)
    except UnprovedError as error:
        raise UnprovedError(f"{error} Nothing was written; --keep keeps it all the same.") from error


def _listed(
    options: argparse.Namespace, rewordings: tuple[Rewording, ...], stale: dict[Rewording, tuple[str, ...]]
) -> None:  # fmt: skip
    if options.json:
        say_json(
            [
                _document(one) | ({"outdated": True, "changed": list(stale[one])} if one in stale else {})
                for one in rewordings
            ]
        )
        return
    if not rewordings:
        say(f"Nobody reworded a sentence of ticket {options.number}.")
    for one in rewordings:
        say(f"{one.reader}, by {one_line(one.by)} at {instant(one.at)[:16].replace('T', ' ')} UTC" + _why(one, stale))
        was = [("was", one.original), *(("", merged.original) for merged in one.merges)]
        why = [("unproved", one.unproved)] if one.unproved else []
        for lead, text in (*was, ("now", one.text), *why):
            say(textwrap.fill(one_line(text), 78, initial_indent=f"  {lead}  ", subsequent_indent=" " * 7))


def _why(one: Rewording, stale: dict[Rewording, tuple[str, ...]]) -> str:
    if one not in stale:
        return ""
    return f" · outdated, not shown: {', '.join(stale[one]) + ' changed since' if stale[one] else 'the story changed'}"


def _document(one: Rewording) -> dict[str, Any]:
    return {
        "reader": one.reader, "language": one.language, "original": one.original, "text": one.text,
        "sources": [int(source) if source.isdecimal() else source for source in one.sources], "by": one.by,
        "at": instant(one.at),
    } | _further(one)  # fmt: skip


def _further(one: Rewording) -> dict[str, Any]:
    """What most rewordings have not."""
    found: dict[str, Any] = {
        "cites": [int(basis.source) if basis.source.isdecimal() else basis.source for basis in one.cites],
        "merges": [merged.original for merged in one.merges],
        "unproved": one.unproved,
    }
    return {name: value for name, value in found.items() if value}
