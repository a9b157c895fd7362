"""Whether this terminal can show the drawn signs, or only plain characters."""

from collections.abc import Mapping

from ticket.machine.environment import SIGNS

_POOR = ("linux", "vt100", "vt102", "vt220", "dumb", "ansi")


def needs_letters(environment: Mapping[str, str]) -> bool:
    """Whether signs must be plain characters: the terminal is an old one, or its locale has no others."""
    asked = environment.get(SIGNS, "")
    if asked in ("letters", "drawn"):
        return asked == "letters"
    locale = next((value for name in ("LC_ALL", "LC_CTYPE", "LANG") if (value := environment.get(name))), "")
    named = locale.partition(".")[2].casefold().replace("-", "")
    return environment.get("TERM", "").partition("-")[0] in _POOR or bool(locale and named and named[:4] != "utf8")
