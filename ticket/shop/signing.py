"""What has to be answered before a ticket is signed."""

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ticket.gaps.gap import Gap
    from ticket.shop.shop import Shop


def standing(shop: "Shop", number: int) -> "tuple[Gap, ...]":
    """The blocking gaps of a ticket whose work has ended: what signing has to answer.

    Some questions make no sense while the work goes on, such as when a running clock ended. Whoever signs says that
    it has ended, so they are asked now: once the ticket is signed, nobody could answer them any more.
    """
    from ticket.gaps.find import blocking

    case = shop.case(number)
    if case.ticket.status != "signed":
        case = replace(case, ticket=replace(case.ticket, status="ready"))
    return blocking(shop.gaps_of(case))
