"""The second step of reading a line: what only the ticket knows.

The notation says what a line means by itself. Here the concern is settled, references are checked, what a line
rests on is proposed, and a scanner burst is told from a finding.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from ticket.faults.written import leading
from ticket.gaps.reference_gaps import unfit
from ticket.job.entry import Draft, Entry, Remark, Spoken, next_letter, refs_of
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Note, Offer, Ruled, Says, Used
from ticket.job.likeness import answered
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.job.values import PAYERS, Ref
from ticket.notes.bare_lead import bare_lead
from ticket.notes.lead import lead_of
from ticket.notes.open_pieces import line_of, read_again
from ticket.notes.read import read

_BURST = Regex(r"[A-Za-z0-9][A-Za-z0-9\-]{4,29}\Z")
_VIN = Regex(r"I?[A-HJ-NPR-Za-hj-npr-z0-9]{17}\Z")


@dataclass(frozen=True, slots=True)
class Settled:
    """A draft with everything the ticket adds.

    Attributes:
        proposed: entries the line probably rests on; adopted only when the typist accepts.
    """

    draft: Draft
    proposed: tuple[Ref, ...] = ()

    @property
    def accepted(self) -> Fact:
        """The fact with the proposal adopted."""
        fact = self.draft.fact
        if self.proposed and isinstance(fact, Cause | Offer | Did | Ruled | Later):
            return replace(fact, refs=self.proposed)
        return fact


def as_first(drafts: Sequence[Draft], ticket: Ticket) -> tuple[Draft, ...]:
    """What is typed first on a ticket is what the customer says, where it says no kind of its own.

    A reading, a question about it or a word of the notation makes it what it is read as; so does every later line, and
    a single word may come from a scanner. What names the ticket it came back from is the customer's, whatever else.
    """
    if ticket.entries or len(drafts) != 1:
        return tuple(drafts)
    draft = drafts[0]
    fact = draft.fact
    if not isinstance(fact, Found) or fact.measurements or len(fact.what.split()) < 2:
        return tuple(drafts)
    if lead_of(draft.line).kind or bare_lead(draft.line):
        return tuple(drafts)
    if any(remark.state != "remark" for remark in draft.remarks):
        spoken = read(f"{Says.kind}: {draft.line.strip()}")
        back = len(spoken) == 1 and getattr(spoken[0].fact, "back_from", None) and not spoken[0].remarks
        return (replace(draft, fact=spoken[0].fact, remarks=(), roles=()),) if back else tuple(drafts)
    return (replace(draft, fact=Says(text=fact.what), roles=()),)


PartLookup = Callable[[str], str | None]


def settle(
    drafts: Sequence[Draft],
    ticket: Ticket,
    sticky: str,
    part_known: PartLookup,
    bad: Callable[[Entry], bool],
    *,
    retyped: int = 0,
) -> tuple[Settled, ...]:
    """Drafts of one action, in order, as they would stand on the ticket.

    Args:
        drafts: what the notation read.
        ticket: as it stands.
        sticky: the concern in the prompt; empty means the last opened.
        part_known: description of a part number the shop has used, or ``None``.
        bad: whether an entry holds a reading out of limits.
        retyped: the entry that the drafts stand in for; what it said rests on nothing of its own.
    """
    others = _without(ticket, retyped) if retyped else ticket
    done: list[Settled] = []
    letters = [letter for entry in ticket.entries if isinstance(entry.fact, Says) for letter in entry.concerns]
    current = sticky or next(reversed(letters), "")
    concerns = {entry.no: entry.concern for entry in ticket.entries}
    known = {entry.no: (entry.fact, entry.struck) for entry in others.entries}
    next_no = max((entry.no for entry in ticket.entries), default=0) + 1
    if len(drafts) == 1 and not retyped:  # in a file or a block every line has the number that others name
        drafts = _shown_apart(drafts[0], next_no)
    for raw in drafts:
        draft, current = _under(burst(raw, ticket, part_known), current, letters, concerns)
        if isinstance(draft.fact, Says):
            letters.extend(draft.concern.split("+"))
        draft = replace(draft, fact=_paid(draft.fact, ticket.header.pays))
        draft = replace(draft, remarks=draft.remarks + _checks(draft, ticket.number, known, letters))
        concerns[next_no + len(done)] = draft.concern
        known[next_no + len(done)] = draft.fact, False
        done.append(Settled(draft, propose(draft, others, bad)))
    return tuple(done)


def _without(ticket: Ticket, no: int) -> Ticket:
    return replace(ticket, entries=tuple(entry for entry in ticket.entries if entry.no != no))


def _under(draft: Draft, current: str, letters: Sequence[str], concerns: Mapping[int, str]) -> tuple[Draft, str]:
    """The draft with its concern, and the concern of the lines behind it."""
    if draft.concern:
        return draft, draft.concern.split("+")[0]
    opens = isinstance(draft.fact, Says)
    if not opens and draft.fact.unbound:
        return draft, current
    own = next_letter(letters) if opens else _concern_of(draft.fact, concerns) or current
    return replace(draft, concern=own), own


def _shown_apart(draft: Draft, no: int) -> tuple[Draft, ...]:
    """``ruled: hub bearing; play 0.02 mm (max 0.05)``: the reading is a finding, which is judged, and is pointed at."""
    fact = draft.fact
    if not isinstance(fact, Ruled) or fact.refs or not fact.reason or draft.remarks:
        return (draft,)
    shown = replace(draft, fact=read(f"{Found.kind}: {fact.text} {fact.reason}")[0].fact, roles=())
    judged = isinstance(shown.fact, Found) and any(one.limits for one in shown.fact.measurements)
    open_ = read_again(line_of(shown.fact)).remarks
    return (shown, replace(draft, fact=Ruled(text=fact.text, refs=(Ref(no),)))) if judged and not open_ else (draft,)


def _paid(fact: Fact, payer: str) -> Fact:
    """A line that names no payer is paid by the one that the header names."""
    if payer != PAYERS[0] and isinstance(fact, Did | Used) and not fact.pays and not fact.split:
        return replace(fact, pays=payer)
    return fact


def _concern_of(fact: Fact, concerns: Mapping[int, str]) -> str:
    """The concern of what a line rests on: it knows better than the line before."""
    if fact.unbound:
        return ""
    found = (concerns.get(ref.no, "") for _, ref in refs_of(fact) if not ref.ticket)
    return next((concern for concern in found if concern), "")


def burst(draft: Draft, ticket: Ticket, part_known: PartLookup) -> Draft:
    """A line that is one scanned token: the vehicle's number, a known part, or a fault code."""
    token = draft.line.strip()
    if not isinstance(draft.fact, Found) or not _BURST.match(token):
        return draft
    if _VIN.match(token) and any(char.isdecimal() for char in token):
        vin = token[1:].upper() if len(token) == 18 else token.upper()
        known = ticket.header.vehicle.vin.upper()
        if not known:
            remark = "A vehicle number was scanned; the ticket has none yet. Set it with: ticket set N --vin " + vin
        elif known == vin:
            remark = "The scanned vehicle number is this vehicle's."
        else:
            remark = f"The scanned vehicle number is not this vehicle's ({known})."
        return replace(draft, fact=Note(text=f"scanned vehicle number {vin}"), remarks=(Remark(remark, 0, len(token)),))
    description = part_known(token)
    if description is not None:
        return replace(draft, fact=Used(amount="1", unit="x", part=token, text=description), remarks=())
    fault = leading(token)
    if fault is not None and fault[2] == len(token):
        return replace(draft, fact=Code(code=fault[0], sub=fault[1]), remarks=())
    return draft


def _wrong(role: str, no: int, fact: Fact, target: Fact | None, struck: bool) -> str:
    """Why a reference cannot be meant; empty where it can."""
    if target is None:
        return f"There is no entry {no} before this one."
    if struck:
        return f"Entry {no} was struck."
    return unfit(role, fact, no, target)


def _checks(
    draft: Draft, number: int, known: Mapping[int, tuple[Fact, bool]], letters: Sequence[str]
) -> tuple[Remark, ...]:
    """Questions about references and concerns; ``known`` holds what stands before the line, struck or not."""
    remarks = []
    end = len(draft.line)
    for role, ref in refs_of(draft.fact):
        if ref.ticket in (0, number) and (why := _wrong(role, ref.no, draft.fact, *known.get(ref.no, (None, False)))):
            remarks.append(Remark(why, 0, end, "question"))
    remarks.extend(_meant(spoken, known) for spoken in draft.spoken)
    strangers = [letter for letter in draft.concern.split("+") if letter and letters and letter not in letters]
    remarks.extend(Remark(f"There is no complaint {letter} on this ticket.", 0, end) for letter in strangers)
    return tuple(remarks)


def _meant(spoken: Spoken, known: Mapping[int, tuple[Fact, bool]]) -> Remark:
    """Which offer or deferred work an answer in words probably means; agreed to only once its number is typed."""
    word = "thinks" if spoken.answer == "wait" else spoken.answer
    alike = [
        (answered(spoken.to, fact.text), no)
        for no, (fact, struck) in known.items()
        if isinstance(fact, Offer | Later) and not struck and answered(spoken.to, fact.text)
    ]
    best = max(alike, default=(0, 0))
    answers = tuple(f"{word} {no}" for _, no in sorted(alike, reverse=True))
    hint = f"Write {answers[0]}." if best[1] else f"Write {word} and the number of the entry."
    text = f"Which entry was meant by “{spoken.to}”? {hint}"
    return Remark(text, spoken.start, spoken.end, "question", answers=answers)


def propose(draft: Draft, ticket: Ticket, bad: Callable[[Entry], bool]) -> tuple[Ref, ...]:
    """What the line rests on, where that is beyond doubt."""
    from ticket.assist.evidence import resting_on  # the word lists behind it are read when a line first asks for them

    return resting_on(draft, ticket, bad)
