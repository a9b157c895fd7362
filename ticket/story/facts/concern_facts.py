"""The facts of one concern that the first sentence rests on: asked, found, cause, work, parts, proof, open."""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Offer, Photo, Proof, Ruled, Says, Told, Used
from ticket.job.likeness import content_words, shared
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.language.subjects import BAD, clauses, sense_of
from ticket.language.subjects import OPEN as UNKNOWN
from ticket.language.trials import begins_with_trial
from ticket.readings.measured_groups import measures, prose, seen
from ticket.readings.measured_groups import words_of as prose_of
from ticket.readings.pairing import judge_entry
from ticket.story.context import SHARED, Job
from ticket.story.facts.answered import LOCATORS, agreed, refused, unheard, who_of
from ticket.story.facts.certainty import confirmed, not_found
from ticket.story.facts.feared import feared, is_undecided, is_your_answer, work_and_wait
from ticket.story.facts.labour_kinds import LOOKING, REPAIRS, RIGHTS, done_kinds, looks_only, steps, unnamed
from ticket.story.facts.open_work import OpenWork, carried_out, open_work, waits
from ticket.story.facts.proved import BACK, DOUBTFUL, FAILED, OPEN, PASSED, UNTESTED, outcome, set_again

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
        texts = [fact.text for _, fact in self.works if done_kinds(fact.text) & RIGHTS]
        done = any("service" in done_kinds(text) or shared(text, said) for text in texts)
        pieces = [step.text for step in steps(said) if step.named]  # each thing that was asked for, not one of them
        all_done = len(pieces) < 2 or all(any(shared(text, piece) for text in texts) for piece in pieces)
        put_off = [item for item in self.open if not item.next_time]
        return done and all_done and not any(shared(item.fact.text, said) for item in put_off)

    @cached_property
    def asked_to_look(self) -> bool:
        """The customer asked for nothing but a look, and told of nothing wrong."""
        said = [fact.text for _, fact in self.complaints]
        return bool(said) and all(looks_only(text) and sense_of(clauses(text)) != BAD for text in said)

    @cached_property
    def nothing_but_findings(self) -> bool:
        """It was looked at, and nothing was done, thought or ruled out."""
        return bool(self.mine(Found)) and not any(self.mine(kind) for kind in (Did, Used, Maybe, Ruled, Cause))

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
        """What was put down as the cause; that none was found is no cause."""
        return [pair for pair in self.mine(Cause) if not not_found(pair[1])]

    @cached_property
    def declared_unknown(self) -> list[Entry]:
        """What was put down as the cause and says that none was found, and the talk that told so."""
        said = [entry for entry, fact in self.mine(Told) if _NOTHING_FOUND.search(fact.words)]
        return [entry for entry, cause in self.mine(Cause) if not_found(cause)] or said

    @cached_property
    def sure(self) -> bool:
        """All of it may be told as certain."""
        return all(confirmed(self.job, entry) for entry, _ in self.causes)

    @cached_property
    def mixed(self) -> bool:
        """One cause is certain and another is not: neither word may be told of both."""
        return len({confirmed(self.job, entry) for entry, _ in self.causes}) > 1

    @cached_property
    def suspicions(self) -> list[tuple[Entry, Maybe]]:
        """What it may be, and nothing has settled."""
        return [pair for pair in self.mine(Maybe) if not settled(self.job, pair[1].text)]

    @cached_property
    def doubted(self) -> list[tuple[Entry, Maybe]]:
        """Suspicions that bear on what was done: another trouble is no doubt about a repair that was agreed to."""
        texts = [fact.text for entry, fact in self.works if entry in self.carrying]
        refs = {ref for entry, fact in self.works if entry in self.carrying for ref in fact.refs}
        texts += [offer.text for one, offer in self.mine(Offer) if Ref(one.no) in refs]
        return [pair for pair in self.suspicions if not refs or any(shared(pair[1].text, text) for text in texts)]

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
        return sense_of(clauses(prose(fact))) or UNKNOWN

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
        """Labour that may be called the repair: it repairs, and carries an agreed offer or put in a part.

        Where a cause is known it has to do with it: a wiper blade put in on the way repairs no pump.
        """
        return [
            entry
            for entry, fact in self.works
            if self.kinds(fact) & REPAIRS and self._carries(entry, fact) and (not self.causes or self._for_cause(fact))
        ]

    def _for_cause(self, fact: Did) -> bool:
        """Whether labour has to do with a cause: by its words, its offers, its parts, or what these refer to."""
        offers = [(Ref(one.no), offer) for one, offer in self.mine(Offer)]
        mine = [offer for ref, offer in offers if ref in fact.refs or shared(fact.text, offer.text)]
        texts = [
            fact.text,
            *(offer.text for offer in mine),
            *(used.text for _, used in self.parts if self._put_in(fact, used)),
        ]
        return self._relates(texts, {*fact.refs, *(ref for offer in mine for ref in offer.refs)})

    def _relates(self, texts: list[str], refs: set[Ref]) -> bool:
        """Whether words or references lead to a cause, to what shows it, or to the complaint it explains."""
        for entry, cause in self.causes:
            if refs & {Ref(entry.no), *cause.refs} or any(shared(text, cause.text) for text in texts):
                return True
        return False

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
        return bool(self.carrying) and wrong and not (self.maintenance or self.looked_after)

    @cached_property
    def looked_after(self) -> bool:
        """Something may have shown how it went though no test was typed: labour that tests, or a later look."""
        last = max((entry.no for entry in self.carrying), default=0)
        tests = any("look" in self.kinds(fact) and entry.no >= last for entry, fact in self.works)
        behind = [*self.mine(Found), *(pair for pair in self.mine(Code) if pair[1].code == "none")]
        return tests or any(entry.no > last for entry, _ in behind)

    @cached_property
    def on_order(self) -> list[Entry]:
        """Labour and deferred items whose words say that a part has to come first: of the cause, where one is known."""
        texts = [(entry, fact.text, fact.refs) for entry, fact in self.mine(Did)]
        texts += [(entry, f"{fact.text} {fact.because} {fact.watch}", fact.refs) for entry, fact in self.mine(Later)]
        return [
            entry
            for entry, text, refs in texts
            if _ON_ORDER.search(fold(text)) and (not self.causes or self._relates([text], set(refs)))
        ]

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
        """How the tests ended, the worst first; empty without any.

        Where work followed a test, what was tested behind it counts; a fault found before it leaves that in doubt.
        """
        ends = {entry.no: outcome(self.job, entry, fact) for entry, fact in self.mine(Proof)}
        ends.update({entry.no: BACK for entry in self.tests if isinstance(entry.fact, Code)})
        last = max((entry.no for entry in self.worked), default=0)
        behind = {end for no, end in ends.items() if no > last} - {UNTESTED}
        found = set(ends.values()) - {UNTESTED}
        worst = _worst(behind or found)
        return DOUBTFUL if worst in (PASSED, OPEN) and found & {BACK, FAILED} else DOUBTFUL if worst == OPEN else worst

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
        """What is still to do of the repair: about the cause itself, or typed as not done; no look again."""
        offers = {Ref(one.no): offer for one, offer in self.mine(Offer)}
        waiting = [
            item.entry
            for item in self.open
            if not item.recheck
            and any(map(self._about_cause, (item.fact, *(offers[ref] for ref in item.offers if ref in offers))))
        ]
        texts = ((entry, fact) for kind in (Found, Did) for entry, fact in self.mine(kind))
        return waiting + [entry for entry, fact in texts if _NOT_DONE.match(fold(prose_of(fact)))]

    @cached_property
    def perhaps_rest(self) -> bool:
        """Whether what waits may belong to the repair: agreed to, or near the cause and not judged to wait."""
        agreed_to = {no for no in self.job.answered if agreed(self.job, Ref(no))}
        return any(
            item.answer == "yes"
            or agreed_to & {ref.no for ref in item.offers}
            or (item.judgement != "may wait" and self._relates([item.fact.text], set(item.fact.refs)))
            for item in self.open
            if not item.recheck
        )

    @cached_property
    def held(self) -> list[Entry]:
        """What is still to do about the cause and should not wait."""
        return [item.entry for item in self.open if item.pressing and item.entry in self.rest]

    def _about_cause(self, fact: Later | Offer) -> bool:
        named = set(fact.refs)
        words = content_words(work_and_wait(fact.text)[0]) - LOCATORS
        for entry, cause in self.causes:
            if Ref(entry.no) in named or (named and named <= set(cause.refs)):
                return True
            if words and shared(fact.text, cause.text) and words <= content_words(cause.text):
                return True
        return False

    @cached_property
    def refused(self) -> list[Entry]:
        """What waits because the customer said no, with the contacts that say so."""
        return self._answered("no")

    @cached_property
    def agreed_undone(self) -> list[Entry]:
        """Offers that were agreed to and that no labour carries out yet."""
        return [
            entry
            for entry, offer in self.mine(Offer)
            if agreed(self.job, Ref(entry.no)) and not carried_out(self.job, entry, offer)
        ]

    def all_answered(self, word: str) -> bool:
        """Whether all that waits was answered so by the customer in person, and nothing agreed to waits too."""
        items = [item for item in self.open if not (item.recheck and isinstance(item.fact, Later))]
        return (
            bool(items)
            and not self.agreed_undone
            and all(item.answer == word and self._in_person(item) for item in items)
        )

    def repair_answered(self, word: str) -> bool:
        """Whether the repair was answered so: what waits of the cause, or all that waits where nothing names it."""
        items = [item for item in self.open if item.entry in self.rest]
        if not items:
            return self.all_answered(word)
        return all(item.answer == word and self._in_person(item) for item in items)

    def _in_person(self, item: OpenWork) -> bool:
        """Whether the customer gave the answer, and nobody for the customer."""
        fact = item.contact.fact if item.contact is not None else None
        named = bool(self.job.ticket.header.customer.name.strip())
        return not (named and isinstance(fact, Told) and who_of(self.job, fact))

    @cached_property
    def thought_about(self) -> list[Entry]:
        """What the customer wants to think about, with the contacts that say so."""
        return self._answered("thinks")

    @cached_property
    def unanswered(self) -> list[Entry]:
        """Offers that nobody answered, and items that say so of themselves."""
        return [
            entry
            for entry in self._answered("")
            if (isinstance(entry.fact, Offer) and unheard(self.job, entry))
            or (isinstance(entry.fact, Later) and self._says_so(entry.fact))
        ]

    def _says_so(self, later: Later) -> bool:
        """Whether an item says of itself that it waits for the customer's answer."""
        reasons = (feared(later).because, *(text for _, text in feared(later).waits))
        return any(is_undecided(one) or is_your_answer(one, self.job.ticket.header.customer.name) for one in reasons)

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
    def repair(self) -> list[Entry]:
        """The labour that may be called the repair, with offers it carried out unasked."""
        return [*self.carrying, *self.carried_out]

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

    @cached_property
    def tries(self) -> list[Entry]:
        """Findings that were trials: what was done to make it happen."""
        return [entry for entry, fact in self.mine(Found) if not measures(fact) and begins_with_trial(seen(fact))]


def _worst(ends: set[str]) -> str:
    """The end of several tests that says least well of them."""
    return next((end for end in (BACK, FAILED, DOUBTFUL, PASSED, OPEN) if end in ends), "")


_NOTHING_FOUND = Regex(
    r"(?i)\b(?:nothing|no faults?|no problems?) (?:was |were )?found\b|\bfound (?:nothing|no faults?)\b"
)
_NOT_DONE = Regex(r"\s*not (?:yet )?(?:done|fitted|finished|completed?)\b")
_PLANNED = Regex(
    r"\b(?:re-?check|re-?test|re-?measure|follow[- ]?up|"
    r"(?:here|in|back|due|wants?|please) (?:for|to) .*(?:check|look|measure|test|read)(?:ed)?\b.*\bagain)\b"
)
"""Words of a complaint that ask for a look planned before."""


def settled(job: Job, text: str) -> bool:
    """Whether a cause, or something ruled out, settles a suspicion."""
    known = [*(fact.text for _, fact in job.each(Ruled)), *(fact.text for _, fact in job.each(Cause))]
    return any(_same(text, other) for other in known)


def _same(suspected: str, known: str) -> bool:
    alike = shared(suspected, known)
    return alike > 0 and alike >= min(2, len(content_words(suspected)), len(content_words(known)))
