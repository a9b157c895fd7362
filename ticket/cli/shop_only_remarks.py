"""What is said beside a copy for somebody outside: which typed words on it may be for the shop only."""

import argparse

from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark
from ticket.shop.reading import case_of


def remark_inside(options: argparse.Namespace) -> None:
    """One remark for each entry that may hold what stays inside; none beside the shop's own copy."""
    if options.reader == "shop":
        return
    from ticket.gaps.shop_only_gaps import shop_only_words

    with open_shop(options) as shop:
        asked = tuple(shop_only_words(case_of(shop, options.number)))
    for gap in asked:
        remark(f"Entry {gap.entry}: {gap.question}")
