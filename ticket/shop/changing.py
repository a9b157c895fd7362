"""Changing one shop's tickets: every verb is one action of a person, journaled whole or not at all."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ticket.assist.copied_entry import Copied, carried, copy_mark, last_concern, unmeasured
from ticket.assist.line_settling import Settled
from ticket.assist.on_the_clock import running
from ticket.job.entry import Draft, Entry
from ticket.job.errors import ConflictError, DataError, InputError, NotFoundError, SealedError
from ticket.job.kinds import Did, Fact, Told
from ticket.job.picture import Picture
from ticket.job.progress import counted
from ticket.job.read_json import read_json
from ticket.job.ticket import Correction, Header, Ticket
from ticket.job.values import Clock, Ref
from ticket.job.wall import local_day
from ticket.notes.bounds import check_size
from ticket.notes.file import looks_like_ticket
from ticket.notes.write import write
from ticket.shop.opening import Shop
from ticket.shop.picture_taking import no_file, raw, take
from ticket.shop.reading import settled_on, ticket_of, unanswered, understand
from ticket.store.store import NewEntry

if TYPE_CHECKING:
    from ticket.machine.json_file import JsonFile
    from ticket.shop.arriving import Came
    from ticket.store.arrivals import Arrival, Making


NEEDS_REASON = "An amendment needs its reason: --reason TEXT."

NAMED = 12
"""Tickets that are named one by one; of more a summary is told."""


@dataclass(frozen=True, slots=True)
class Added:
    """An entry that was made, with what its typist should see."""

    entry: Entry
    settled: Settled


def new_ticket(shop: Shop, header: Header | None = None) -> int:
    """Open a ticket; its number."""
    return shop.store.open_ticket(header or Header(), shop.person)


def add_lines(shop: Shop, number: int, text: str, sticky: str = "", *, accept: bool = False) -> tuple[Added, ...]:
    """Add one typed line or a pasted block, as one action.

    Args:
        shop: the open shop.
        number: the ticket.
        text: one or several lines.
        sticky: the concern in the prompt.
        accept: adopt the proposed references.

    Raises:
        SealedError: the ticket is signed.
        InputError: the text holds no entry.
    """
    ticket = _open_ticket(shop, number)
    return add_settled(shop, ticket, understand(shop, ticket, text, sticky), accept=accept)


def add_settled(shop: Shop, ticket: Ticket, settled: Sequence[Settled], *, accept: bool) -> tuple[Added, ...]:
    """Add what :func:`~ticket.shop.reading.understand` understood, as one action."""
    if not settled:
        raise InputError("Nothing to add: the text holds no line.")
    new, held = _new_entries(shop, settled, accept=accept)
    entries = shop.store.add(ticket.number, new, shop.person, held)
    return tuple(Added(entry, item) for entry, item in zip(entries, settled, strict=True))


def _new_entries(
    shop: Shop, settled: Sequence[Settled], *, accept: bool = False, replaces: int | None = None
) -> tuple[list[NewEntry], list[Picture]]:
    facts, held = take(shop, [item.accepted if accept else item.draft.fact for item in settled])
    new = [
        NewEntry(fact, item.draft.concern, item.draft.shop_only, replaces, raw(fact, item.draft.line))
        for fact, item in zip(facts, settled, strict=True)
    ]
    return new, held


def edit_entry(shop: Shop, number: int, no: int, new: Fact, expected: Fact | None = None) -> Entry:
    """Change an entry of an open ticket; ``expected`` is what the editor saw before."""
    _open_ticket(shop, number)
    (taken,), held = take(shop, [new])
    return shop.store.edit(number, no, taken, shop.person, expected=expected, held=held)


def move_entry(shop: Shop, number: int, no: int, concern: str) -> None:
    """Give an entry to another concern."""
    _open_ticket(shop, number)
    shop.store.move(number, no, concern, shop.person)


def strike_entry(shop: Shop, number: int, no: int) -> None:
    """Take an entry back; it stays visible, struck."""
    _open_ticket(shop, number)
    shop.store.strike(number, no, shop.person)


def put_back(shop: Shop, number: int, no: int) -> None:
    """Let a struck entry stand again. Raises an error of ours where it is not struck, or the ticket is signed."""
    shop.store.unstrike(number, no, shop.person)


def mark_shop_only(shop: Shop, number: int, no: int, *, shop_only: bool) -> None:
    """Keep an entry from the customer's copy, or let it on again. Raises an error of ours on a signed ticket."""
    shop.store.mark_shop_only(number, no, shop.person, shop_only=shop_only)


def set_header(shop: Shop, number: int, header: Header) -> None:
    """Set what is known about vehicle, customer, odometer and promise."""
    _open_ticket(shop, number)
    shop.store.set_header(number, header, shop.person)


def set_status(shop: Shop, number: int, status: str) -> None:
    """Say what the ticket waits for."""
    _open_ticket(shop, number)
    shop.store.set_status(number, status, shop.person)


def undo(shop: Shop, number: int) -> str:
    """Take back this terminal's latest action on a ticket; says what was undone."""
    return shop.store.undo(number, shop.person)


def redo(shop: Shop, number: int) -> str:
    """Do again what was undone last."""
    return shop.store.redo(number, shop.person)


def sign_ticket(
    shop: Shop, number: int, *, rev: int | None = None, overruled: Mapping[str, str] | None = None, clock: str = ""
) -> str:
    """Close a ticket for good; its seal.

    Args:
        shop: the open shop.
        number: the ticket.
        rev: the state the signer read; the present one if left out.
        overruled: a typed reason for each blocking gap that stands, by gap id.
        clock: why it is signed though the clock is behind what was written already.

    Raises:
        ConflictError: blocking gaps without a reason, the ticket changed while it was read, or the clock is behind.
    """
    ticket = _open_ticket(shop, number)
    reasons = {gap_id: reason.strip() for gap_id, reason in (overruled or {}).items() if reason.strip()}

    left = [gap for gap in unanswered(shop, number) if gap.id not in reasons]
    if left:
        first = f"{left[0].question} [{left[0].id}]"
        more = f" and {len(left) - 1} more" if len(left) > 1 else ""
        raise ConflictError(f"Ticket {number} cannot be signed yet: {first}{more}; see ticket gaps {number}.")
    from ticket.shop.signed_papers import signing_for

    asked = shop.gate.permit(shop.person, "sign")
    rev = ticket.rev if rev is None else rev
    seal = shop.store.sign(number, rev, shop.person, reasons, signing_for(shop, reasons, asked=asked, clock=clock))
    _signed(shop)
    return seal


def amend_ticket(
    shop: Shop, number: int, text: str, reason: str, *, replaces: int | None = None, clock: str = ""
) -> tuple[Added, ...]:
    """Correct a signed ticket openly: new entries that say why, and what they replace; ``clock`` as for signing.

    Raises:
        InputError: no reason, no line, or more than one line replacing one entry.
        ConflictError: the ticket is not signed.
    """
    ticket = ticket_of(shop, number)
    if ticket.status != "signed":
        raise ConflictError(f"Ticket {number} is not signed: add to it with ticket add {number}.")
    if not reason.strip():
        raise InputError(NEEDS_REASON)
    settled = understand(shop, ticket, text, retyped=replaces or 0)
    if not settled:
        raise InputError("Nothing to add: the text holds no line.")
    if replaces is not None:
        _replaceable(shop, ticket, replaces, settled)
    new, held = _new_entries(shop, settled, replaces=replaces)
    from ticket.shop.signed_papers import signing_for

    signing = signing_for(shop, asked=shop.gate.permit(shop.person, "amend"), clock=clock)
    entries = shop.store.amend(number, new, reason.strip(), shop.person, held, signing)
    _signed(shop)
    return tuple(Added(entry, item) for entry, item in zip(entries, settled, strict=True))


def correct_header(shop: Shop, number: int, header: Header, reason: str, *, clock: str = "") -> Correction:
    """Correct vehicle, customer or odometer of a signed ticket openly; what was signed is kept and told beside it.

    Raises:
        InputError: no reason, or a field that sums or promises hang on.
        ConflictError: the ticket is not signed, or its header says that already.
    """
    if ticket_of(shop, number).status != "signed":
        raise ConflictError(f"Ticket {number} is not signed: change its header with ticket set {number}.")
    if not reason.strip():
        raise InputError(NEEDS_REASON)
    from ticket.shop.signed_papers import signing_for

    signing = signing_for(shop, asked=shop.gate.permit(shop.person, "amend"), clock=clock)
    made = shop.store.correct_header(number, header, reason.strip(), shop.person, signing)
    _signed(shop)
    return made


def begin_day(shop: Shop) -> None:
    """At the first start of a day, a signed row that stands for all before it, and the witnesses hear of it.

    Only where this login has signed before: an unsigned row would show nothing. A shop for practice has none.
    """
    newest = shop.store.proofs.head()
    if newest is None or shop.scratch or shop.hidden or local_day(datetime.fromisoformat(newest.at)) >= shop.today:
        return
    if shop.store.proofs.begin_day():
        tell_signed(shop)


def copy_of_day(shop: Shop) -> str:
    """Make the copy of a day that has none yet, where the shop wants one; a sentence where it cannot be made."""
    from ticket.shop import rolling_copies  # most commands make none

    return rolling_copies.copy_of_day(shop)


def start_day(shop: Shop) -> None:
    """What the first start of a day does: its row and its copy; what somebody should know stands in ``shop.told``."""
    begin_day(shop)
    shop.told = (*shop.told, *filter(None, (copy_of_day(shop),)))


def copy_into(shop: Shop, folder: Path, keep: int) -> tuple[Path, bool, list[Path]]:
    """Make a checked copy in a folder, kept by count; as :func:`ticket.shop.rolling_copies.roll`."""
    from ticket.shop.rolling_copies import roll

    return roll(shop, folder, keep)


def old_copies(shop: Shop) -> list[Path]:
    """The copies of this shop that can be found from here."""
    from ticket.shop import rolling_copies

    return rolling_copies.old_copies(shop)


def renew_copies(shop: Shop, old: list[Path]) -> Path:
    """Make a new checked copy, then take the old ones away; as :func:`ticket.shop.rolling_copies.renew_copies`."""
    from ticket.shop import rolling_copies

    return rolling_copies.renew_copies(shop, old)


def _signed(shop: Shop) -> None:
    """Behind a signature: its words are found, and the witnesses hear of it."""
    shop.store.refresh_words()
    shop.told = ()
    tell_signed(shop)


def tell_signed(shop: Shop) -> None:
    """Behind a signed row: the witnesses hear of it; what somebody should know of that stands in ``shop.told``."""
    from ticket.shop.witness import tell_witnesses

    shop.told = (*shop.told, *tell_witnesses(shop))


def _replaceable(shop: Shop, ticket: Ticket, no: int, settled: Sequence[Settled]) -> None:
    if ticket.entry(no) is None:
        raise NotFoundError(f"ticket {ticket.number} has no entry {no}")
    if len(settled) != 1:
        raise InputError("One entry is replaced by one line.")


def clock(shop: Shop, number: int, no: int) -> str:
    """Clock the person at the terminal on or off a labour line; what was done, in words.

    Times are wall times of the shop to the minute, as typed ones are.

    Raises:
        InputError: the entry is no labour.
        ConflictError: somebody else performs this labour.
    """
    ticket = ticket_of(shop, number)
    entry = ticket.entry(no)
    if entry is None or not isinstance(entry.fact, Did):
        raise InputError("Only labour runs on the clock: move the pointer to a line of work done.")
    fact = entry.fact
    performer = fact.by or entry.person
    span = running(fact)
    if performer != shop.person and (fact.by or fact.clock):
        raise ConflictError(f"Entry {no} is {performer}'s labour: add a line of your own for your time.")
    now = _wall(shop.now())
    by = fact.by or ("" if entry.person == shop.person else shop.person)
    if span is None:
        new = replace(fact, by=by, clock=(*fact.clock, Clock(now, now)))
        said = f"{shop.person} is on the clock since {now}"
    else:
        # A span whose end is its start would still run: one of no minutes is taken away instead of ended.
        spans = (item if item != span else Clock(item.start, now) for item in fact.clock)
        new = replace(fact, clock=tuple(item for item in spans if item.start != item.end))
        said = f"{shop.person} was on the clock from {span.start} to {now}"
        said = f"{shop.person} is off the clock; not a minute had passed" if span.start == now else said
    edit_entry(shop, number, no, new, fact)
    return said


def _wall(at: datetime) -> str:
    local = at.astimezone()
    return f"{local.hour}:{local.minute:02}"


def copy_entry(shop: Shop, source: int, no: int, into: int) -> Copied:
    """Copy an entry into an open ticket, with a remark for the shop that says where it comes from, as one action.

    What was measured or read on the other vehicle is not copied: its line comes without the value, to be taken here.
    What was the cause there, or was ruled out there, is a suspicion here.

    Raises:
        NotFoundError: no such entry.
        InputError: it is what a customer said.
        SealedError: the ticket is signed.
    """
    entry = ticket_of(shop, source).entry(no)
    if entry is None:
        raise NotFoundError(f"ticket {source} has no entry {no}")
    line = unmeasured(entry.fact)
    if line:
        return Copied(line=line)
    fact = carried(entry.fact)
    ticket = ticket_of(shop, into)
    new = [
        NewEntry(fact, last_concern(ticket), entry.shop_only, raw=write(fact)),
        NewEntry(copy_mark(fact, Ref(no, source)), shop_only=True),
    ]
    first, *_ = shop.store.add(into, new, shop.person)
    return Copied(number=first.no)


@dataclass(frozen=True, slots=True)
class Loaded:
    """Tickets that were taken in.

    Attributes:
        numbers: in the order they came.
        came: what is known of those that were signed elsewhere, by number; of the first few.
        words: how many each of such sentences is true of.
    """

    numbers: tuple[int, ...]
    came: Mapping[int, str]
    words: Mapping[str, int]


def load_documents(shop: Shop, documents: Sequence[tuple[str, "str | JsonFile"]], workers: int = 0) -> Loaded:
    """Take tickets in: all of them, or none.

    Args:
        shop: the open shop.
        documents: (file name, its text or JSON); a text that begins with ``{`` or ``[`` is a JSON document, else a
            plain ticket file.
        workers: how many other processes may read documents where there are many.

    Raises:
        InputError: naming file, place and reason.
    """
    sources = [one for name, text in documents if (one := _json(name, text)) is not None]
    plain = [(name, text) for name, text in documents if isinstance(text, str) and not looks_like_json(text)]
    for name, text in plain:
        _check_plain(name, text)
    if sources and plain:
        raise InputError("Load JSON documents and plain ticket files one after the other, not together.")
    if sources:
        return _load_json(shop, chain.from_iterable(sources), ", ".join(name for name, _ in documents), workers)
    numbers = tuple(_load_plain(shop, name, text) for name, text in counted(plain, "load", len(plain)))
    shop.store.refresh_words()
    return Loaded(numbers, {}, {})


def _load_json(shop: Shop, documents: "Iterable[tuple[str, Any]]", source: str, workers: int) -> Loaded:
    from ticket.shop.decoding_pool import read_all

    trusted = shop.store.proofs.trusted()
    came: dict[int, str] = {}
    words: Counter[str] = Counter()

    def arriving(made_with: "Making", seed: Callable[[], bytes]) -> "Iterator[Arrival]":
        with closing(read_all(documents, seed, made_with, trusted, workers)) as found:
            for one in found:
                _refuse_own(shop, one)
                if one.elsewhere is not None:
                    words[replace(one.elsewhere, seal="").words.replace(", seal ", "")] += 1
                    if len(came) < NAMED:
                        came[one.rows.number] = one.elsewhere.words
                yield one.rows

    numbers = shop.store.take_in(arriving, shop.person, source)
    return Loaded(numbers, came, words)


def _refuse_own(shop: Shop, one: "Came") -> None:
    """Raise :class:`ConflictError` for a ticket that was signed in this very shop, which has it."""
    own = shop.store.proofs.same_row(one.head) if one.head else None
    if own is None or one.head is None:
        return
    here = f"{one.name}: ticket {one.rows.number} was signed in this shop"
    raise ConflictError(
        f"{here} and is here already; nothing was loaded."
        if own
        else f"{here}, but its row {one.head.seq} is another here: run ticket audit; nothing was loaded."
    )


def _check_plain(name: str, text: str) -> None:
    """Raise :class:`InputError` where a text cannot be a plain ticket file."""
    if "\x00" in text:
        raise InputError(f"{name}: this is no text; nothing was loaded.")
    if not looks_like_ticket(text):
        raise InputError(
            f"{name}: this is no ticket file; nothing was loaded. Lines of one begin with words such as"
            " vehicle: says: found: did:"
        )
    check_size(text, name)


def looks_like_json(text: str) -> bool:
    """Whether a text is meant as JSON and no plain ticket file."""
    return text.lstrip()[:1] in ("{", "[")


def _json(name: str, source: "str | JsonFile") -> "Iterable[tuple[str, Any]] | None":
    """The documents of a source, each behind what to call it; ``None`` for plain lines."""
    if not isinstance(source, str):
        return source
    if not looks_like_json(source):
        return None
    try:
        data = read_json(source)
    except DataError as error:
        raise InputError(f"{name}: {error}; nothing was loaded.") from None
    if not isinstance(data, list):
        return [(name, data)]
    named = [(f"{name} (document {i})", document) for i, document in enumerate(data, 1)]
    return counted(named, "load", len(named))


def _load_plain(shop: Shop, name: str, text: str) -> int:
    from ticket.notes.file import read_file

    people = tuple(person.name for person in shop.people)
    sheet = read_file(text, people=people, rates=shop.settings.rates)
    if not sheet.drafts:
        raise InputError(f"{name}: the file holds no entry.")
    for draft in sheet.drafts:
        no_file(shop, draft.fact, name)
    number = shop.store.open_ticket(sheet.header, shop.person)
    add_settled(
        shop, ticket_of(shop, number), settled_on(shop, ticket_of(shop, number), sheet.drafts, ""), accept=False
    )
    return number


def _open_ticket(shop: Shop, number: int) -> Ticket:
    ticket = ticket_of(shop, number)
    if ticket.status == "signed":
        raise SealedError(f"Ticket {number} is signed: correct it with ticket amend {number}.")
    return ticket


def record_contact(shop: Shop, number: int, fact: Told) -> Added:
    """Write a contact, as one entry.

    Raises:
        InputError: nobody is named, or nothing was answered.
        SealedError: the ticket is signed.
    """
    if not fact.who.strip():
        raise InputError("Say who was spoken to, or whose number was tried.")
    if not fact.answers:
        raise InputError("No answer is marked yet: nothing was written.")
    draft = Draft(fact=fact, line=write(fact))
    ticket = ticket_of(shop, number)
    return add_settled(shop, ticket, [Settled(draft)], accept=False)[0]
