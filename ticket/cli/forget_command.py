"""What a customer may ask for: all that is kept of them, and to be forgotten. First the list, then the blanking."""

import argparse
import dataclasses
from pathlib import Path

from ticket.cli.open_shop import open_shop, open_to_hand_out
from ticket.cli.output import as_json, remark, say, say_json, write
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.ticket_document import to_document
from ticket.machine.draft_lines import DraftLines
from ticket.rules.kept_for import kept_for, may_go_before
from ticket.shop.changing import old_copies, renew_copies, tell_signed
from ticket.shop.money import pack
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import ticket_of
from ticket.store.forgetting import Plan
from ticket.store.name_traces import Traces

_UNREACHED = (
    "Papers, documents, mails, copies kept elsewhere, other shops, other logins' half-typed lines and what a terminal"
    " holds in its clipboard are not reached from here: look for them yourself."
)  # fmt: skip


def forget(options: argparse.Namespace) -> None:
    """List what belongs to a customer, or blank it; or list whose records no rule asks to keep any longer."""
    if options.due:
        _tell_due(options)
        return
    _check(options)
    with open_to_hand_out(options) as shop:
        erasing = shop.store.proofs.erasing
        plan = erasing.plan(number=options.number or 0, plate=options.plate, customer=options.customer)
        half = _half_typed(shop, plan)
        if options.yes:
            _carry_out(options, shop, plan, half)
        copies = old_copies(shop)
        new = renew_copies(shop, copies) if options.yes and options.copies and copies else None
    if options.json:
        told = {name: value for name, value in dataclasses.asdict(plan).items() if name not in ("keys", "ids")}
        told |= {"forgotten": options.yes, "copies": [str(path) for path in copies], "copies_gone": new is not None}
        told |= {"half_typed": len(half)}
        say_json(told)
    elif options.yes:
        say(f"Forgotten: {_tickets(plan)}. Codes, readings, parts, prices and dates stay, and so does every proof.")
        _tell_copies(copies, new, done=True)
        remark(_UNREACHED)
    else:
        _tell(plan, len(half))
        _tell_copies(copies, None, done=False)
        say(_UNREACHED)
        say("Nothing was changed. To do it: add --yes --why TEXT.")


def _check(options: argparse.Namespace) -> None:
    if (options.number is not None) + bool(options.plate) + bool(options.customer) != 1:
        raise InputError("Say whom to forget: a ticket's number, --plate TEXT or --customer TEXT.")
    if options.yes and not options.why.strip():
        raise InputError("Say why: --why TEXT. It is kept in the journal, so it should hold no name.")


def _half_typed(shop: Shop, plan: Plan) -> list[Path]:
    """Lines and forms of this login that were left half typed on the customer's tickets, or name the customer."""
    people = {shop.person, *(person.name for person in shop.people)}
    lines = DraftLines(shop.store.path, shop.person)
    return list(lines.about(people, plan.tickets, Traces.of(plan.values).in_others))


def _carry_out(options: argparse.Namespace, shop: Shop, plan: Plan, half: list[Path]) -> None:
    shop.gate.permit(shop.person, "forget")
    why, by = options.why.strip(), shop.person
    shop.store.proofs.erasing.carry_out(plan, why, by, options.also, open_too=options.open)
    for path in half:
        path.unlink(missing_ok=True)
    tell_signed(shop)


def _tickets(plan: Plan) -> str:
    return f"ticket{'s' if len(plan.tickets) > 1 else ''} {', '.join(map(str, plan.tickets))}"


def _tell(plan: Plan, half: int) -> None:
    say(f"Would be forgotten: {_tickets(plan)}.")
    for part, value in plan.values:
        say(f"  {part}: {one_line(value)}")
    for one in plan.texts:
        say(f"  row {one.row}, ticket {one.ticket}, {one.path}: {one_line(one.text)[:100]}")
    if plan.whole:
        say(f"  Rows {', '.join(map(str, plan.whole))} are of the older form: all their texts go.")
    if plan.pictures:
        say(f"  {len(plan.pictures)} picture{'s' if len(plan.pictures) > 1 else ''} of these tickets alone.")
    if half:
        say("  1 half-typed line or form." if half == 1 else f"  {half} half-typed lines or forms.")
    if plan.others:
        say("Other tickets hold the name or a number; a row goes only where you name it (--also ROW):")
        for one in plan.others:
            say(f"  row {one.row}, ticket {one.ticket or 'none'}, {one.path}: {one_line(one.text)[:100]}")


def _tell_copies(copies: list[Path], new: Path | None, *, done: bool) -> None:
    """The copies that hold what was, or would be, forgotten, and what became of them."""
    if not copies:
        return
    if new is not None:
        say(f"A new copy was made: {new}. Taken away: {', '.join(one.name for one in copies if one != new)}.")
        return
    still = "still hold" if done else "hold"
    say(f"These copies {still} all of it; --copies makes a new one and takes them away:")
    for path in copies:
        say(f"  {one_line(str(path))}")


def tell_customer(options: argparse.Namespace) -> None:
    """All that is kept of a customer, as one JSON document: what the law of many places lets them ask for."""
    with open_shop(options) as shop:
        shop.gate.permit(shop.person, "names")
        plan = shop.store.proofs.erasing.plan(customer=options.customer)
        if shop.hidden and not options.names:
            raise InputError(
                f"This tells who a customer is, and {shop.person} is an auditor here: add --names, which is journaled."
            )
        shop.hide(False)
        documents = [to_document(ticket_of(shop, number)) for number in plan.tickets]
        papers = {
            str(number): {
                one.reader: paper(shop, number, one.reader, "text", language=one.language)
                for one in shop.store.proofs.kept_papers(number)
                if one.reader == "customer"
            }
            for number in plan.tickets
        }
        shop.store.proofs.note_look(plan.tickets, "dump", shop.person)
    told = {
        "customer": options.customer,
        "values": [{"part": part, "value": value} for part, value in plan.values],
        "tickets": documents,
        "named_in_other_tickets": [{"row": one.row, "ticket": one.ticket, "text": one.text} for one in plan.others],
        "papers": papers,
    }
    write(options, as_json(told))


def _tell_due(options: argparse.Namespace) -> None:
    """Customers whose last job ended before every period of the local rules; nothing is blanked."""
    with open_to_hand_out(options) as shop:
        rules = pack(shop)
        before = may_go_before(rules, shop.today)
        visits = shop.store.proofs.erasing.last_visits() if before else []
        due = [one for one in visits if one[2][:10] < str(before)]
    periods = [one.words for one in kept_for(rules)]
    if options.json:
        customers = [{"customer": name, "tickets": list(numbers), "last": at} for name, numbers, at in due]
        say_json({"before": str(before) if before else None, "periods": periods, "due": customers})
        return
    for name, numbers, at in due:
        say(f"{one_line(name)}: last on {at[:10]}, ticket {', '.join(map(str, numbers))}")
    if not due:
        say("Nobody: " + (f"no customer's last job ended before {before}." if before else "these rules set no period."))
    for period in periods:
        remark(f"{rules.id}: {period}.")
    remark(f"{rules.notice} Open complaints and warranties are not looked at here.")
