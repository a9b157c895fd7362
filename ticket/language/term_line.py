"""A line that explains a term of the shop to its customers: ``VGT = turbo with moving vanes``."""

from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.text import clean, fold, one_line

_TERM = Regex(r"[^\W\d_]+(?:[ /&.\-][^\W\d_]+){0,3}\.?")
_PLAIN = Regex(r"[^\W\d_]+(?:[ ,’'\-]+[^\W\d_]+)*")
_LONGEST_TERM, _LONGEST_PLAIN = 30, 80


def read_term(typed: str) -> tuple[str, str]:
    """The term and its plain words, which are empty where the term is to be forgotten.

    Raises:
        InputError: the term or its words hold a figure, a code, a mark or a control character, or are too long.
    """
    term, sign, plain = (part.strip() for part in clean(typed).partition("="))
    if not sign:
        raise InputError(
            "Write the term, =, and its plain words: ticket shop glossary 'VGT = turbo with moving vanes'."
        )
    if len(term) > _LONGEST_TERM or not _TERM.fullmatch(term):
        raise InputError(f"{one_line(term)[:40]!r} is no term: up to four words of letters, no figures and no codes.")
    if plain and (len(plain) > _LONGEST_PLAIN or not _PLAIN.fullmatch(plain)):
        raise InputError(f"{one_line(plain)[:40]!r} will not do: plain words of letters, no figures, codes or marks.")
    if fold(plain) == fold(term):
        raise InputError(f"{term} is explained by itself; say it in other words.")
    return term, plain


def lines_of(text: str) -> list[tuple[int, str]]:
    """The lines of a glossary with their numbers; empty ones and those that begin with ``#`` are left out."""
    lines = enumerate(text.removeprefix("\ufeff").splitlines(), 1)
    return [(no, line) for no, line in lines if line.strip() and not line.lstrip().startswith("#")]
