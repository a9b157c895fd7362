"""The shop's settings and staff from the shell."""

import argparse
import dataclasses

from ticket.cli.opening import open_shop
from ticket.cli.output import say, say_json
from ticket.job.case import Settings
from ticket.job.codec import decode
from ticket.job.errors import DataError, InputError
from ticket.job.ticket import ROLES, Person


def shop(options: argparse.Namespace) -> None:
    """Read or change settings and staff."""
    with open_shop(options) as opened:
        if options.key == "person":
            if not options.value:
                raise InputError("Name the person: ticket shop person 'K. Orlo' technician.")
            role = options.value[1] if len(options.value) > 1 else ROLES[0]
            if role not in ROLES:
                raise InputError(f"{role!r} is no role: {', '.join(ROLES)}.")
            opened.add_person(Person(options.value[0], role))
        elif options.key is not None:
            known = {item.name: item for item in dataclasses.fields(Settings)}
            if options.key not in known:
                raise InputError(f"There is no setting {options.key!r}: {', '.join(known)}, person.")
            if options.value:
                opened.set_setting(options.key, _value(options.key, options.value))
        settings, people = opened.settings, opened.people
    shown = dataclasses.asdict(settings)
    if options.key and options.key != "person":
        shown = {options.key: shown[options.key]}
    if options.json:
        say_json({"settings": shown, "people": [dataclasses.asdict(person) for person in people]})
        return
    for name, value in shown.items():
        say(f"{name:<14} {', '.join(value) if isinstance(value, tuple) else value}")
    if not options.key or options.key == "person":
        for person in people:
            say(f"person         {person.name} ({person.role})")


def _value(key: str, words: list[str]) -> object:
    """The typed words as the setting's type, checked by the same decoder that reads the database."""
    default = getattr(Settings(), key)
    text = " ".join(words)
    value: object = text
    if isinstance(default, tuple):
        value = [part.strip() for word in words for part in word.split(",") if part.strip()]
    elif isinstance(default, int):
        if not text.isascii() or not text.isdigit():
            raise InputError(f"{key} is a whole number, not {text!r}.")
        value = int(text)
    try:
        decode(Settings, {key: value})
    except DataError as error:
        raise InputError(f"{key} {error.reason}.") from None
    return value
