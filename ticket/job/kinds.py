"""The thirteen kinds of entry, each described once.

The order of the classes is the order of the bands on the ticket. A new field here appears in the notation, on
the form, in the JSON schema and in the database view without another line of code.
"""

from dataclasses import dataclass
from typing import ClassVar

from ticket.job.fields import flag, following, head, word
from ticket.job.values import PAYERS, Answer, Clock, Due, Measurement, Ref, Run, Share

JUDGEMENTS = ("may wait", "do soon", "do now", "do not drive")
SURENESS = ("certain", "likely")
CONDITIONS = ("new", "used", "rebuilt", "reconditioned", "customer's own", "sublet")
STATUSES = (
    "stored", "stored again", "pending", "permanent", "active", "active again", "previously active",
    "intermittent", "cleared", "history",
)  # fmt: skip
MOMENTS = ("at arrival", "after repair", "after road test")
WAYS = ("phone", "text message", "email", "letter", "in person", "in writing")
_TYPED = "with its readings: front pads LF 7 RF 2 mm (min 3)"
_OLDER = "as older tickets hold their readings"
_SPLIT = "per cent of the line, such as: warranty 60, customer 40"
ANSWERS = ("yes", "no", "thinks", "no answer", "left message", "asked")


@dataclass(frozen=True, slots=True, kw_only=True)
class Says:
    """A complaint in the customer's words; opens a concern."""

    kind: ClassVar[str] = "says"
    title: ClassVar[str] = "complaint"
    text: str = head("the customer's words", free=True, help="when, under what conditions, since when")
    reproduced: str = flag("could the shop make it happen", ("reproduced", "not reproduced"))
    back_from: str = word("back from", "came back from ticket", "number", help="number of the earlier ticket")


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A stored fault as the scan tool told it, or the fact that none was stored (``code`` is ``none``)."""

    kind: ClassVar[str] = "code"
    title: ClassVar[str] = "fault"
    code: str = head("code", "code", index="code")
    sub: str = head("sub-code", "sub", default="", index="code", help="as told by the tool, without the dash")
    unit: str = head("control unit", default="", free=True)
    status: str = flag("status", STATUSES)
    times: str = flag("times counted", (), help="such as: 14 times")
    moment: str = flag("when read", MOMENTS)
    frame: str = word("frame:", "freeze frame", "text", free=True, help="what the unit saved with the fault")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A finding as typed, the measurements in it with their limits, and what was seen beside them.

    In a finding with measurements ``seen`` is what of the text belongs to none of them; without, ``what`` says it all.
    """

    kind: ClassVar[str] = "found"
    title: ClassVar[str] = "finding"
    what: str = head("what was looked at", default="", help=_TYPED, free=True, index="reading")
    measurements: tuple[Measurement, ...] = head("measurements", "measurements", default=(), index="reading", read=True)
    run: Run | None = head("readings", "run", default=None, index="reading", read=True, help=_OLDER)
    seen: str = head("what was seen", default="", free=True, read=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Maybe:
    """A suspected cause that nothing has settled yet."""

    kind: ClassVar[str] = "maybe"
    title: ClassVar[str] = "suspected cause"
    text: str = head("what it could be", free=True)
    refs: tuple[Ref, ...] = word("from", "findings it rests on", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """A cause that was ruled out, and what shows it."""

    kind: ClassVar[str] = "ruled"
    title: ClassVar[str] = "ruled-out cause"
    text: str = head("what it is not", free=True)
    reason: str = following("what shows it", free=True)
    refs: tuple[Ref, ...] = word("from", "findings that show it", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """The cause, how sure it is, and the findings that prove it."""

    kind: ClassVar[str] = "cause"
    title: ClassVar[str] = "cause"
    text: str = head("what it is", free=True, index="words")
    sure: str = flag("how sure", SURENESS)
    refs: tuple[Ref, ...] = word("from", "findings that prove it", "refs", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """Work proposed to the customer; answered only by a contact."""

    kind: ClassVar[str] = "offer"
    title: ClassVar[str] = "proposed work"
    text: str = head("what we propose", free=True)
    refs: tuple[Ref, ...] = word("for", "findings it answers", "refs", default=())
    judgement: str = flag("how pressing", JUDGEMENTS)
    hours: str = word("hours", "labour hours", "number")
    parts: str = word("parts", "parts price", "money")
    estimate: str = word("est", "estimate", "money", help="the whole price named to the customer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Did:
    """Labour: the operation, its hours, and who pays for it."""

    kind: ClassVar[str] = "did"
    title: ClassVar[str] = "labour"
    hours: str = head("billed hours", "number", default="")
    text: str = head("operation", free=True)
    refs: tuple[Ref, ...] = word("for", "offer it carries out", "refs", default=())
    clock: tuple[Clock, ...] = word("clock", "clock times", "clock", default=())
    less: str = word("less", "hours shared with other work", "number", help="cut from the billed hours")
    shared: str = word("shared:", "why they are shared", "text", free=True, help="such as: wheels are off anyway")
    by: str = word("by", "done by", "person")
    rate: str = word("rate", "rate class", "rate")
    pays: str = word("pay", "who pays", "payer", choices=PAYERS)
    split: tuple[Share, ...] = word("split", "who pays what", "split", default=(), help=_SPLIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A part, a fluid or work bought outside."""

    kind: ClassVar[str] = "used"
    title: ClassVar[str] = "part, fluid, sublet"
    amount: str = head("quantity", "number", default="")
    unit: str = head("unit", "unit", default="", help="x for pieces, or set, L, qt ...")
    part: str = head("part number", "part", default="", index="part")
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
class Later:
    """Deferred work: what waits, why it may, what may happen meanwhile, and when to come back."""

    kind: ClassVar[str] = "later"
    title: ClassVar[str] = "deferred work"
    text: str = head("what waits", free=True)
    judgement: str = flag("the shop's judgement", JUDGEMENTS)
    because: str = word("because", "why", "text", free=True)
    risk: str = word("risk:", "what may happen meanwhile", "text", free=True)
    watch: str = word("watch:", "what to watch for", "text", free=True)
    due: Due | None = word("in", "come back in", "due", default=None, index="due", help="1500 km or 2 months")
    date: str = word("by", "come back by", "date", index="due", help="2026-03-02")
    estimate: str = word("est", "estimate", "money")
    refs: tuple[Ref, ...] = word("for", "finding behind it", "refs", default=())
    answer: str = flag("answer to earlier work", ("done here", "done elsewhere", "looked at, still waits", "gone"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One contact with the customer or payer: who, how, and what was answered."""

    kind: ClassVar[str] = "told"
    title: ClassVar[str] = "contact"
    who: str = head("who", free=True, private=True)
    way: str = head("how", "choice", default="", choices=WAYS)
    address: str = head("number or address used", default="", free=True, private=True)
    words: str = head("what was said", default="", free=True)
    answers: tuple[Answer, ...] = head("answers", "answers", default=())
    total: str = word("total", "new total", "money")
    ceiling: str = word("up to", "ceiling", "money")
    deposit: str = word("deposit", "paid at this contact", "money")
    at: str = word("at", "when", "time", help="14:10, or 2026-03-02 14:10")
    by: str = word("by", "taken by", "person")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """Verification: road test, codes read again, or earlier readings taken again; its text as in a finding."""

    kind: ClassVar[str] = "proof"
    title: ClassVar[str] = "verification"
    of: Ref | None = head("measures again", "ref", default=None)
    what: str = head("what was tested", default="", help=_TYPED, free=True, index="reading")
    measurements: tuple[Measurement, ...] = head("measurements", "measurements", default=(), index="reading", read=True)
    run: Run | None = head("readings", "run", default=None, index="reading", read=True, help=_OLDER)
    seen: str = head("what was seen", default="", free=True, read=True)
    result: str = flag("result", ("passed", "failed"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A remark for the shop; never on the customer's copy."""

    kind: ClassVar[str] = "note"
    title: ClassVar[str] = "remark"
    text: str = head("remark", free=True)


Fact = Says | Code | Found | Maybe | Ruled | Cause | Offer | Did | Used | Later | Told | Proof | Note
KINDS: dict[str, type[Fact]] = {
    kind.kind: kind for kind in (Says, Code, Found, Maybe, Ruled, Cause, Offer, Did, Used, Later, Told, Proof, Note)
}
