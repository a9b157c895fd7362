"""Starting a shop: the few things that are asked before the first ticket."""

from ticket.job.case import Settings
from ticket.job.codec import decode
from ticket.job.errors import DataError, InputError
from ticket.job.text import clean
from ticket.job.ticket import Person
from ticket.shop.shop import Shop
from ticket.story.sections.files import known

ASKED = ("shop", "distance", "language")  # settings the first screen asks; all others have sensible defaults


def start(shop: Shop, person: str, settings: dict[str, str]) -> None:
    """Set what a new shop was asked, and who sits here; what is left out keeps its default.

    Args:
        shop: the open shop; from now on it works under the person's name.
        person: who starts it.
        settings: texts by the names in :data:`ASKED`.

    Raises:
        InputError: no name, or a setting that cannot be; nothing is written.
    """
    name, given = checked(person, settings)
    shop.person = name
    shop.add_person(Person(name))
    for key, value in given.items():
        shop.set_setting(key, value)


def checked(person: str, settings: dict[str, str]) -> tuple[str, dict[str, str]]:
    """The name and the settings that were given, cleaned. Arguments and errors as for :func:`start`."""
    name = clean(person).strip()
    if not name:
        raise InputError("Say who you are: every entry carries the name of who wrote it.")
    given = {key: clean(settings[key]).strip() for key in ASKED if settings.get(key, "").strip()}
    for key, value in given.items():
        try:
            decode(Settings, {key: value})
        except DataError as error:
            raise InputError(f"{key} {error.reason}.") from None
    if "language" in given:
        known(given["language"])
    return name, given
