"""The papers of a ticket: the copy for a reader, and the story alone."""

from ticket.papers.charges import charges
from ticket.papers.consent import changes, contacts, deferred, hours
from ticket.papers.copy_contents import CopyContents, joined
from ticket.papers.entry_table import entry_table
from ticket.papers.grounds import grounds
from ticket.papers.head import covers, dated, facts, sender
from ticket.papers.picture_blocks import story_and_pictures
from ticket.papers.sheet import Block, Facts, Heading, Items, Notice, Paragraph, Said, Sheet, Signatures


def copy(contents: CopyContents) -> Sheet:
    """The whole copy for the reader of the story: head, story, lines, approvals, what waits, changes, record."""
    kind = contents.label(f"copy.{contents.reader}")
    blocks: tuple[Block, ...] = (
        *unproved(contents), *filled(facts(contents)), *filled(covers(contents)), *_questions(contents),
        *story_and_pictures(contents),
        *charges(contents), *_doubts(contents), *(hours(contents) if contents.reader != "customer" else ()),
        *contacts(contents), *deferred(contents), *changes(contents), *entry_table(contents), *statements(contents),
        *record(contents),
    )  # fmt: skip
    return _sheet(contents, blocks, "ticket", kind)


def story_paper(contents: CopyContents) -> Sheet:
    """The story alone, with whose vehicle it is and when."""
    about = {contents.label(name) for name in ("vehicle", "plate", "customer", "opened", "closed")}
    head = Facts(tuple(pair for pair in facts(contents).pairs if pair[0] in about))
    return _sheet(contents, (*unproved(contents), *filled(head), *story_and_pictures(contents)), "story", "")


def _sheet(contents: CopyContents, blocks: tuple[Block, ...], title: str, kind: str) -> Sheet:
    label, case = contents.label, contents.case
    named = label(title, number=case.ticket.number)
    if contents.sources:
        blocks = (*blocks, grounds(contents.story, case, label, contents.moment))
    return Sheet(
        title=named,
        kind=kind,
        sender=sender(contents) if kind else (),
        at=dated(case.ticket),
        blocks=blocks,
        language=contents.language,
        size=case.settings.paper,
        page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"),
        foot=joined((case.settings.shop, named, kind), " · "),
        record=case.ticket.seal,
        shop=contents.shop if case.ticket.seal else "",
        numbered=contents.sources,
    )


def unproved(contents: CopyContents) -> tuple[Block, ...]:
    """What stands first on every paper of a shop for practice, and of a ticket that nobody here can prove."""
    elsewhere = contents.case.ticket.elsewhere
    scratch = (Notice(contents.label("scratch")),) if contents.scratch else ()
    if elsewhere is None or elsewhere.proof != "unverified":
        return scratch
    return (*scratch, Notice(contents.label("unverified", **_came(contents))))


def _came(contents: CopyContents) -> dict[str, str]:
    """Who is said to have signed a ticket that was loaded, under what, and when."""
    ticket = contents.case.ticket
    seal = ticket.elsewhere.seal if ticket.elsewhere else ""
    day = contents.day(ticket.closed) if ticket.closed else ""
    return {"name": ticket.signed_by, "seal": seal or "-", "day": day}


def filled(block: Facts) -> tuple[Block, ...]:
    """The block, or nothing where it holds nothing."""
    return (block,) if block.pairs else ()


def _questions(contents: CopyContents) -> tuple[Block, ...]:
    if contents.reader != "shop" or not contents.questions:
        return ()
    items = tuple(_asked(contents, no or 0, text) for no, text in contents.questions)
    return Heading(contents.label("questions")), Items(items)


def _doubts(contents: CopyContents) -> tuple[Block, ...]:
    if contents.reader == "customer":
        return ()
    doubts = [*(contents.bill.doubts if contents.bill else ()), *(d for one in contents.agreements for d in one.doubts)]
    items = tuple(_asked(contents, doubt.no, doubt.text) for doubt in doubts)
    return (Heading(contents.label("doubts"), 2), Items(items)) if items else ()


def _asked(contents: CopyContents, no: int, text: str) -> tuple[Said, ...]:
    return (Said(contents.label("question", number=no, text=text) if no else text, (str(no),) if no else ()),)


def statements(contents: CopyContents) -> tuple[Block, ...]:
    """What the shop states on all its papers, in its own words: a guarantee, what storage costs and the like."""
    stated = contents.details.stated(contents.language)
    if contents.reader == "shop" or not stated:
        return ()
    said = (Said(one.words, language="" if one.language == contents.language else one.language) for one in stated)
    return Heading(contents.label("statements")), Items(tuple((one,) for one in said))


def record(contents: CopyContents) -> tuple[Block, ...]:
    """The seal of a signed ticket or the state of an open one, and where to sign."""
    ticket, label = contents.case.ticket, contents.label
    if ticket.seal and ticket.closed:
        day = contents.day(ticket.closed)
        signer = ticket.signed_by if contents.checked else label("record.claim", name=ticket.signed_by)
        text = label("record.signed", name=signer, day=day, seal=ticket.seal)
        if ticket.elsewhere and ticket.elsewhere.proof:
            text = label(f"record.{ticket.elsewhere.proof}", **_came(contents))
        elif ticket.elsewhere:
            text += " " + label(f"record.elsewhere.{ticket.elsewhere.fits}", seal=ticket.elsewhere.seal)
        stand: Block = Paragraph((Said(text),))
    else:
        stand = Notice(label("record.open", state=ticket.rev))
    names = {"customer": ("sign.shop", "sign.customer"), "payer": ("sign.shop",)}.get(contents.reader, ())
    lines = (Signatures(tuple(map(label, names))),) if names else ()
    return Heading(label("record")), stand, *lines
