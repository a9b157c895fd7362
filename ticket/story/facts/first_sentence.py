"""The first sentence of a concern, by its facts only: the first row that holds.

Each row has a sentence of its own in the catalogue of every language, ``short.`` and its name; rows that rest on a
cause have a second one, ``.likely``, for a cause that is only thought.
"""

from collections.abc import Callable
from dataclasses import dataclass

from ticket.job.values import Ref
from ticket.story.context import Job
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.facts.proved import BACK, DOUBTFUL, FAILED, PASSED


@dataclass(frozen=True, slots=True)
class Opening:
    """How one concern stands.

    Attributes:
        kind: the row that holds.
        likely: the cause it rests on is only thought.
        refs: the entries it rests on; empty where nothing is there to cite.
    """

    kind: str
    likely: bool
    refs: tuple[Ref, ...]

    @property
    def sentence(self) -> str:
        """Its id in the catalogue."""
        return f"short.{self.kind}.likely" if self.likely else f"short.{self.kind}"


@dataclass(frozen=True, slots=True)
class _Row:
    """A kind, when it holds, the facts it rests on by their names in :class:`ConcernFacts`."""

    kind: str
    holds: Callable[[ConcernFacts], object]
    rests: str


def _back(facts: ConcernFacts) -> bool:
    return facts.came_back and not facts.causes


def _planned(facts: ConcernFacts) -> bool:
    return facts.recheck and not facts.causes and not facts.worked


def _undone(facts: ConcernFacts) -> bool:
    return bool(facts.causes) and not facts.carrying


def _waiting(facts: ConcernFacts) -> bool:
    return bool(facts.causes) and _nothing_done(facts)


def _nothing_done(facts: ConcernFacts) -> bool:
    """Nothing was typed that may have put anything right; what was taken off may have been renewed."""
    taken = any(facts.kinds(fact) & {"take", "r&r"} for _, fact in facts.works)
    return not (facts.worked or facts.parts or facts.tried or taken)


def _repaired(facts: ConcernFacts) -> bool:
    return bool(facts.causes and facts.carrying)


_ROWS: tuple[_Row, ...] = (
    _Row("offered.no", lambda f: f.untouched and f.all_answered("no"), "asked refused"),
    _Row("untouched", lambda f: f.untouched, "asked"),
    # the test was not passed
    _Row("back.again", lambda f: f.proof == BACK and f.works, "labour tests"),
    _Row("failed", lambda f: f.proof == FAILED and f.works, "labour tests"),
    _Row("tested.bad", lambda f: f.proof == BACK and not f.causes and f.tried, "tests"),
    _Row("tested", lambda f: f.proof in (FAILED, DOUBTFUL) and not (f.causes or f.works or f.parts), "tests"),
    # here again for the same
    _Row("again.unseen", lambda f: _back(f) and f.unseen, "complaints tries"),
    _Row("again.tested", lambda f: _back(f) and f.worked and f.proof == PASSED, "complaints labour tests"),
    _Row("again.worked", lambda f: _back(f) and f.worked, "complaints labour"),
    _Row("again.looked", _back, "complaints looked"),
    _Row("unseen", lambda f: f.unseen and not f.causes, "complaints tries"),
    # a planned check, or service
    _Row("recheck.bad", lambda f: _planned(f) and "bad" in f.all_shown, "looked"),
    _Row("recheck.good", lambda f: _planned(f) and f.all_shown == {"good"}, "looked"),
    _Row("recheck", lambda f: _planned(f) and f.all_shown, "looked"),
    _Row("serviced", lambda f: f.maintenance and f.serviced, "labour"),
    _Row("done", lambda f: f.maintenance and (f.works or f.parts), "labour"),
    _Row("checked", lambda f: f.maintenance and f.asked_to_look, "looked"),
    _Row("seen", lambda f: f.maintenance or (f.asked_to_look and f.nothing_but_findings), "looked"),
    # a cause, and the repair not made
    _Row("no.worked", lambda f: _undone(f) and f.all_answered("no") and f.worked, "causes labour refused"),
    _Row("no", lambda f: _undone(f) and not f.worked and f.repair_answered("no"), "causes refused"),
    _Row("part.worked", lambda f: _undone(f) and f.on_order and f.worked, "causes labour on_order"),
    _Row("part", lambda f: _undone(f) and f.on_order, "causes on_order"),
    _Row("thinks", lambda f: _waiting(f) and f.repair_answered("thinks"), "causes thought_about"),
    _Row("unanswered", lambda f: _waiting(f) and f.unanswered and f.repair_answered(""), "causes unanswered"),
    _Row("held", lambda f: _undone(f) and f.held, "causes held"),
    # a cause, and work
    _Row("partly.part", lambda f: _repaired(f) and f.rest and f.on_order, "causes repair on_order"),
    _Row("partly", lambda f: _repaired(f) and f.rest, "causes repair rest"),
    _Row("fixed", lambda f: _repaired(f) and f.proof == PASSED and not f.perhaps_rest, "causes repair tests"),
    _Row("open test", lambda f: _repaired(f) and f.proof == DOUBTFUL and not f.perhaps_rest, "causes repair tests"),
    _Row("untested", lambda f: _repaired(f) and f.wants_test and not (f.proof or f.perhaps_rest), "causes repair"),
    _Row("repaired", lambda f: _repaired(f) and not (f.proof or f.perhaps_rest), "causes repair"),
    _Row("worked.tested", lambda f: f.causes and f.worked and f.proof == PASSED, "causes labour tests"),
    _Row("worked", lambda f: f.causes and f.worked, "causes labour"),
    _Row("not proved", lambda f: f.causes and not f.sure, "causes"),
    _Row("waits", lambda f: f.causes and _nothing_done(f), "causes"),
    _Row("known", lambda f: f.causes, "causes"),
    # no cause
    _Row("suspected.tested", lambda f: f.doubted and f.worked and f.proof == PASSED, "suspicions labour tests"),
    _Row("suspected.worked", lambda f: f.doubted and f.worked, "suspicions labour"),
    _Row("suspected", lambda f: f.doubted or (f.suspicions and not f.worked), "suspicions"),
    _Row("done.tested", lambda f: f.worked and f.proof == PASSED, "labour tests"),
    _Row("done", lambda f: f.worked or f.kept or f.parts, "labour"),
    _Row("not found", lambda f: f.declared_unknown, "declared_unknown"),
    _Row("offered.no", lambda f: f.all_answered("no"), "refused"),
    _Row("offered.thinks", lambda f: f.all_answered("thinks"), "looked thought_about"),
    _Row("part.plain", lambda f: f.on_order, "looked on_order"),
    _Row("offered", lambda f: f.unanswered and f.all_answered(""), "looked unanswered"),
    _Row("looked", lambda f: f.fault_seen and f.job.closing, "looked"),
    _Row("not found", lambda f: f.job.closing, "looked"),
    _Row("not found.yet", lambda _: True, "looked"),
)


def opening(job: Job, letter: str) -> Opening:
    """How one concern stands, for its first sentence; remembered for the job."""
    held: Opening | None = job.openings.get(letter)
    if held is None:
        held = job.openings[letter] = _opening(ConcernFacts(job, letter))
    return held


def _opening(facts: ConcernFacts) -> Opening:
    row = next(row for row in _ROWS if row.holds(facts) and not (facts.mixed and row.rests.startswith("causes")))
    numbers = {entry.no for name in row.rests.split(" ") for entry in facts.cited(name)}
    numbers |= {entry.no for entry in (*facts.settled, *facts.carried_out)}
    likely = row.rests.startswith("causes") and row.kind != "not proved" and not facts.sure
    return Opening(row.kind, likely, tuple(Ref(no) for no in sorted(numbers)))
