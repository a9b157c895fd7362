"""The shop's own words for its customers: a term of the trade, and what it means in plain words."""

from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.text import clean, fold, one_line
from ticket.shop.kept_settings import TERMS
from ticket.shop.opening import Shop, set_setting

_TERM = Regex(r"[^\W\d_]+(?:[ /&.\-][^\W\d_]+){0,3}\.?")
_PLAIN = Regex(r"[^\W\d_]+(?:[ ,’'\-]+[^\W\d_]+)*")
_LONGEST_TERM, _LONGEST_PLAIN = 30, 80


def explain_term(shop: Shop, typed: str, *, keep: bool = True) -> tuple[str, str]:
    """Keep ``TERM = plain words``, or forget the term where nothing stands behind the sign; what is kept now.

    Args:
        shop: the open shop.
        typed: the line.
        keep: write it; without, it is only looked at.

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
    kept = {fold(own): (own, words) for own, words in shop.kept.terms}
    if plain:
        kept[fold(term)] = (term, plain)
    elif kept.pop(fold(term), None) is None:
        raise InputError(f"{term} is not among the shop's own words: ticket shop glossary lists them.")
    if keep:
        set_setting(shop, TERMS, sorted(kept.values()))
    return term, plain
