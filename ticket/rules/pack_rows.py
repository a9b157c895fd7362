"""The rows of a rule pack: one class for each question a pack can answer, declared once for schema and checks."""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.job.numbers import exact
from ticket.money.json_shapes import choice, shaped
from ticket.money.prices import FEES, LINES

STATUSES = {"C": "read in the law itself", "S": "read in a secondary text", "M": "from memory"}
CHANNELS = ("signature", "writing", "email", "text message", "phone", "voice", "electronic", "other")
RECORD = (
    "date", "time", "who authorised", "who recorded", "channel", "number or address", "work added", "cost added",
    "new total", "designee name", "designee contact", "customer signature", "order number", "new completion date",
)  # fmt: skip
PAPERS = ("estimate", "teardown estimate", "order", "invoice", "receipt", "ready notice")
WHEN = ("always", "flat hours shown", "another payer", "prepaid", "work added", "dealer warranty")
CHARGES = (*FEES, "lump price", "teardown")
CONDITIONS = (
    "itemised on estimate", "itemised on invoice", "waste id printed", "words on estimate", "amount not percent",
    "on a separate paper", "law and sum named", "told in the estimate", "written notice given", "basis stated",
    "customer consent", "no price dispute",
)  # fmt: skip
TOPICS = (
    "sublet", "teardown", "another payer", "after hours", "handover", "late", "storage", "itemised bill asked",
    "itemised bill given", "receipt", "deposit back", "warranty audit", "privacy", "plain words", "come-back",
    "loss notice", "altering", "calibration", "labour time", "records",
)  # fmt: skip
PART_KINDS = (
    "new", "new, original maker", "new, other maker", "used", "rebuilt", "reconditioned", "crash, original maker",
    "crash, other maker",
)  # fmt: skip

# Rows ask one question each; two rows of a pack with the same question contradict or repeat each other.
Question = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """What every row carries.

    Attributes:
        id: short name of the rule, unique in its pack.
        status: ``C`` read in the law, ``S`` in a secondary text, ``M`` from memory.
        as_of: the day it was last compared with its source.
        edition: which edition of the source was read, where that matters.
        note: what the fields do not say, in our own words.
    """

    id: str = shaped("key")
    citation: str = shaped("words")
    status: str = choice(*STATUSES)
    as_of: str = shaped("date")
    edition: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateRow(PackRow):
    """When something about the price is owed before the work.

    Attributes:
        contact: face to face, remote (phone, after hours) or any.
        trigger: ``always``, ``above`` or ``from`` an amount, ``on request`` (also with an amount), ``never``.
        owed: what is owed: a written estimate, a choice the customer makes, a written authorisation or record.
        choices: what the customer chooses between.
        waiver: how the customer may do without; empty where the source names no way.
    """

    contact: str = choice("any", "face to face", "remote", default="any")
    trigger: str = choice("always", "above", "from", "on request", "never")
    amount: str = shaped("money", default="")
    owed: str = choice("written estimate", "choice", "written authorisation", "written record", "nothing")
    choices: tuple[str, ...] = ()
    waiver: str = ""

    def question(self) -> Question:
        """One answer for each way of contact."""
        return (self.contact,)

    def faults(self) -> Iterator[tuple[str, str]]:
        """A trigger by amount needs one."""
        if self.trigger in ("above", "from") and not self.amount:
            yield "amount", f"missing, since the trigger is {self.trigger!r}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeRow(PackRow):
    """Jobs a law does not reach: up to and including ``not_above``, or above ``not_over``."""

    not_above: str = shaped("money", default="")
    not_over: str = shaped("money", default="")

    def question(self) -> Question:
        """A pack has one scope."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrunRow(PackRow):
    """How much more than was agreed may be charged without asking again.

    limit = base + min(cap, combine(percent x base, amount)).

    Attributes:
        case: what was agreed: an ``estimate``, ``no estimate`` (base 0), a ``price limit`` set by the customer,
            or a ``diagnosis only`` after which the repair was declined.
        start: the row holds for bases from this amount on; empty for 0.
        below: and under this one; empty for all.
        combine: which of percentage and amount governs; ``none`` allows nothing above the base.
        consent: needed for a sum ``above`` the limit, or already ``at`` it.
        before_tax: the limit is measured before sales tax.
        void_if: what makes the allowance fall away.
        asked_only: holds only where the customer asked for the estimate.
        void_citation: where ``void_if`` stands, if elsewhere.
    """

    case: str = choice("estimate", "no estimate", "price limit", "diagnosis only", default="estimate")
    start: str = shaped("money", default="")
    below: str = shaped("money", default="")
    percent: str = shaped("percent", default="")
    amount: str = shaped("money", default="")
    combine: str = choice("lesser", "greater", "percent", "amount", "none")
    cap: str = shaped("money", default="")
    consent: str = choice("above", "at", default="above")
    before_tax: bool = False
    void_if: str = choice("asked to be called", default="")
    asked_only: bool = False

    def question(self) -> Question:
        """One answer for each case and band of bases."""
        return (self.case, self.start or "0")

    def faults(self) -> Iterator[tuple[str, str]]:
        """Figures that ``combine`` needs and are missing, or does not use and are there."""
        needs = {
            "lesser": {"percent", "amount"}, "greater": {"percent", "amount"},
            "percent": {"percent"}, "amount": {"amount"}, "none": set(),
        }[self.combine]  # fmt: skip
        for name in ("percent", "amount"):
            if name in needs and not getattr(self, name):
                yield name, f"missing, since combine is {self.combine!r}"
            if name not in needs and getattr(self, name):
                yield name, f"unused, since combine is {self.combine!r}"
        if self.cap and self.combine == "none":
            yield "cap", "unused, since combine is 'none'"
        if self.case == "no estimate" and self.percent:
            yield "percent", "there is no estimate to take it of"
        if self.start and self.below and (exact(self.below) or 0) <= (exact(self.start) or 0):
            yield "below", "must be more than start"


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsentRow(PackRow):
    """How consent may be given and what must be written down.

    Attributes:
        case: the first authorisation, extra work, a designated person, or a delivery out of hours.
        record: fields that must be recorded.
        if_used: fields that must be recorded where a number or address was used.
        where: the papers it is recorded on.
        barred: who may not be the designated person.
        timing: when it must be had.
    """

    case: str = choice("first", "extra", "designee", "odd delivery", "late")
    channels: tuple[str, ...] = shaped(each=CHANNELS, default=())
    record: tuple[str, ...] = shaped(each=RECORD, default=())
    if_used: tuple[str, ...] = shaped(each=RECORD, default=())
    where: tuple[str, ...] = shaped(each=PAPERS, default=())
    barred: tuple[str, ...] = ()
    timing: str = ""
    words: str = ""

    def question(self) -> Question:
        """One answer for each case."""
        return (self.case,)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRow(PackRow):
    """Fields a paper must carry; keys of ``fields.tsv``.

    Attributes:
        amount: with ``prepaid``: the sum from which on the row holds.
        blocks: the paper must not be given out without them.
        part_kinds: the kinds a part must be told to be, where the law lists them.
    """

    paper: str = choice(*PAPERS)
    when: str = choice(*WHEN, default="always")
    amount: str = shaped("money", default="")
    fields: tuple[str, ...] = shaped("key", default=())
    blocks: bool = False
    part_kinds: tuple[str, ...] = shaped(each=PART_KINDS, default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeRow(PackRow):
    """Whether a charge may be made, and on what conditions.

    Attributes:
        rule: ``forbidden``, or ``allowed`` under the conditions of ``needs``.
        below: allowed only for sums under this one.
        amount: the sum the law fixes, for each piece.
        words: the sentence the paper must carry, as the law prescribes it.
    """

    charge: str = choice(*CHARGES)
    rule: str = choice("forbidden", "allowed")
    needs: tuple[str, ...] = shaped(each=CONDITIONS, default=())
    below: str = shaped("money", default="")
    amount: str = shaped("money", default="")
    words: str = ""

    def question(self) -> Question:
        """One answer for each charge."""
        return (self.charge,)

    def faults(self) -> Iterator[tuple[str, str]]:
        """What is forbidden needs no conditions; a prescribed sentence needs words."""
        if self.rule == "forbidden" and (self.needs or self.below or self.amount):
            yield "rule", "forbidden, yet there are conditions under which it is allowed"
        if "words on estimate" in self.needs and not self.words:
            yield "words", "missing, since they must stand on the estimate"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsRow(PackRow):
    """What is owed to the customer about the parts taken off.

    Attributes:
        duty: ``give back`` without being asked, ``unless declined``, ``on request``, ``on written demand``,
            ``offer``, or ``show`` on request.
        exempt: parts that need not be given back.
        say: what the papers must say of parts that cannot be given back.
    """

    duty: str = choice("give back", "unless declined", "on request", "on written demand", "offer", "show")
    exempt: tuple[str, ...] = shaped(each=("exchange", "warranty", "heavy", "soaked", "free"), default=())
    say: str = ""

    def question(self) -> Question:
        """A pack has one duty."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WarrantyRow(PackRow):
    """Warranty on a repair: a term the law gives (``implied``) or one the shop must put on paper (``state``)."""

    kind: str = choice("implied", "state", "extend")
    days: str = shaped("count", default="")
    months: str = shaped("count", default="")
    distance: str = shaped("count", default="")
    unit: str = choice("km", "mi", default="")
    on: str = ""

    def question(self) -> Question:
        """One answer for each kind."""
        return (self.kind,)

    def faults(self) -> Iterator[tuple[str, str]]:
        """An implied warranty has a term; a distance has a unit."""
        if self.kind == "implied" and not (self.days or self.months or self.distance):
            yield "days", "an implied warranty has a term"
        if bool(self.distance) != bool(self.unit):
            yield "unit", "goes with a distance"


@dataclass(frozen=True, slots=True, kw_only=True)
class RetentionRow(PackRow):
    """How long papers are kept, counted from the end of the job.

    Attributes:
        longer_of: what makes it longer: an open complaint, a longer warranty.
        none: the law that was read has no period.
    """

    what: str = choice("repair records", "tax records", default="repair records")
    years: str = shaped("count", default="")
    months: str = shaped("count", default="")
    longer_of: tuple[str, ...] = shaped(each=("complaint", "warranty"), default=())
    none: bool = False

    def question(self) -> Question:
        """One answer for each kind of record."""
        return (self.what,)

    def faults(self) -> Iterator[tuple[str, str]]:
        """A period, or the statement that there is none."""
        if self.none == bool(self.years or self.months):
            yield "years", "give a period, or say that there is none"


@dataclass(frozen=True, slots=True, kw_only=True)
class TermRow(PackRow):
    """A span of time a topic allows or demands; ``working days`` leave out Saturday, Sunday and holidays."""

    topic: str = choice(*TOPICS)
    number: str = shaped("count")
    unit: str = choice("days", "working days", "months")

    def question(self) -> Question:
        """One span for each topic."""
        return (self.topic,)


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyRow(PackRow):
    """A duty in words, for what no figure decides."""

    topic: str = choice(*TOPICS)
    duty: str = shaped("words")

    def question(self) -> Question:
        """A topic may have several duties, each said once."""
        return (self.topic, self.duty)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow(PackRow):
    """A figure of occupational or environmental law above which a usual way of working no longer does."""

    topic: str = shaped("key")
    number: str = shaped("number")
    unit: str = shaped("words")
    duty: str = shaped("words")

    def question(self) -> Question:
        """One limit for each topic."""
        return (self.topic,)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRow(PackRow):
    """Whether a class of line is taxed: ``yes``, ``no``, or ``apart`` (not taxed while on a line of its own)."""

    line: str = choice(*LINES)
    taxed: str = choice("yes", "no", "apart")

    def question(self) -> Question:
        """One answer for each class of line."""
        return (self.line,)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundingRow(PackRow):
    """How tax is rounded there.

    Attributes:
        method: ``half up``, or ``down allowed``.
        level: who chooses between line and invoice: the ``seller``, or only one of the two is allowed.
        rates_are: combined, split, or either.
        cash: the smallest step of a cash total, in the currency.
    """

    method: str = choice("half up", "down allowed", default="half up")
    level: str = choice("seller", "line", "invoice", default="seller")
    rates_are: str = choice("combined", "split", "either", default="either")
    cash: str = shaped("money", default="")

    def question(self) -> Question:
        """A pack has one way."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreRow(PackRow):
    """Whether a returned core lowers the taxed sum, by the condition of the part."""

    condition: str = choice("new", "used", "rebuilt", "reconditioned")
    before_tax: bool

    def question(self) -> Question:
        """One answer for each condition."""
        return (self.condition,)
