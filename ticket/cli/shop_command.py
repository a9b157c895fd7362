"""The shop's settings and staff from the shell."""

import argparse
import dataclasses
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module

from ticket.cli.open_shop import made_words, no_shop, open_or_make, open_shop
from ticket.cli.output import read_text, say, say_json, say_taken
from ticket.job.case import Settings
from ticket.job.errors import InputError
from ticket.job.roles import ROLES
from ticket.job.ticket import Person
from ticket.machine.environment import database_path, person_name
from ticket.shop.opening import Shop
from ticket.store import sharing
from ticket.store.signed_heads import shown as shown_key


def shop(options: argparse.Namespace) -> int:
    """Start a shop; read or change settings, staff, price list and local rules; print the keys of the screens."""
    _flags_fit(options)
    if options.start is not None:
        _start(options)
        return 0
    if options.key in _APART:
        return _APART[options.key](options) or 0
    with open_shop(options) as opened:
        if options.key == "person":
            _add_person(opened, options.value)
        elif options.key is not None:
            _set(opened, options.key, options.value)
        settings, people = opened.settings, opened.people
        pins, extras = opened.gate.known().promises, opened.kept.extras
    shown = dataclasses.asdict(settings)
    if options.key and options.key != "person":
        shown = {options.key: shown[options.key]}
    if options.json:
        say_json({"settings": shown, "people": [_facts(person, pins) for person in people], "extras": list(extras)})
    else:
        _tell(shown, people if options.key in (None, "person") else (), pins)
        for words in extras if options.key in (None, "extras") else ():
            say(f"{'found':<14} {words}")
    return 0


def _tell(shown: Mapping[str, object], people: Sequence[Person], pins: Mapping[str, str]) -> None:
    for name, value in shown.items():
        say(f"{name:<14} {', '.join(value) if isinstance(value, tuple) else value}")
    for person in people:
        say(f"person         {person.name} ({person.role}{', PIN' if person.name in pins else ''})")


def _facts(person: Person, pins: Mapping[str, str]) -> dict[str, object]:
    """A person; whether there is a PIN is told in a shop that has one."""
    return dataclasses.asdict(person) | ({"pin": person.name in pins} if pins else {})


def _flags_fit(options: argparse.Namespace) -> None:
    if options.key != "pin" and any((options.remove, options.recover, options.reset)):
        raise InputError("--remove, --recover and --reset belong to PINs: ticket shop pin --help.")
    if options.key != "key" and (options.new or options.why):
        raise InputError("--new and --why belong to the keys that sign: ticket shop key --help.")
    if options.key != "limits" and (options.proposed or options.keep is not None):
        raise InputError("--proposed and --keep belong to the limits book: ticket shop limits --proposed.")


def _limits(options: argparse.Namespace) -> None:
    from ticket.cli.limits_command import limits

    limits(options)


def _pin(options: argparse.Namespace) -> None:
    from ticket.cli.pin_command import pin

    pin(options)


def _key(options: argparse.Namespace) -> None:
    from ticket.cli.key_command import key

    key(options)


def _start(options: argparse.Namespace) -> None:
    """Make a shop where there is none, under a name if one is given."""
    from ticket.shop.settings import checked, start

    path, person = database_path(options.db), person_name(options.by)
    if options.key:
        raise InputError("Start the shop first, and set what you like behind that: ticket shop --start 'NAME'.")
    if not no_shop(options):
        raise InputError(f"There is a shop at {path} already; nothing was changed.")
    checked(person, {"shop": options.start})
    with open_or_make(options, tell=False) as (made, _):
        start(made, person, {"shop": options.start})
    if options.json:
        say_json({"made_shop": str(path.absolute()), "shop": options.start, "person": person})
    else:
        say(made_words(path))


def _group(options: argparse.Namespace) -> None:
    """Who may open the shop's files; share them with a group, or with nobody."""
    path = database_path(options.db)
    with open_shop(options):  # what is no shop is left alone
        pass
    if options.value:
        sharing.share(path, " ".join(options.value), readable=options.readable)
    name, readable = sharing.group_of(path), sharing.read_by_all(path)
    if options.json:
        say_json({"group": name or None, "readable": readable, "database": str(path.absolute())})
    else:
        who = f"the members of the group {name}" if name else "its owner alone"
        more = ", and read by every login of this machine, customers' names too" if readable else ""
        say(f"{path} may be opened by {who}{more}.")


def _add_person(opened: Shop, words: list[str]) -> None:
    from ticket.shop.settings import add_person

    if not words:
        raise InputError("Name the person: ticket shop person 'K. Orlo' technician.")
    role = words[1] if len(words) > 1 else ROLES[0]
    if role not in ROLES:
        raise InputError(f"{role!r} is no role: {', '.join(ROLES)}.")
    add_person(opened, Person(words[0], role))


def _set(opened: Shop, key: str, words: list[str]) -> None:
    known = [item.name for item in dataclasses.fields(Settings)]
    if key not in known:
        raise InputError(f"There is no setting {key!r}: {', '.join((*known, 'person', *_APART))}.")
    if words:
        from ticket.shop.settings import put

        several = isinstance(getattr(Settings(), key), tuple)
        put(opened, f"setting/{key}", (", " if several else " ").join(words))


def _glossary(options: argparse.Namespace) -> None:
    """List the shop's own words, or keep or forget one."""
    with open_shop(options) as opened:
        if options.value:
            _take_terms(opened, " ".join(options.value))
        terms = opened.kept.terms
    if options.json:
        say_json({"glossary": [{"term": term, "plain": plain} for term, plain in terms]})
        return
    for term, plain in terms:
        say(f"{term} = {plain}")
    if not terms:
        say("No words of the shop's own yet: ticket shop glossary 'VGT = turbo with moving vanes'")


def _pairs(options: argparse.Namespace) -> None:
    """List words the shop calls one, or what it says of its checks; keep or forget one."""
    from ticket.shop.settings import PAIRS, keep_pair

    with open_shop(options) as opened:
        if options.value:
            keep_pair(opened, options.key, " ".join(options.value))
        held = opened.kept.pairs[options.key]
    if options.json:
        say_json({options.key: [list(pair) for pair in held]})
        return
    for one, other in held:
        say(f"{one} = {other}")
    if not held:
        say(f"None yet: {PAIRS[options.key]}")


def _take_terms(opened: Shop, typed: str) -> None:
    """Keep the term of one line, or those of a file, where no sign stands in what was typed; all or none."""
    from ticket.language.term_line import lines_of, read_term
    from ticket.shop.settings import ADD, put

    lines = [(0, typed)] if "=" in typed else lines_of(read_text(typed, short=True))
    for no, line in lines:
        try:
            read_term(line)
        except InputError as error:
            raise InputError(f"{typed}, line {no}: {error} Nothing was kept." if no else str(error)) from None
    for _, line in lines:
        put(opened, f"term/{ADD}", line)


def _document(options: argparse.Namespace) -> None:
    """Print the price list or a pack of local rules, or take one in from a file."""
    from ticket.shop import money

    given = " ".join(options.value)
    with open_shop(options) as opened:
        if options.key == "prices":
            if not given:
                say_json(money.shown_prices(opened))
                return
            taken = money.set_prices(opened, read_text(given, short=True), given)
            rates = ", ".join(rate.name for rate in taken.rates)
            doubts = list(money.price_doubts(taken, money.pack(opened)))
            told = f"The price list is taken in: {len(taken.rates)} rates ({rates}), {len(taken.parts)} parts."
            say_taken(options, "prices", given, told, doubts)
        elif not given:
            named = [(identity, money.find_pack(opened, identity).name) for identity in money.packs(opened)]
            if options.json:
                say_json([{"id": identity, "name": name} for identity, name in named])
            else:
                for identity, name in named:
                    say(f"{identity:<10} {name}")
        elif given in money.packs(opened):
            say_json(money.shown_pack(money.find_pack(opened, given)))
        else:
            own = money.set_pack(opened, read_text(given, short=True), given)
            told = f"The rules {own.id} ({own.name}) are kept. Use them with: ticket shop rules {own.id}"
            say_taken(options, "pack", given, told)


def _trust(options: argparse.Namespace) -> None:
    """List the public keys of other shops, or take one in."""
    with open_shop(options) as opened:
        if len(options.value) > 1:
            opened.gate.permit(opened.person, "keys")
            opened.store.proofs.trust(options.value[0], " ".join(options.value[1:]), opened.person)
        elif options.value:
            raise InputError("Name the shop behind its public key: ticket shop trust KEY NAME.")
        known = opened.store.proofs.trusted()
    if options.json:
        say_json({"trusted": known})
        return
    for key, name in known.items():
        say(f"{shown_key(key)}  {name}")
    if not known:
        say("No other shop's key was taken in: what comes from elsewhere is an unverified copy.")


def _apart(name: str, module: str = "check_file_command") -> Callable[[argparse.Namespace], int]:
    """What is about a file, and needs no shop."""

    def run(options: argparse.Namespace) -> int:
        return int(getattr(import_module(f"ticket.cli.{module}"), name)(options) or 0)

    return run


_APART: dict[str, Callable[[argparse.Namespace], int | None]] = {
    "check": _apart("check"), "example": _apart("example"), "keys": _apart("keys", "keys_command"),
    "trust": _trust, "glossary": _glossary, "synonyms": _pairs, "checks": _pairs,
    "prices": _document, "pack": _document, "limits": _limits, "group": _group,
    "pin": _pin, "key": _key,
}  # fmt: skip
