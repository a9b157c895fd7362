"""The papers of a signed ticket: kept when it is signed, and the same bytes ever after; a new one says what it is."""

import dataclasses
import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from typing import Any

from ticket import __version__
from ticket.job.case import Case, Settings
from ticket.job.codec import Json, decode, encode
from ticket.job.errors import DamagedError, InputError
from ticket.job.kinds import KINDS
from ticket.job.picture import picture_fields
from ticket.job.ticket import Person, Ticket
from ticket.machine import environment
from ticket.papers.copy import copy
from ticket.papers.copy_contents import CopyContents
from ticket.papers.sheet import Notice, Paragraph, Said, Sheet
from ticket.papers.sheet_record import LAYOUT, PLACE, as_record, from_record, with_note, without_sources
from ticket.rules.pack import pack_document
from ticket.shop.copy_making import contents_around, pictures_of
from ticket.shop.money import account_of, pack
from ticket.shop.opening import Shop, document
from ticket.shop.reading import case_around, case_of, earlier_visits
from ticket.shop.signed_under import PRICES
from ticket.store.kept_rows import Keeper, Kept, KeptPaper
from ticket.store.overruled_gaps import Overruled
from ticket.store.sealing import ASKED, CLAIM, Signing

_OURS = (
    "suggest",
    "photos",
    "pin_minutes",
    "lock_minutes",
    "invoices",
    "extras",
    "witness",
    "copies",
)  # settings that no signed paper shows
_RULES = "pack "


def keeper_for(shop: Shop, reasons: Mapping[str, str] | None = None, *, checked: bool | None = None) -> Keeper:
    """What makes the papers to keep, called within the action that signs with the ticket as it will stand.

    Args:
        shop: the open shop.
        checked: whether the signer's PIN was asked for; where not given, it was signed before.
        reasons: what the ticket is signed in spite of; ``None`` where it is amended, and was signed before.
    """

    def keep(ticket: Ticket) -> Kept:
        shop.refresh()  # another terminal may have changed a setting a moment ago; from here on nobody can
        given = ticket.signed_by
        overruled = (
            shop.store.overruled(ticket.number)
            if reasons is None
            else tuple(Overruled(gap, why, given) for gap, why in sorted(reasons.items()))
        )
        damaged: list[DamagedError] = []
        others = earlier_visits(shop, ticket.number, damaged)
        case = case_around(shop, dataclasses.replace(ticket, seal=PLACE), others)
        language = case.settings.language
        payers = ("payer",) if account_of(shop, ticket).terms.covers else ()
        papers = {
            (reader, language): as_record(
                copy(contents_around(shop, case, reader, overruled, language=language, sources=True, checked=checked))
            )
            for reader in ("customer", *payers, "shop")
        }
        return Kept(about(shop, case), things_of(shop), papers, LAYOUT)

    return keep


def signing_for(
    shop: Shop, reasons: Mapping[str, str] | None = None, *, asked: bool = False, clock: str = ""
) -> Signing:
    """The papers to keep, and the key of this login, which is made at its first signing.

    Args:
        shop: the open shop.
        reasons: as for :func:`keeper_for`.
        asked: the PIN of whoever signs or amends was asked for.
        clock: why it is signed though the clock is behind.

    Raises:
        InputError: the file of the key may be read by others.
    """
    from ticket.machine.signing_key import signer

    checked = asked if reasons is not None else None  # an amendment leaves the signer's name as it was signed
    keeper = keeper_for(shop, reasons, checked=checked)
    proofs = shop.store.proofs
    key = signer(proofs.uid(), make=True, ended=proofs.ended_keys())
    return Signing(keeper, key, ASKED if asked else CLAIM, clock.strip())


def about(shop: Shop, case: Case) -> Json:
    """What a signature says in plain values of what it rests on."""
    zone = shop.settings.zone or shop.now().astimezone().tzname() or ""
    rows = shop.store.proofs.newest_rows([one.number for one in case.earlier])
    photos = {
        str(entry.no): getattr(entry.fact, name)
        for entry in case.ticket.living
        for name in picture_fields(KINDS[entry.kind])
    }
    return {
        "program": __version__, "day": case.today.isoformat(), "zone": zone, "language": case.settings.language,
        "photos": photos, "earlier": sorted([number, row] for number, row in rows.items()),
    }  # fmt: skip


def things_of(shop: Shop) -> dict[str, Any]:
    """What papers rest on beside the ticket, as JSON values; nothing of a customer is in it."""
    settings = {name: value for name, value in encode(shop.settings).items() if name not in _OURS}
    prices = document(shop, PRICES)
    found: dict[str, Any] = {
        "settings": settings,
        "people": [[one.name, one.role] for one in shop.people],
        "rules": pack_document(pack(shop)),
    }
    if prices is not None:
        found["prices"] = prices
    if shop.kept.codes:
        found["codes"] = [list(row) for row in shop.kept.codes]
    if shop.kept.terms:
        found["terms"] = [list(row) for row in shop.kept.terms]
    return found


# -- handing out again --------------------------------------------------------------------------------------------


def signed_sheet(
    shop: Shop, number: int, reader: str, *, language: str = "", sources: bool = False, today: bool = False
) -> Sheet | None:
    """The paper of a signed ticket; ``None`` where none was kept: it is not signed, or was before papers were kept.

    Raises:
        NotFoundError: there is no such ticket.
        InputError: the layout it was signed in is of a newer program.
    """
    kept = shop.store.proofs.kept_papers(number)
    if not kept:
        return None
    if today:
        return _of_today(shop, number, reader, kept[0], language=language, sources=sources)
    wanted = language or kept[0].language
    one = next((paper for paper in kept if (paper.reader, paper.language) == (reader, wanted)), None)
    if one is None or one.data is None:
        erased = one is not None
        return _made_anew(shop, number, reader, one or kept[0], language=wanted, sources=sources, erased=erased)
    if one.layout != LAYOUT:
        raise InputError(f"The paper of ticket {number} was signed in a newer form: update the program.")
    made = from_record(one.data, one.record, pictures_of(shop, shop.store.ticket(number)))
    return made if sources else without_sources(made)


def _made_anew(
    shop: Shop, number: int, reader: str, kept: KeptPaper, *, language: str, sources: bool, erased: bool
) -> Sheet:  # fmt: skip
    """Another reader or language, or names were erased since: made from what was signed, which it says."""
    under = shop.store.proofs.kept_under(kept.seq)
    with _as_it_was(shop, under) as then:
        case = case_of(then, number)
        numbers = {row[0] for row in under["earlier"]}
        case = dataclasses.replace(
            case,
            ticket=dataclasses.replace(case.ticket, seal=kept.record),
            today=date.fromisoformat(under["day"]),
            earlier=tuple(one for one in case.earlier if one.number in numbers),
        )
        overruled = shop.store.overruled(number) if reader == "shop" else ()
        made = contents_around(then, case, reader, overruled, language=language, sources=sources)
        name = "record.erased" if erased else "record.anew"
        said = made.label(name, day=_day(made, shop.today), version=__version__, language=kept.language)
        return with_note(copy(made), Paragraph((Said(said),)))


def _of_today(shop: Shop, number: int, reader: str, kept: KeptPaper, *, language: str, sources: bool) -> Sheet:
    case = case_of(shop, number)
    overruled = shop.store.overruled(number) if reader == "shop" else ()
    made = contents_around(shop, case, reader, overruled, language=language, sources=sources)
    differs = ", ".join(differences(shop, shop.store.proofs.kept_under(kept.seq))) or "-"
    first = Notice(made.label("record.today", what=differs))
    paper = copy(made)
    return dataclasses.replace(paper, blocks=(first, *paper.blocks))


def differences(shop: Shop, under: Json) -> list[str]:
    """What a paper rests on that is another today: settings by their names, and the other things."""
    now, found = things_of(shop), []
    for name in sorted(now.keys() | {key for key in ("codes", "prices", "terms") if key in under}):
        if name == "settings":
            then: Json = under.get(name, {})
            found += [key for key in sorted(then.keys() | now[name].keys()) if then.get(key) != now[name].get(key)]
        elif now.get(name) != under.get(name):
            found.append(name)
    return sorted(set(found))


def _day(made: CopyContents, day: date) -> str:
    return made.day(datetime.combine(day, time(12), UTC))


@contextmanager
def _as_it_was(shop: Shop, under: Json) -> Iterator[Shop]:
    """The shop with the settings, people and rules a ticket was signed under."""
    settings = decode(Settings, under["settings"])
    documents = dict(shop.kept.documents)
    rules = under["rules"]
    if _RULES + settings.rules in documents:
        documents[_RULES + settings.rules] = json.dumps(rules)
    kept = dataclasses.replace(
        shop.kept, settings=settings, documents=documents,
        codes=tuple(tuple(row) for row in under.get("codes", ())),
        terms=tuple((term, plain) for term, plain in under.get("terms", ())),
    )  # fmt: skip
    people = tuple(Person(name, role) for name, role in under["people"])
    then = dataclasses.replace(shop, _kept=kept, _people=people)
    try:
        environment.use_zone(settings.zone)
        yield then
    finally:
        environment.use_zone(shop.settings.zone)
