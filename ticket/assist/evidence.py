"""What a line rests on, proposed only where the same thing stands in both; silence in every doubt.

A wrong proposal is worse than none: Enter takes it, and a story tells it as the proof of a cause. So nothing is
proposed for what two findings fit equally well, nor where those that fit name different sides. What the customer
agreed to is what work was done for; everything else rests on findings. Parts name no offer by themselves: they belong
to the work beside them.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from ticket.gaps.named_in_work import place_clash
from ticket.job.entry import Draft, Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Offer, Proof, Ruled
from ticket.job.offer_answers import standing
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.language.subjects import BAD, GOOD, OPEN, Clause, Thing, clauses, sense_of
from ticket.readings.measured_groups import prose, values, words_of
from ticket.readings.pairing import judge_entry
from ticket.story.facts.labour_kinds import mends

_MOST = 4  # who rests a line on more than this knows better than any list
_ENOUGH = 1.0  # as much as one word that no other finding on the ticket holds
_OUT_OF_LIMITS = 4.0  # how much more a reading counts that is out of its limits: enough with a word of four findings
_SHOWS = (Found, Proof, Code)  # what may be passed on from a cause to the work that puts it right
_BODILY = frozenset({"part", "mass", "code", ""})  # classes of nouns that can be the thing a cause lies in

Bad = Callable[[Entry], bool]


@dataclass(frozen=True, slots=True)
class ShownFinding:
    """A finding as far as a line may rest on it.

    Attributes:
        where: its words with the positions of its readings, of those out of limits where any are.
        measured: it holds readings.
        out: one of them is out of limits.
        sense: whether it shows a thing as it should be: ``good``, ``bad``, ``open`` in doubt, empty where nothing says.
    """

    no: int
    parts: tuple[Clause, ...]
    where: str
    measured: bool
    out: bool
    sense: str

    @property
    def terms(self) -> frozenset[str]:
        """Every word that names anything in it."""
        return _terms(self.parts)

    @property
    def things(self) -> tuple[Thing, ...]:
        """Everything it names."""
        return tuple(thing for part in self.parts for thing in part.things)


def resting_on(draft: Draft, ticket: Ticket, bad: Bad) -> tuple[Ref, ...]:
    """The entries a line rests on, as far as there is no doubt; empty in any."""
    fact = draft.fact
    if not isinstance(fact, Cause | Offer | Did | Ruled | Later) or fact.refs:
        return ()
    if isinstance(fact, Did):
        return _agreed(fact, ticket)
    if isinstance(fact, Later) and fact.answer:
        return ()  # it answers work of an earlier ticket
    return _proposed(fact, draft.concern, ticket, bad)


def _proposed(fact: Cause | Offer | Ruled | Later, concern: str, ticket: Ticket, bad: Bad) -> tuple[Ref, ...]:
    mended = _mended(ticket) if isinstance(fact, Later) else frozenset[int]()
    passed_on = _passed_on(fact, concern, ticket, bad) if isinstance(fact, Offer | Later) else None
    if passed_on is not None:
        return () if mended & {ref.no for ref in passed_on} else passed_on
    mine = [entry for entry in _sharing(ticket, concern) if entry.no not in mended]
    numbers = _fitting(fact, [one for entry in mine if (one := _finding(entry, ticket, bad))])
    return tuple(Ref(no) for no in numbers)


def _sharing(ticket: Ticket, concern: str) -> Iterator[Entry]:
    letters = set(concern.split("+"))
    return (entry for entry in ticket.living if not concern or letters & set(entry.concerns))


def _finding(entry: Entry, ticket: Ticket, bad: Bad) -> ShownFinding | None:
    fact = entry.fact
    if not isinstance(fact, Found):
        return None
    parts = clauses(prose(fact))
    out = bad(entry)
    return ShownFinding(
        entry.no,
        parts,
        _where(entry, ticket, bad),
        any(True for _ in values(fact)),
        out,
        _shown(sense_of(parts), entry, ticket, out=out),
    )


def _shown(sense: str, entry: Entry, ticket: Ticket, *, out: bool) -> str:
    """What words and verdicts of a finding show together; a verdict that is open leaves it open."""
    verdicts = {verdict.word for verdict in judge_entry(ticket, entry)}
    if out or (sense == BAD and "in" not in verdicts):
        return BAD
    if sense in (BAD, OPEN) or "undecided" in verdicts:  # in limits, and a bad word: "voltage drop 0.05 V (max 0.2)"
        return OPEN
    return GOOD if "in" in verdicts else sense


def _where(entry: Entry, ticket: Ticket, bad: Bad) -> str:
    """The words of an entry with the positions of its readings; where some are out of limits, with those alone."""
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return words_of(fact)
    only_out = bad(entry)
    pairs = zip(values(fact), judge_entry(ticket, entry), strict=False)
    labels = (value.label for value, verdict in pairs if not only_out or verdict.word in ("low", "high"))
    return " ".join((prose(fact), *labels))


def _fitting(fact: Cause | Offer | Ruled | Later, findings: Sequence[ShownFinding]) -> list[int]:
    """The numbers of the findings that name a thing of the line, where nothing leaves open which are meant."""
    findings = _latest(findings)
    named_by = Counter(term for one in findings for term in one.terms)
    typed = f"{fact.text}; {fact.reason}" if isinstance(fact, Ruled) else fact.text  # why work may wait is no subject
    fitting = [one for one in findings if _may_show(fact, one) and not place_clash(typed, one.where)]
    chosen: set[int] = set()
    for part in clauses(typed):
        alike = [one for one in fitting if _same_thing(part, one, fact)]
        fits = {one.no: (one, part.terms & one.terms) for one in alike if _score(part, one, named_by) >= _ENOUGH}
        chosen |= _told_apart(fits)
    named = [one for one in findings if one.no in chosen]
    return sorted(chosen) if _beyond_doubt(fact, named, fitting) else []


def _beyond_doubt(
    fact: Cause | Offer | Ruled | Later, chosen: Sequence[ShownFinding], fitting: Sequence[ShownFinding]
) -> bool:  # fmt: skip
    """Whether the findings are few enough for one line, and at no places that exclude each other.

    A cause rests on no figures alone that nothing calls bad, while another reading that fits is out of its limits.
    """
    if isinstance(fact, Cause) and all(one.measured and not one.out for one in chosen):
        return not any(one.out for one in fitting) and _few_in_one_place(chosen)
    return _few_in_one_place(chosen)


def _few_in_one_place(chosen: Sequence[ShownFinding]) -> bool:
    return len(chosen) <= _MOST and _one_place([one.where for one in chosen])


def _score(part: Clause, one: ShownFinding, named_by: Mapping[str, int]) -> float:
    """How much a finding says of a clause: a word that fewer findings hold counts more."""
    shared = sum(1 / named_by[term] for term in part.terms & one.terms)
    return shared * (_OUT_OF_LIMITS if one.out else 1)


def _told_apart(fits: dict[int, tuple[ShownFinding, frozenset[str]]]) -> set[int]:
    """Of the findings that fit, those a word tells from each other; of readings out of limits, all."""
    many = Counter(shared for one, shared in fits.values() if not one.out)
    return {no for no, (one, shared) in fits.items() if one.out or many[shared] == 1}


def _latest(findings: Sequence[ShownFinding]) -> list[ShownFinding]:
    """Where one thing was looked at twice in the same words, the later finding."""
    last = {(one.terms, one.where): one for one in findings}
    return list(last.values())


def _may_show(fact: Cause | Offer | Ruled | Later, one: ShownFinding) -> bool:
    """What is as it should be shows no cause and calls for no work; what is not rules nothing out."""
    if isinstance(fact, Ruled):
        return one.sense in (GOOD, "")
    return one.sense in (BAD, "")


def _same_thing(part: Clause, one: ShownFinding, fact: Cause | Offer | Ruled | Later) -> bool:
    return any(
        mine.same(theirs)
        for mine in part.things
        for theirs in one.things
        if isinstance(fact, Ruled) or mine.kind in _BODILY
    )


def _passed_on(fact: Offer | Later, concern: str, ticket: Ticket, bad: Bad) -> tuple[Ref, ...] | None:
    """What the cause rests on that the work puts right, or the offer of that very work which now waits.

    ``None`` where nothing speaks of the same; empty where several do that rest on different entries, or where what
    they rest on proves nothing, was struck, or is of another place.
    """
    kinds = (Cause,) if isinstance(fact, Offer) else (Offer, Cause)
    shown = {Ref(entry.no): _where(entry, ticket, bad) for entry in ticket.living if isinstance(entry.fact, _SHOWS)}
    for kind in kinds:
        fits = {
            other.fact.refs
            for other in _sharing(ticket, concern)
            if isinstance(other.fact, kind) and other.fact.refs and _one_subject(fact.text, other.fact.text)
        }
        if fits:
            refs = fits.pop()
            known = not fits and shown.keys() >= set(refs)
            return refs if known and _one_place([fact.text, *(shown[ref] for ref in refs)]) else ()
    return None


def _one_place(texts: Sequence[str]) -> bool:
    """Whether no two texts name sides or numbers that exclude each other."""
    return not any(place_clash(one, other) for one, other in combinations(texts, 2))


def _one_subject(one: str, other: str) -> bool:
    """Whether two texts name one thing that can be worked on, at no different place."""
    if place_clash(one, other):
        return False
    mine = [thing for part in clauses(one) for thing in part.things if thing.kind in _BODILY]
    theirs = [thing for part in clauses(other) for thing in part.things if thing.kind in _BODILY]
    return any(a.same(b) for a in mine for b in theirs)


def _mended(ticket: Ticket) -> frozenset[int]:
    """Findings that are settled: measured again, or behind an offer that was carried out. Nothing of them waits."""
    again = {entry.fact.of.no for entry in ticket.living if isinstance(entry.fact, Proof) and entry.fact.of}
    done = {ref.no for entry in ticket.of_kind(Did) for ref in getattr(entry.fact, "refs", ())}
    behind = {ref.no for entry in ticket.of_kind(Offer) if entry.no in done for ref in getattr(entry.fact, "refs", ())}
    return frozenset(again | behind)


def _agreed(fact: Did, ticket: Ticket) -> tuple[Ref, ...]:
    """The one agreed offer that the work carries out: of those on the same thing the one that shares most words.

    Looking at a thing carries out no offer to mend it, nor the other way round.
    """
    yes = {no for no, one in standing(ticket).items() if one.answer == "yes"}
    scores: Counter[int] = Counter()
    for entry in ticket.of_kind(Offer):
        offered = getattr(entry.fact, "text", "")
        same = fold(fact.text) == fold(offered) or _one_subject(fact.text, offered)
        if entry.no in yes and same and mends(fact) == mends(Did(text=offered)):
            scores[entry.no] = 1 + len(_terms(clauses(fact.text)) & _terms(clauses(offered)))
    best = scores.most_common(2)
    if not best or (len(best) == 2 and best[0][1] == best[1][1]):
        return ()
    return (Ref(best[0][0]),)


def _terms(parts: Sequence[Clause]) -> frozenset[str]:
    return frozenset(term for part in parts for term in part.terms)
