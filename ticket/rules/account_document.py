"""The account of a ticket as a plain document; its shape is ``schemas/bill.json``. Amounts are decimal strings."""

from fractions import Fraction
from typing import Any

from ticket.job.codec import instant
from ticket.money.amount import half_up, plain
from ticket.money.bill import Payer
from ticket.money.bill_line import Line
from ticket.money.period import Hours, Measure
from ticket.rules.account import Account
from ticket.rules.applied import Applied
from ticket.rules.estimate import Estimate, Standing
from ticket.rules.overrun import Allowed
from ticket.rules.paper_duties import Missing

Json = dict[str, Any]


def amount(value: int | None) -> str | None:
    """Cents as a decimal string; ``None`` stays ``None``: a sum that nobody named is not 0.00."""
    return None if value is None else plain(value)


def bill_document(account: Account) -> Json:
    """The bill with what was agreed and allowed, as ``ticket bill N --json`` prints it."""
    made, customer = account.bill, account.customer
    limit = customer.verdict.allowed
    return {
        "ticket": account.number,
        "currency": made.currency,
        "lines": [_line(line) for line in made.lines],
        "parts": plain(made.parts),
        "labour": plain(made.labour),
        "sublet": plain(made.sublet),
        "cores": plain(made.cores),
        "fees": plain(made.fees),
        "discount": plain(made.discount),
        "tax": plain(made.tax),
        "total": plain(made.total),
        "deposit": plain(made.deposit),
        "due": plain(made.due),
        "place": made.place,
        "taxes": [
            {"payer": tax.payer, "name": tax.name, "percent": tax.percent, "base": plain(tax.base),
             "amount": plain(tax.amount)}
            for tax in made.taxes
        ],
        "by_payer": [_payer(payer) for payer in made.payers],
        "estimate": amount(account.offered),
        "approved": amount(customer.agreement.approved),
        "allowed": amount(limit.allowed if limit else None),
        "basis": customer.verdict.basis,
        "verdict": account.worst.verdict.word,
        "reason": account.worst.verdict.reason,
        "agreements": [
            {
                "payer": side.payer,
                "approved": amount(side.agreement.approved),
                "ceiling": side.agreement.ceiling,
                "billed": plain(side.verdict.billed),
                "allowed": amount(side.verdict.allowed.allowed if side.verdict.allowed else None),
                "verdict": side.verdict.word,
                "reason": side.verdict.reason,
            }
            for side in account.sides
        ],
        "rules": [rule_document(rule) for rule in account.rules],
        "missing": [
            _missing(paper, field)
            for paper, fields in (("estimate", account.missing_estimate), ("invoice", account.missing_invoice))
            for field in fields
        ],
        "doubts": [{"entry": doubt.no or None, "about": doubt.about, "text": doubt.text} for doubt in account.doubts],
        "notice": account.notice,
    }  # fmt: skip


def estimate_document(found: Estimate) -> Json:
    """Where the offers stand, as ``ticket estimate N --json`` prints it; ``schemas/estimate.json``."""
    return {
        "ticket": found.number,
        "offers": [_offer(offer) for offer in found.offers],
        "fees": list(found.fees),
        "estimate": amount(found.offered),
        "approved": amount(found.approved),
        "ceiling": found.ceiling,
        "billed": plain(found.billed),
        "allowed": amount(found.allowed),
        "room": amount(found.room),
        "basis": found.basis,
        "verdict": found.verdict,
        "reason": found.reason,
        "astray": [
            {"entry": one.no, "offer": one.offer, "about": one.about, "told": one.told, "text": one.text}
            for one in found.uncovered
        ],
        "missing": [_missing("estimate", field) for field in found.missing],
        "rules": [rule_document(rule) for rule in found.rules],
        "notice": found.notice,
    }


def _offer(offer: Standing) -> Json:
    return {
        "entry": offer.no,
        "kind": offer.kind,
        "text": offer.text,
        "judgement": offer.judgement,
        "hours": offer.hours,
        "parts": amount(offer.parts),
        "price": amount(offer.price),
        "version": offer.version,
        "earlier": [{"entry": one.no, "text": one.text, "price": amount(one.price)} for one in offer.earlier],
        "answer": offer.answer,
        "who": offer.who,
        "at": instant(offer.at) if offer.at else None,
        "told": offer.told or None,
    }


def _missing(paper: str, field: Missing) -> Json:
    return {
        "paper": paper, "field": field.field, "text": field.words, "blocks": field.blocks,
        "citation": field.source.citation, "status": field.source.status,
    }  # fmt: skip


def rule_document(rule: Applied) -> Json:
    """One rule as it bears on the job."""
    return {"id": rule.id, "text": rule.text, "citation": rule.citation, "status": rule.status}


def allowed_document(limit: Allowed) -> Json:
    """How far a bill may go, as ``ticket allowed AMOUNT --json`` prints it."""
    return {
        "rules": limit.rules,
        "estimate": plain(limit.estimate),
        "allowed": plain(limit.allowed),
        "consent_from": plain(limit.consent_from),
        "citation": limit.citation,
        "status": limit.status,
        "beyond": list(limit.beyond),
    }


def hours_document(found: Hours) -> Json:
    """Labour of a period, as ``ticket hours --json`` prints it; hours with two places."""
    return {
        "name": found.name,
        "hours_billed": two_places(found.billed),
        "hours_clocked": two_places(found.clocked),
        "billed_without_clock": two_places(found.unclocked),
        "labour_sales": plain(found.sales),
        "measures": [{"formula": one.formula, "unit": one.unit, "value": measured(one)} for one in found.measures],
    }


def measured(one: Measure) -> str:
    """A measure to print: money with two places, a ratio with three."""
    return plain(half_up(one.value)) if one.unit == "per hour" else _places(one.value, 3)


def two_places(value: Fraction) -> str:
    """Hours with two places, rounded half up."""
    return _places(value, 2)


def _places(value: Fraction, places: int) -> str:
    whole, rest = divmod(half_up(value * 10**places), 10**places)
    return f"{whole}.{rest:0{places}d}"


def _line(line: Line) -> Json:
    return {
        "entry": line.no or None,
        "text": line.text,
        "quantity": line.quantity,
        "unit": line.unit,
        "price": line.price,
        "amount": plain(line.amount),
        "taxed": line.taxed,
        "pays": line.pays,
    }


def _payer(payer: Payer) -> Json:
    return {
        "payer": payer.payer,
        "name": payer.name,
        "lines": plain(payer.lines),
        "discount": plain(payer.discount),
        "tax": plain(payer.tax),
        "deductible": plain(payer.deductible),
        "total": plain(payer.total),
    }
