"""The voice of each language that has a folder."""

from functools import cache

from ticket.language.file_voice import FileVoice
from ticket.language.lexicon import TYPED
from ticket.language.tables import languages
from ticket.language.typed_voice import TypedVoice
from ticket.language.voice import Voice


@cache
def voice(language: str) -> Voice:
    """The voice of a language. Raises ``KeyError`` where it has no folder."""
    if language not in languages():
        raise KeyError(language)
    return TypedVoice(language) if language == TYPED else FileVoice(language)
