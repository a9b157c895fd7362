"""The papers of a ticket: the copy for a reader, and the story alone."""

from ticket.papers.charges import charges
from ticket.papers.consent import changes, contacts, deferred, hours
from ticket.papers.grounds import grounds
from ticket.papers.head import covers, dated, facts, sender
from ticket.papers.matter import Matter, joined
from ticket.papers.pictures import story_and_pictures
from ticket.papers.sheet import Block, Facts, Heading, Items, Notice, Paragraph, Said, Sheet, Signatures


def copy(matter: Matter) -> Sheet:
    """The whole copy for the reader of the story: head, story, lines, approvals, what waits, changes, record."""
    kind = matter.label(f"copy.{matter.reader}")
    blocks: tuple[Block, ...] = (
        *_filled(facts(matter)), *_filled(covers(matter)), *_questions(matter),
        *story_and_pictures(matter),
        *charges(matter), *_doubts(matter), *(hours(matter) if matter.reader != "customer" else ()),
        *contacts(matter), *deferred(matter), *changes(matter), *_statements(matter), *_record(matter),
    )  # fmt: skip
    return _sheet(matter, blocks, "ticket", kind)


def story_paper(matter: Matter) -> Sheet:
    """The story alone."""
    return _sheet(matter, story_and_pictures(matter), "story", "")


def _sheet(matter: Matter, blocks: tuple[Block, ...], title: str, kind: str) -> Sheet:
    label, case = matter.label, matter.case
    named = label(title, number=case.ticket.number)
    if matter.sources:
        blocks = (*blocks, grounds(matter.story, case, label, matter.moment))
    return Sheet(
        title=named,
        kind=kind,
        sender=sender(matter) if kind else (),
        at=dated(case.ticket),
        blocks=blocks,
        language=matter.language,
        size=case.settings.paper,
        page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"),
        foot=joined((case.settings.shop, named, kind), " · "),
        numbered=matter.sources,
    )


def _filled(block: Facts) -> tuple[Block, ...]:
    return (block,) if block.pairs else ()


def _questions(matter: Matter) -> tuple[Block, ...]:
    if matter.reader != "shop" or not matter.questions:
        return ()
    items = tuple(_asked(matter, no or 0, text) for no, text in matter.questions)
    return Heading(matter.label("questions")), Items(items)


def _doubts(matter: Matter) -> tuple[Block, ...]:
    if matter.reader == "customer":
        return ()
    doubts = [*(matter.bill.doubts if matter.bill else ()), *(d for one in matter.agreements for d in one.doubts)]
    items = tuple(_asked(matter, doubt.no, doubt.text) for doubt in doubts)
    return (Heading(matter.label("doubts"), 2), Items(items)) if items else ()


def _asked(matter: Matter, no: int, text: str) -> tuple[Said, ...]:
    return (Said(matter.label("question", number=no, text=text) if no else text, (str(no),) if no else ()),)


def _statements(matter: Matter) -> tuple[Block, ...]:
    """What the shop states on all its papers, in its own words: a guarantee, what storage costs and the like."""
    words = [one.words for one in matter.details.statements]
    if matter.reader == "shop" or not words:
        return ()
    return Heading(matter.label("statements")), Items(tuple((Said(text),) for text in words))


def _record(matter: Matter) -> tuple[Block, ...]:
    """The seal of a signed ticket or the state of an open one, and where to sign."""
    ticket, label = matter.case.ticket, matter.label
    if ticket.seal and ticket.closed:
        day = matter.day(ticket.closed)
        text = label("record.signed", name=ticket.signed_by, day=day, seal=ticket.seal)
        if ticket.elsewhere:
            text += " " + label(f"record.elsewhere.{ticket.elsewhere.fits}", seal=ticket.elsewhere.seal)
        stand: Block = Paragraph((Said(text),))
    else:
        stand = Notice(label("record.open", state=ticket.rev))
    names = {"customer": ("sign.shop", "sign.customer"), "payer": ("sign.shop",)}.get(matter.reader, ())
    lines = (Signatures(tuple(map(label, names))),) if names else ()
    return Heading(label("record")), stand, *lines
