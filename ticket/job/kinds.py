"""The kinds of entry, each described once.

The order of the classes is the order of the bands on the ticket. A new field or a new class here appears in the
notation, on the form, in help and bands, in the JSON schema, the database view, the search, and on the papers without
another line of code.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from ticket.job.field_specs import flag, following, head, word
from ticket.job.values import PAYERS, SUMS_TOLD, Answer, Clock, Due, Measurement, Ref, Run, Share

JUDGEMENTS = ("may wait", "do soon", "do now", "do not drive")
SURENESS = ("certain", "likely")
CONDITIONS = ("new", "used", "rebuilt", "reconditioned", "customer's own", "sublet")
STATUSES = (
    "stored", "stored again", "pending", "permanent", "active", "active again", "previously active",
    "intermittent", "cleared", "history",
)  # fmt: skip
_PICTURE = "a file on this machine, or the first digits of a picture that was taken"
MOMENTS = ("at arrival", "after repair", "after road test")
WAYS = ("phone", "text message", "email", "letter", "in person", "in writing", "radio")
_TYPED = "with its readings: front pads LF 7 RF 2 mm (min 3)"
_OLDER = "as older tickets hold their readings"
_SPLIT = "per cent of the line, such as: warranty 60, customer 40"
_OUTCOMES = ("done here", "done elsewhere", "looked at, still waits", "gone")
ANSWERS = ("yes", "no", "thinks", "no answer", "left message", "asked")


_KINDS: dict[str, "type[Fact]"] = {}
KINDS: Mapping[str, "type[Fact]"] = MappingProxyType(_KINDS)
"""Every kind by its word, in the order of their declarations."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """What every kind of entry declares beside its fields.

    Attributes:
        kind: the word a technician types.
        title: what one entry of it is called.
        band: the words over its entries, on the screen and where papers have no title of their own for it.
        example: one line of it, for the help.
        short: a shorter lead; empty for none.
        usual: its place among the kinds by how often they are typed, where one key goes through them all.
        column: the column of the word index that holds its prose: complaint, findings, cause, correction, offered,
            parts or units; empty where it is not searched.
        inside: never told outside the shop.
        unbound: belongs to the whole ticket unless a letter is typed; else to the concern typed last.
    """

    kind: ClassVar[str]
    title: ClassVar[str]
    band: ClassVar[str]
    example: ClassVar[str]
    short: ClassVar[str] = ""
    usual: ClassVar[int] = 99
    column: ClassVar[str] = "findings"
    inside: ClassVar[bool] = False
    unbound: ClassVar[bool] = False

    def __init_subclass__(cls) -> None:
        """Enter the kind; a declaration that leaves something out is a mistake of the program."""
        super(Fact, cls).__init_subclass__()
        for name in ("kind", "title", "band", "example"):
            if not getattr(cls, name, ""):
                raise TypeError(f"the kind of entry {cls.__name__} declares no {name}")
        _KINDS[cls.kind] = cls


@dataclass(frozen=True, slots=True, kw_only=True)
class Says(Fact):
    """A complaint in the customer's words; opens a concern."""

    kind: ClassVar[str] = "says"
    title: ClassVar[str] = "complaint"
    band: ClassVar[str] = "what the customer says"
    example: ClassVar[str] = "says: fan roars all the time, since Tuesday; worse on hills"
    short: ClassVar[str] = "s"
    usual: ClassVar[int] = 11
    column: ClassVar[str] = "complaint"
    text: str = head("the customer's words", free=True, help="when, under what conditions, since when")
    reproduced: str = flag("could the shop make it happen", ("reproduced", "not reproduced"))
    back_from: str = word("back from", "came back from ticket", "number", help="number of the earlier ticket")


@dataclass(frozen=True, slots=True, kw_only=True)
class Code(Fact):
    """A stored fault as the scan tool told it, or the fact that none was stored (``code`` is ``none``)."""

    kind: ClassVar[str] = "code"
    title: ClassVar[str] = "fault"
    band: ClassVar[str] = "fault codes"
    example: ClassVar[str] = "code: P1A30-7B fan control, stored"
    short: ClassVar[str] = "co"
    usual: ClassVar[int] = 13
    column: ClassVar[str] = "units"
    code: str = head("code", "code", alone=True)
    sub: str = head("sub-code", "sub", default="", help="as told by the tool, without the dash")
    unit: str = head("control unit", default="", free=True, alone=False)
    status: str = flag("status", STATUSES)
    times: str = flag("times counted", (), help="such as: 14 times")
    moment: str = flag("when read", MOMENTS)
    frame: str = word(
        "frame:", "freeze frame", "text", free=True, alone=False, help="what the unit saved with the fault"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Found(Fact):
    """A finding as typed, the measurements in it with their limits, and what was seen beside them.

    In a finding with measurements ``seen`` is what of the text belongs to none of them; without, ``what`` says it all.
    """

    kind: ClassVar[str] = "found"
    title: ClassVar[str] = "finding"
    band: ClassVar[str] = "what was found"
    example: ClassVar[str] = "found: fan-drive reservoir level -14 mm (-3 to 0 per maker)"
    short: ClassVar[str] = "f"
    usual: ClassVar[int] = 1
    what: str = head("what was looked at", default="", help=_TYPED, free=True)
    measurements: tuple[Measurement, ...] = head("measurements", "measurements", default=(), alone=True, read=True)
    run: Run | None = head("readings", "run", default=None, alone=True, read=True, help=_OLDER)
    seen: str = head("what was seen", default="", free=True, read=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Maybe(Fact):
    """A suspected cause that nothing has settled yet."""

    kind: ClassVar[str] = "maybe"
    title: ClassVar[str] = "suspected cause"
    band: ClassVar[str] = "what it could be"
    example: ClassVar[str] = "maybe: air in the fan drive"
    short: ClassVar[str] = "m"
    usual: ClassVar[int] = 9
    text: str = head("what it could be", free=True)
    refs: tuple[Ref, ...] = word("from", "findings it rests on", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled(Fact):
    """A cause that was ruled out, and what shows it."""

    kind: ClassVar[str] = "ruled"
    title: ClassVar[str] = "ruled-out cause"
    band: ClassVar[str] = "what it is not"
    example: ClassVar[str] = "ruled: outside leak; housing and hoses dry after 20 min at idle"
    short: ClassVar[str] = "r"
    usual: ClassVar[int] = 10
    text: str = head("what it is not", free=True)
    reason: str = following("what shows it", free=True)
    refs: tuple[Ref, ...] = word("from", "findings that show it", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause(Fact):
    """The cause, how sure it is, and the findings that prove it."""

    kind: ClassVar[str] = "cause"
    title: ClassVar[str] = "cause"
    band: ClassVar[str] = "the cause"
    example: ClassVar[str] = "cause: fluid passing the shaft seal; likely; from 3 4"
    short: ClassVar[str] = "ca"
    usual: ClassVar[int] = 6
    column: ClassVar[str] = "cause"
    text: str = head("what it is", free=True)
    sure: str = flag("how sure", SURENESS)
    refs: tuple[Ref, ...] = word("from", "findings that prove it", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer(Fact):
    """Work proposed to the customer; answered only by a contact."""

    kind: ClassVar[str] = "offer"
    title: ClassVar[str] = "proposed work"
    band: ClassVar[str] = "work proposed"
    example: ClassVar[str] = "offer: refill and bleed fan drive; for 3; do now; est 228.40"
    short: ClassVar[str] = "o"
    usual: ClassVar[int] = 8
    column: ClassVar[str] = "offered"
    text: str = head("what we propose", free=True)
    refs: tuple[Ref, ...] = word("for", "findings it answers", "refs", default=())
    judgement: str = flag("how pressing", JUDGEMENTS)
    hours: str = word("hours", "labour hours", "number")
    parts: str = word("parts", "parts price", "money")
    estimate: str = word("est", "estimate", "money", help="the whole price named to the customer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Did(Fact):
    """Labour: the operation, its hours, and who pays for it."""

    kind: ClassVar[str] = "did"
    title: ClassVar[str] = "labour"
    band: ClassVar[str] = "work done"
    example: ClassVar[str] = "did: 1.2 h refill and bleed fan drive; for 7; rate engine"
    short: ClassVar[str] = "d"
    usual: ClassVar[int] = 2
    column: ClassVar[str] = "correction"
    hours: str = head("billed hours", "number", default="")
    text: str = head("operation", free=True)
    refs: tuple[Ref, ...] = word("for", "offer it carries out", "refs", default=())
    clock: tuple[Clock, ...] = word("clock", "clock times", "clock", default=())
    less: str = word("less", "hours shared with other work", "number", help="cut from the billed hours")
    shared: str = word(
        "shared:", "why they are shared", "text", free=True, alone=False, help="such as: wheels are off anyway"
    )
    by: str = word("by", "done by", "person")
    rate: str = word("rate", "rate class", "rate")
    pays: str = word("pay", "who pays", "payer", choices=PAYERS)
    split: tuple[Share, ...] = word("split", "who pays what", "split", default=(), help=_SPLIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Used(Fact):
    """A part, a fluid or work bought outside."""

    kind: ClassVar[str] = "used"
    title: ClassVar[str] = "part, fluid, sublet"
    band: ClassVar[str] = "parts and fluids"
    example: ClassVar[str] = "used: 0.9 L FD-46 fan-drive fluid @ 21.40/L"
    short: ClassVar[str] = "u"
    usual: ClassVar[int] = 4
    column: ClassVar[str] = "parts"
    amount: str = head("quantity", "number", default="")
    unit: str = head("unit", "unit", default="", help="x for pieces, or set, L, qt ...")
    part: str = head("part number", "part", default="")
    text: str = head("description", free=True)
    condition: str = head("condition", "choice", default="", choices=CONDITIONS)
    price: str = head("price each", "money", default="")
    core: str = word("core", "core charge", "money")
    back: str = word("core back", "old parts that came back", "number", help="how many, against the core charge")
    cost: str = word("cost", "cost to the shop", "money")
    refs: tuple[Ref, ...] = word("for", "offer it belongs to", "refs", default=())
    pays: str = word("pay", "who pays", "payer", choices=PAYERS)
    split: tuple[Share, ...] = word("split", "who pays what", "split", default=(), help=_SPLIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Later(Fact):
    """Deferred work: what waits, why it may, what may happen meanwhile, and when to come back."""

    kind: ClassVar[str] = "later"
    title: ClassVar[str] = "deferred work"
    band: ClassVar[str] = "what waits"
    example: ClassVar[str] = (
        "later: replace shaft seal; may wait; because it may have seeped slowly; risk: fan may stop; in 1500 km"
    )
    short: ClassVar[str] = "l"
    usual: ClassVar[int] = 7
    column: ClassVar[str] = "offered"
    text: str = head("what waits", free=True)
    judgement: str = flag("the shop's judgement", JUDGEMENTS)
    because: str = word("because", "why", "text", free=True)
    risk: str = word("risk:", "what may happen meanwhile", "text", free=True)
    watch: str = word("watch:", "what to watch for", "text", free=True)
    due: Due | None = word("in", "come back in", "due", default=None, help="1500 km or 2 months")
    date: str = word("by", "come back by", "date", help="a day, such as 2027-04-30")
    estimate: str = word("est", "estimate", "money")
    refs: tuple[Ref, ...] = word("for", "finding behind it", "refs", default=())
    answer: str = flag("answer to earlier work", _OUTCOMES, alone=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told(Fact):
    """One contact with the customer or payer: who, how, and what was answered."""

    kind: ClassVar[str] = "told"
    title: ClassVar[str] = "contact"
    band: ClassVar[str] = "what was said and agreed"
    example: ClassVar[str] = "told: Ada Fenn by phone 555-0134, yes 7; total 228.40"
    short: ClassVar[str] = "t"
    usual: ClassVar[int] = 5
    column: ClassVar[str] = ""
    unbound: ClassVar[bool] = True
    who: str = head("who", free=True, private=True, alone=True)
    way: str = head("how", "choice", default="", choices=WAYS, alone=True)
    address: str = head("number or address used", default="", free=True, private=True, alone=True)
    words: str = head("what was said", default="", free=True)
    answers: tuple[Answer, ...] = head("answers", "answers", default=(), alone=True)
    total: str = word("total", "new total", "money", alone=True)
    ceiling: str = word("up to", "ceiling", "money", alone=True)
    deposit: str = word("deposit", "paid at this contact", "money", alone=True)
    tax: str = flag("how the sum was told", SUMS_TOLD)
    at: str = word("at", "when", "time", help="14:10, or 2026-03-02 14:10")
    by: str = word("by", "taken by", "person")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof(Fact):
    """Verification: road test, codes read again, or earlier readings taken again; its text as in a finding."""

    kind: ClassVar[str] = "proof"
    title: ClassVar[str] = "verification"
    band: ClassVar[str] = "how we know"
    example: ClassVar[str] = "proof: 3 now -1 mm"
    short: ClassVar[str] = "p"
    usual: ClassVar[int] = 3
    of: Ref | None = head("measures again", "ref", default=None)
    what: str = head("what was tested", default="", help=_TYPED, free=True)
    measurements: tuple[Measurement, ...] = head("measurements", "measurements", default=(), alone=True, read=True)
    run: Run | None = head("readings", "run", default=None, alone=True, read=True, help=_OLDER)
    seen: str = head("what was seen", default="", free=True, read=True)
    result: str = flag("result", ("passed", "failed"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo(Fact):
    """A picture of what was seen; the shop keeps it under the digest of its content, which is what the entry holds."""

    kind: ClassVar[str] = "photo"
    title: ClassVar[str] = "picture"
    band: ClassVar[str] = "pictures"
    example: ClassVar[str] = "photo: fan-housing.jpg; wet below the seal; for 4; before"
    short: ClassVar[str] = "ph"
    usual: ClassVar[int] = 14
    picture: str = head("file", "picture", alone=True, help=_PICTURE)
    text: str = following("caption", free=True)
    refs: tuple[Ref, ...] = word("for", "what it shows", "refs", default=())
    stage: str = flag("when", ("before", "after"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Fact):
    """A remark for the shop; never on the customer's copy."""

    kind: ClassVar[str] = "note"
    title: ClassVar[str] = "remark"
    band: ClassVar[str] = "for the shop"
    example: ClassVar[str] = "# seal kit is a two-day order"
    short: ClassVar[str] = "n"
    usual: ClassVar[int] = 12
    column: ClassVar[str] = ""
    inside: ClassVar[bool] = True
    unbound: ClassVar[bool] = True
    text: str = head("remark", free=True)
