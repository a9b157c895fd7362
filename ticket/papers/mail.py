"""A paper as an e-mail that somebody else sends: an .eml file (RFC 5322); and what a text message would say."""

from collections.abc import Sequence
from dataclasses import dataclass
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from hashlib import sha256

from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.papers.formats import written
from ticket.papers.labels import labels
from ticket.papers.plain_text import sheet_text
from ticket.papers.sheet import Sheet

_WIDTH = 76


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """Who writes to whom about what; texts as typed."""

    shop: str
    phone: str
    customer: str
    email: str
    vehicle: str


def mail(sheet: Sheet, head: Letterhead) -> bytes:
    """The paper as a message to the customer: as text, and as a PDF beside it where one can be made, else as HTML.

    Nothing is sent; who opens the file in a mail program sees it before it goes. The same paper gives the same bytes.

    Raises:
        InputError: the ticket holds no e-mail address, or one that cannot be.
    """
    label = labels(sheet.language)
    if not head.email.strip():
        raise InputError("The ticket holds no e-mail address: ticket set N --e-mail ADDRESS.")
    message = EmailMessage(policy=SMTP)
    shop = one_line(head.shop or label("nameless"))
    try:
        to = Address(one_line(head.customer), addr_spec=head.email.strip())
        message["To"] = to
    except Exception as error:
        raise InputError(f"{head.email!r} is no e-mail address: ticket set N --e-mail ADDRESS.") from error
    message["Subject"] = label("mail.subject", shop=shop, title=one_line(sheet.title))
    message["Date"] = sheet.at
    hello = label("reminder.hello", name=one_line(head.customer) or label("reminder.customer"))
    here = label("mail.here", title=one_line(sheet.title), vehicle=one_line(head.vehicle) or label("reminder.vehicle"))
    phone = label("message.call", phone=one_line(head.phone)).strip() if head.phone else ""
    end = "\n".join(line for line in (shop, phone) if line)
    text = sheet_text(sheet, _WIDTH)
    message.set_content(f"{hello}\n\n{here}\n\n{end}\n\n{'-' * _WIDTH}\n\n{text}")
    name, content, kind = _attached(sheet)
    message.add_attachment(content, maintype=kind[0], subtype=kind[1], filename=name)
    message.set_boundary(f"=={sha256(content).hexdigest()[:32]}==")
    return message.as_bytes()


def _attached(sheet: Sheet) -> tuple[str, bytes, tuple[str, str]]:
    stem = "-".join(word for word in "".join(c if c.isalnum() else " " for c in sheet.title).split())
    try:
        made, form, kind = written(sheet, "pdf"), "pdf", ("application", "pdf")
    except InputError:
        made, form, kind = written(sheet, "html"), "html", ("text", "html")
    return f"{stem}.{form}", made.encode() if isinstance(made, str) else made, kind


def ready_message(head: Letterhead, due: str, language: str) -> str:
    """That the vehicle is ready, and what is to pay; for a text message."""
    label = labels(language)
    return one_line(
        label(
            "message.ready", shop=head.shop or label("nameless"), vehicle=head.vehicle or label("reminder.vehicle"),
            sum=label("message.sum", sum=due) if due else "", call=_call(head, language),
        )
    )  # fmt: skip


def offer_message(head: Letterhead, offers: Sequence[tuple[str, str]], language: str) -> str:
    """What is proposed, each with its own price where it has one, and the wish for an answer; for a text message."""
    label = labels(language)
    shop, vehicle = head.shop or label("nameless"), head.vehicle or label("reminder.vehicle")
    if len(offers) > 1:  # an answer to all of them at one price would be none to each
        each = "; ".join(
            label("message.each", number=at, work=work, sum=label("message.each.sum", sum=price) if price else "")
            for at, (work, price) in enumerate(offers, 1)
        )
        return one_line(label("message.estimates", shop=shop, vehicle=vehicle, work=each, call=_call(head, language)))
    ((work, price),) = offers
    told = label("message.offered", sum=price) if price else ""
    return one_line(
        label("message.estimate", shop=shop, vehicle=vehicle, work=work, sum=told, call=_call(head, language))
    )


def _call(head: Letterhead, language: str) -> str:
    return labels(language)("message.call", phone=head.phone) if head.phone else ""
