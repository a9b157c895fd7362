"""What languages are called."""

from functools import lru_cache


@lru_cache(maxsize=16)
def tongue(code: str) -> str:
    """What a language is called in English; a shop's own may have a code that nobody else knows."""
    from babel import Locale, UnknownLocaleError

    try:
        return Locale.parse(code).get_display_name("en") or code
    except (UnknownLocaleError, ValueError):
        return code
