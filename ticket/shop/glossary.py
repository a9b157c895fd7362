"""The shop's own words for its customers: a term of the trade, and what it means in plain words."""

from ticket.job.errors import InputError
from ticket.job.text import fold
from ticket.language.term_line import read_term
from ticket.shop.kept_settings import TERMS
from ticket.shop.opening import Shop, set_setting


def explain_term(shop: Shop, typed: str, *, keep: bool = True) -> tuple[str, str]:
    """Keep ``TERM = plain words``, or forget the term where nothing stands behind the sign; what is kept now.

    Args:
        shop: the open shop.
        typed: the line.
        keep: write it; without, it is only looked at.

    Raises:
        InputError: the term or its words hold a figure, a code, a mark or a control character, or are too long.
    """
    term, plain = read_term(typed)
    kept = {fold(own): (own, words) for own, words in shop.kept.terms}
    if plain:
        kept[fold(term)] = (term, plain)
    elif kept.pop(fold(term), None) is None:
        raise InputError(f"{term} is not among the shop's own words: ticket shop glossary lists them.")
    if keep:
        set_setting(shop, TERMS, sorted(kept.values()))
    return term, plain
