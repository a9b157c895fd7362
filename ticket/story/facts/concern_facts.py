"""The facts of one concern that the first sentence rests on: asked, found, cause, work, parts, proof, open."""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Offer, Photo, Proof, Ruled, Says, Used
from ticket.job.likeness import content_words, shared
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.language.subjects import OPEN, clauses, sense_of
from ticket.readings.measured_groups import measures, prose
from ticket.readings.measured_groups import words_of as prose_of
from ticket.readings.pairing import judge_entry
from ticket.story.context import SHARED, Job
from ticket.story.facts.answered import agreed, refused, unheard
from ticket.story.facts.certainty import confirmed
from ticket.story.facts.labour_kinds import LOOKING, REPAIRS, RIGHTS, done_kinds, looks_only, steps, unnamed
from ticket.story.facts.open_work import OpenWork, carried_out, open_work, waits
from ticket.story.facts.proved import BACK, DOUBTFUL, FAILED, PASSED, UNTESTED, outcome, set_again

F = TypeVar("F", bound=Fact)
_SERVICE = frozenset("service svc due inspection maintenance check-up checkup oil lof rotation seasonal".split())
_ON_ORDER = Regex(
    r"\b(?:back-?ordered|on (?:back-?)?order|b/o|ordered|wait(?:ing|s)? (?:for|on) (?:an? |the )?(?:\S+ )?parts?|"
    r"parts? (?:eta|ordered|not in|to come)|eta)\b"
)
"""Words that say a part has to come first."""
_FLUID_UNITS = frozenset("l ml qt qts quart quarts gal oz lb lbs g kg pt".split())


@dataclass(frozen=True)
class ConcernFacts:
    """One concern of a ticket, as its reader may see it."""

    job: Job
    letter: str

    def mine(self, kind: type[F]) -> list[tuple[Entry, F]]:
        """The entries of one kind that have to do with this concern, shared ones among them."""
        if self.letter == SHARED and self.job.letters != (SHARED,):
            return list(self.job.each(kind, SHARED))
        return [pair for pair in self.job.each(kind) if self.letter in self.job.letters_of(pair[0])]

    # --- asked and looked at -------------------------------------------------------------------------------------

    @cached_property
    def complaints(self) -> list[tuple[Entry, Says]]:
        """What the customer said of it."""
        return self.mine(Says)

    @cached_property
    def untouched(self) -> bool:
        """Nobody has looked at it, worked on it or said what it may be."""
        return not any(self.mine(kind) for kind in (Found, Code, Ruled, Cause, Maybe, Did, Used, Proof, Photo))

    @cached_property
    def unseen(self) -> bool:
        """It could not be made to happen."""
        return any(fact.reproduced == "not reproduced" for _, fact in self.complaints)

    @cached_property
    def came_back(self) -> bool:
        """The customer is here again for what an earlier ticket was about."""
        return any(fact.back_from for _, fact in self.complaints)

    @cached_property
    def maintenance(self) -> bool:
        """A visit for service: the words say so, and nothing was suspected, found to be the cause or ruled out."""
        if self.faults or any(self.mine(kind) for kind in (Maybe, Ruled, Cause)):
            return False
        said = " ".join(fact.text for _, fact in self.complaints).lower().replace(";", " ").replace(",", " ")
        return bool(_SERVICE & set(said.split()))

    @cached_property
    def serviced(self) -> bool:
        """The service that was asked for is among what was done, and no piece of it was put off."""
        said = " ".join(fact.text for _, fact in self.complaints)
        done = any(
            "service" in done_kinds(fact.text) or (shared(fact.text, said) and done_kinds(fact.text) & RIGHTS)
            for _, fact in self.works
        )
        return done and not any(shared(item.fact.text, said) for item in self.open)

    @cached_property
    def recheck(self) -> bool:
        """It was planned to be looked at again: the customer's words say so, or an entry answers such an item."""
        if any(_PLANNED.search(fold(fact.text)) for _, fact in self.complaints):
            return True
        return any(looks_only(fact.text) for fact in self._answered_earlier)

    @cached_property
    def _answered_earlier(self) -> list[Later]:
        earlier = {ticket.number: ticket for ticket in self.job.case.earlier}
        refs = [ref for kind in (Did, Found, Proof) for entry, _ in self.mine(kind) for _, ref in refs_of(entry.fact)]
        found = [earlier[ref.ticket].entry(ref.no) for ref in refs if ref.ticket in earlier]
        return [one.fact for one in found if one is not None and isinstance(one.fact, Later)]

    # --- cause ---------------------------------------------------------------------------------------------------

    @cached_property
    def causes(self) -> list[tuple[Entry, Cause]]:
        """What was put down as the cause."""
        return self.mine(Cause)

    @cached_property
    def sure(self) -> bool:
        """All of it may be told as certain."""
        return all(confirmed(self.job, entry) for entry, _ in self.causes)

    @cached_property
    def suspicions(self) -> list[tuple[Entry, Maybe]]:
        """What it may be, and nothing has settled."""
        return [pair for pair in self.mine(Maybe) if not settled(self.job, pair[1].text)]

    @cached_property
    def faults(self) -> list[tuple[Entry, Code]]:
        """The fault codes; that none was stored is no fault."""
        return [pair for pair in self.mine(Code) if pair[1].code != "none"]

    @cached_property
    def fault_seen(self) -> list[Entry]:
        """Findings that show something wrong: a reading out of limits, or words for a fault."""
        return [entry for entry, _ in self.mine(Found) if self.shown(entry) == "bad"]

    def shown(self, entry: Entry) -> str:
        """``bad``, ``good`` or ``open``: what a finding or a test shows of the vehicle."""
        fact = entry.fact
        if not isinstance(fact, Found | Proof):
            return "open"
        if measures(fact):
            words = {verdict.word for verdict in judge_entry(self.job.ticket, entry, self.job.case.earlier)}
            return "bad" if words & {"low", "high"} else "good" if words == {"in"} else "open"
        return sense_of(clauses(prose(fact))) or OPEN

    # --- work ----------------------------------------------------------------------------------------------------

    @cached_property
    def works(self) -> list[tuple[Entry, Did]]:
        """All labour."""
        return self.mine(Did)

    @cached_property
    def parts(self) -> list[tuple[Entry, Used]]:
        """What was put in."""
        return self.mine(Used)

    def kinds(self, fact: Did) -> frozenset[str]:
        """The kinds of work a line claims; words the table does not know are work where a part was used for them."""
        texts = tuple(part.text for _, part in self.job.each(Used))
        found = done_kinds(fact.text, texts)
        unnamed = [step for step in steps(fact.text) if not step.kind]
        if unnamed and any(shared(step.text, part) for step in unnamed for part in texts):
            found |= {"fit"}
        return found

    @cached_property
    def worked(self) -> list[Entry]:
        """Labour that may have put something right; words the table does not know are taken for such."""
        return [entry for entry, fact in self.works if self.kinds(fact) & RIGHTS or unnamed(fact.text)]

    @cached_property
    def kept(self) -> list[Entry]:
        """Labour that only took something out, made it safe or held it."""
        return [entry for entry, fact in self.works if self.kinds(fact) - LOOKING - RIGHTS]

    @cached_property
    def carrying(self) -> list[Entry]:
        """Labour that may be called the repair: it repairs, and carries an agreed offer or put in a part."""
        return [entry for entry, fact in self.works if self.kinds(fact) & REPAIRS and self._carries(entry, fact)]

    def _carries(self, entry: Entry, fact: Did) -> bool:
        offers = {Ref(one.no): offer for one, offer in self.mine(Offer)}
        named = set(fact.refs) & set(offers)
        if not named and offers and all(refused(self.job, ref) for ref in offers):
            return False
        if named and all(refused(self.job, ref) for ref in named):
            return False
        alike = named or {ref for ref, offer in offers.items() if shared(fact.text, offer.text)}
        if any(agreed(self.job, ref) for ref in alike):
            return True
        return any(self._put_in(fact, used) for _, used in self.parts)

    def _put_in(self, fact: Did, used: Used) -> bool:
        """Whether a part went in by this labour: a fluid or bought work is none, and a mended thing needs its name."""
        if used.condition == "sublet" or used.unit.lower() in _FLUID_UNITS:
            return False
        return "fit" in self.kinds(fact) or bool(set(fact.refs) & set(used.refs)) or shared(fact.text, used.text) > 0

    @cached_property
    def wants_test(self) -> bool:
        """A repair that only a test shows to have helped: something was wrong, and it is no service."""
        wrong = bool(self.causes or self.fault_seen or self.suspicions or self.faults)
        return bool(self.carrying) and wrong and not self.maintenance

    @cached_property
    def on_order(self) -> list[Entry]:
        """Labour and deferred items whose words say that a part has to come first."""
        texts = [(entry, fact.text) for entry, fact in self.mine(Did)]
        texts += [(entry, f"{fact.text} {fact.because} {fact.watch}") for entry, fact in self.mine(Later)]
        return [entry for entry, text in texts if _ON_ORDER.search(fold(text))]

    # --- proof ---------------------------------------------------------------------------------------------------

    @cached_property
    def tests(self) -> list[Entry]:
        """What speaks for how it went: tests, and faults read after the repair that were there before."""
        again = [entry for entry, fact in self.mine(Code) if set_again(self.job, entry, fact)]
        return [*(entry for entry, _ in self.mine(Proof)), *again]

    @property
    def tried(self) -> bool:
        """Whether a test was typed: a fault read again tells how it went, but nobody tested for it."""
        return bool(self.mine(Proof))

    @cached_property
    def proof(self) -> str:
        """How the tests ended, the worst first; empty without any."""
        ends = {outcome(self.job, entry, fact) for entry, fact in self.mine(Proof)}
        if any(isinstance(entry.fact, Code) for entry in self.tests):
            ends.add(BACK)
        ends -= {UNTESTED}
        return next((end for end in (BACK, FAILED, DOUBTFUL, PASSED) if end in ends), "")

    # --- open ----------------------------------------------------------------------------------------------------

    @cached_property
    def open(self) -> list[OpenWork]:
        """What of it is still to do."""
        return [
            item
            for item in open_work(self.job)
            if self.letter in self.job.letters_of(item.entry) or self.letter == SHARED
        ]

    @cached_property
    def settled(self) -> list[Entry]:
        """Deferred items that wait no more, done since or put off anew: the first sentence rests on them too."""
        still = {item.entry.no for item in open_work(self.job)}
        return [entry for entry, fact in self.mine(Later) if waits(fact) and entry.no not in still]

    @cached_property
    def rest(self) -> list[Entry]:
        """What is still to do of the repair: about the cause itself, agreed to, or typed as not done; no look again."""
        agreed_to = {ref for ref in self.job.answered if agreed(self.job, Ref(ref))}
        waiting = [
            item.entry
            for item in self.open
            if not item.recheck
            and (self._about_cause(item.fact) or item.answer == "yes" or agreed_to & {ref.no for ref in item.offers})
        ]
        texts = ((entry, fact) for kind in (Found, Did) for entry, fact in self.mine(kind))
        return waiting + [entry for entry, fact in texts if _NOT_DONE.match(fold(prose_of(fact)))]

    @cached_property
    def held(self) -> list[Entry]:
        """What is still to do about the cause and should not wait."""
        return [item.entry for item in self.open if item.pressing and item.entry in self.rest]

    def _about_cause(self, fact: Later | Offer) -> bool:
        named = set(fact.refs)
        for entry, cause in self.causes:
            words = content_words(fact.text)
            if Ref(entry.no) in named or (named and named <= set(cause.refs)):
                return True
            if words and shared(fact.text, cause.text) == len(words):
                return True
        return False

    @cached_property
    def refused(self) -> list[Entry]:
        """What waits because the customer said no, with the contacts that say so."""
        return self._answered("no")

    @cached_property
    def all_refused(self) -> bool:
        """The customer said no to everything that waits."""
        return bool(self.open) and all(item.answer == "no" for item in self.open)

    @cached_property
    def thought_about(self) -> list[Entry]:
        """What the customer wants to think about, with the contacts that say so."""
        return self._answered("thinks")

    @cached_property
    def unanswered(self) -> list[Entry]:
        """Offers that nobody answered."""
        return [entry for entry in self._answered("") if isinstance(entry.fact, Offer) and unheard(self.job, entry)]

    def _answered(self, word: str) -> list[Entry]:
        planned = [item for item in self.open if item.recheck and isinstance(item.fact, Later)]
        items = [item for item in self.open if item.answer == word and item not in planned]
        contacts = [item.contact for item in items if item.contact is not None]
        return [*(item.entry for item in items), *contacts]

    @cached_property
    def carried_out(self) -> list[Entry]:
        """Offers that labour carried out though nobody answered them: told with the work."""
        return [
            entry
            for entry, offer in self.mine(Offer)
            if not agreed(self.job, Ref(entry.no)) and carried_out(self.job, entry, offer)
        ]

    # --- to cite -------------------------------------------------------------------------------------------------

    def cited(self, name: str) -> list[Entry]:
        """The entries behind one of the facts above, by its name."""
        held = getattr(self, name)
        return [one[0] if isinstance(one, tuple) else one for one in held]

    @cached_property
    def asked(self) -> list[Entry]:
        """The complaint, else the first line."""
        return self.cited("complaints") or list(self.job.entries[:1])

    @cached_property
    def labour(self) -> list[Entry]:
        """The labour that may have put something right, else all labour and parts; offers carried out unasked too."""
        return [*(self.worked or [*self.cited("works"), *self.cited("parts")]), *self.carried_out]

    @cached_property
    def looked(self) -> list[Entry]:
        """What shows that it was looked at: findings, else whatever was done, else the complaint."""
        for kinds in ((Found,), (Code, Ruled, Did, Proof, Used)):
            if seen_here := [entry for kind in kinds for entry, _ in self.mine(kind)]:
                return seen_here
        return self.asked

    @cached_property
    def all_shown(self) -> set[str]:
        """What the findings and tests show, each as in :meth:`shown`."""
        return {self.shown(entry) for kind in (Found, Proof) for entry, _ in self.mine(kind)}


_NOT_DONE = Regex(r"\s*not (?:yet )?(?:done|fitted|finished|completed?)\b")
_PLANNED = Regex(r"\b(?:re-?check|re-?test|re-?measure|follow[- ]?up|(?:check|look|measure|test)(?:ed)?\b.*\bagain)\b")
"""Words of a complaint that ask for a look planned before."""


def settled(job: Job, text: str) -> bool:
    """Whether a cause, or something ruled out, settles a suspicion."""
    known = [*(fact.text for _, fact in job.each(Ruled)), *(fact.text for _, fact in job.each(Cause))]
    return any(_same(text, other) for other in known)


def _same(suspected: str, known: str) -> bool:
    alike = shared(suspected, known)
    return alike > 0 and alike >= min(2, len(content_words(suspected)), len(content_words(known)))
