"""Pairs of texts a shop keeps: words it calls one, and what it says of its checks."""

from ticket.job.errors import InputError
from ticket.job.text import clean, fold, one_line
from ticket.past.check_times import read_look
from ticket.shop.kept_settings import CHECKS, SYNONYMS
from ticket.shop.opening import Shop, set_setting

_LONGEST = 80
_EXAMPLES = {SYNONYMS: "'blinks = flickers'", CHECKS: "'worn pads = 10 min; behind wheels off 15 min; finds 90 %'"}


def keep_pair(shop: Shop, key: str, typed: str) -> None:
    """Keep ``THIS = THAT``, or forget this where nothing stands behind the sign.

    Args:
        shop: the open shop.
        key: ``synonyms`` or ``checks``.
        typed: the line.

    Raises:
        InputError: what does not fit, and how to write it.
    """
    this, sign, that = (part.strip() for part in clean(typed).partition("="))
    if not this or not sign or max(len(this), len(that)) > _LONGEST:
        raise InputError(f"Write it like this: ticket shop {key} {_EXAMPLES[key]}.")
    if key == SYNONYMS:
        this, that = fold(this), fold(that)
        if len(this.split()) > 1 or len(that.split()) > 1 or this == that:
            raise InputError(f"Two single words are called one: ticket shop {key} {_EXAMPLES[key]}.")
    elif that and read_look(that) is None:
        raise InputError(f"{one_line(that)!r} cannot be read; write it like this: {_EXAMPLES[key]}.")
    kept = {fold(one): (one, other) for one, other in shop.kept.pairs[key]}
    if that:
        kept[fold(this)] = (this, that)
    elif kept.pop(fold(this), None) is None:
        raise InputError(f"{one_line(this)!r} is not kept: ticket shop {key} lists what is.")
    set_setting(shop, key, sorted(kept.values()))
