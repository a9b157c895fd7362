"""What jobs with a code turned out to be, what to check next on one, and which causes the shop calls one."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ticket.job.errors import InputError, NotFoundError
from ticket.job.kinds import Code, Ruled
from ticket.job.likeness import likeness
from ticket.job.text import fold, one_line
from ticket.job.ticket import Ticket
from ticket.past.alike import Alike, likely_pairs, near
from ticket.past.chances import Level
from ticket.past.check_times import COUNTED, joined, looks, shop_looks
from ticket.past.intervals import wilson
from ticket.past.job_facts import codes_of
from ticket.past.next_check import NextChecks, next_checks
from ticket.past.query import Here, QueryFault, parse_query
from ticket.past.turned_out import Outcome, TurnedOut, held, turned_out
from ticket.shop.kept_settings import CHECKS, SAME_CAUSES, SYNONYMS
from ticket.shop.masking import Mask
from ticket.shop.opening import Shop, set_setting
from ticket.shop.readable import readable, readable_slim
from ticket.store.asked import Query
from ticket.store.briefs import Brief
from ticket.store.past_jobs import CauseSeen
from ticket.store.seen_jobs import Window
from ticket.store.session import LOOKS_ONLY

_NAMED = 5  # causes told to somebody who named one that is not there
_LOOKED_AT = 20  # jobs whose customers are looked for in their common words
_TIMED = 200  # newest jobs whose times tell how long a look takes


def alike(shop: Shop) -> Alike:
    """What the shop calls the same."""
    pairs = shop.kept.pairs
    return Alike.of(pairs[SYNONYMS], pairs[SAME_CAUSES])


def here(shop: Shop, typed: str, limit: int = 50) -> Here:
    """What a search is read by in this shop."""
    settings = shop.settings
    techs = shop.store.jobs.techs() if "tech:" in typed else ()
    return Here(settings.distance, settings.comeback_days, dict(shop.kept.pairs[SYNONYMS]), techs, limit)


def asked(shop: Shop, typed: str) -> Query:
    """What a typed search looks for here; every job where nothing is typed.

    Raises:
        QueryFault: what is wrong with it, and where; also where an auditor looks for a customer: each answer would say
            whose a job is.
    """
    if not typed.strip():
        return Query()
    query = parse_query(typed, here(shop, typed))
    refuse_names(shop, query, typed)
    return query


def refuse_names(shop: Shop, query: Query, typed: str) -> None:
    """Refuse an auditor's search for customers, as :func:`asked` does. Raises :class:`QueryFault`."""
    if shop.hidden and query.terms("customer"):
        at = max(typed.find("customer:"), 0)
        raise QueryFault("customer: who customers are is hidden from an auditor: add --names", at, len(typed))


_FAR = {"mi": 3000, "km": 5000}  # common practice, no source


@dataclass(frozen=True, slots=True)
class Within:
    """Within what a job counts as having come back, where it is not what the shop says.

    Attributes:
        days: within so many; ``None`` for the shop's own number.
        distance: within so far, with its unit; ``None`` for 3,000 mi or 5,000 km.
    """

    days: int | None = None
    distance: tuple[int, str] | None = None


def window(shop: Shop, within: Within = Within()) -> Window:
    """When a job counts as having come back here."""
    unit = shop.settings.distance
    far, unit = within.distance or (_FAR[unit], unit)
    days = shop.settings.comeback_days if within.days is None else within.days
    return Window(days, shop.now().timestamp(), unit, far)


def before(
    shop: Shop, code: str, sub: str = "", *, but: Iterable[int] = (), within: Within = Within()
) -> TurnedOut:  # fmt: skip
    """What jobs with a code and sub-code turned out to be; with any sub-code where none has that one.

    Args:
        shop: the open shop.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        but: tickets not to be counted, such as the one in hand.
        within: within what a job counts as having come back.
    """
    left_out, when = frozenset(but), window(shop, within)
    seen = shop.store.jobs.seen(code, sub, when, left_out)
    exact = not (seen.empty and sub)
    seen = seen if exact else shop.store.jobs.seen(code, "", when, left_out)
    found = turned_out(code, sub, seen, when, alike=alike(shop), exact=exact)
    if not shop.hidden:
        return found
    causes, fixed = (tuple(_as_seen(shop, one) for one in told) for told in (found.causes, found.fixes))
    return replace(found, causes=causes, fixes=fixed)


def _as_seen(shop: Shop, outcome: Outcome) -> Outcome:
    """An outcome as whoever opened the shop may see it."""
    return replace(outcome, text=_text_as_seen(shop, outcome.text, outcome.jobs)) if shop.hidden else outcome


def _text_as_seen(shop: Shop, text: str, jobs: Sequence[int]) -> str:
    """A wording of one of some jobs, to an auditor without their customers."""
    if not shop.hidden:
        return text
    return Mask(*readable(replace(shop, hidden=False), jobs[:_LOOKED_AT])).text(text)


def _causes(shop: Shop, code: str, sub: str, but: frozenset[int], label: str = "") -> list[CauseSeen]:
    found = shop.store.jobs.causes(code, sub, label)
    return [one for one in found if one.number not in but] if but else found


def what_it_was(shop: Shop, jobs: Iterable[Brief]) -> tuple[int, tuple[Outcome, ...]]:
    """How many of some jobs are finished, and their causes, most frequent first."""
    signed = {job.number: job for job in jobs if job.status == "signed"}
    same, days = alike(shop), shop.settings.comeback_days
    groups: dict[str, dict[int, str]] = {}
    for number, job in signed.items():
        for text in job.causes:
            groups.setdefault(same.key(likeness(text)), {}).setdefault(number, text)
    made = [
        Outcome(
            next(iter(group.values())), tuple(group), tuple(number for number in group if signed[number].back),
            wilson(len(group), len(signed)), held((_followed(shop, signed[number]) for number in group), days),
        )
        for group in groups.values()
    ]  # fmt: skip
    ordered = sorted(made, key=lambda outcome: -len(outcome.jobs))
    return len(signed), tuple(_as_seen(shop, outcome) for outcome in ordered)


def _followed(shop: Shop, job: Brief) -> int:
    """How many days a signed job was followed, as :data:`ticket.store.seen_jobs.FOLLOWED` has it."""
    days, now = shop.settings.comeback_days, int(shop.now().timestamp())
    if job.back and job.back_days <= days:
        return 2 * job.back_days + 1
    return 2 * min(max(now - (job.closed or now), 0) // 86400, days)


def next_for(
    shop: Shop, code: str, sub: str = "", *, on: Ticket | None = None, giving_up: float | None = None
) -> NextChecks:  # fmt: skip
    """What to check next where a code is stored; on a ticket, after what was ruled out on it.

    Args:
        shop: the open shop.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        on: the ticket in hand, which is no past job of itself.
        giving_up: what giving up takes, in minutes.
    """
    same = alike(shop)
    but = frozenset([on.number] if on else [])
    wide = _causes(shop, code, "", but)
    close = _causes(shop, code, sub, but) if sub else wide
    label = fold(on.header.vehicle.label) if on else ""
    model = _causes(shop, code, sub, but, label) if label else []
    name = f"{code}-{sub}" if sub else code
    levels = [Level(f"{name} on {one_line(on.header.vehicle.label)}", _counted(model, same))] if on and label else []
    levels += [Level(name, _counted(close, same))] + ([Level(code, _counted(wide, same))] if sub else [])
    worded = {same.key(one.cause): one for one in reversed(wide) if one.cause}
    texts = {key: _text_as_seen(shop, one.text, [one.number]) for key, one in worded.items()}
    newest = list(dict.fromkeys(one.number for one in close or wide))[:_TIMED]
    past = looks(readable_slim(shop, newest, COUNTED), same)
    ruled = _ruled(on, code, sub, same) if on else []
    said = shop_looks(shop.kept.pairs[CHECKS], same)
    return next_checks(levels, texts, joined(past, said), ruled=ruled, giving_up=giving_up)


def _counted(seen: Sequence[CauseSeen], same: Alike) -> dict[str, int]:
    """How many finished jobs each cause was behind; most frequent first."""
    jobs: dict[str, set[int]] = {}
    for one in seen:
        if one.cause and one.state == "finished":
            jobs.setdefault(same.key(one.cause), set()).add(one.number)
    return {key: len(jobs[key]) for key in sorted(jobs, key=lambda key: -len(jobs[key]))}


def _ruled(ticket: Ticket, code: str, sub: str, same: Alike) -> list[str]:
    """Causes ruled out beside the code, by their keys."""
    letters = {
        letter
        for entry in ticket.of_kind(Code)
        if isinstance(entry.fact, Code) and entry.fact.code == code and (not sub or entry.fact.sub == sub)
        for letter in entry.concerns
    }
    near = (entry for entry in ticket.of_kind(Ruled) if not letters or letters & set(entry.concerns))
    return [same.key(likeness(entry.fact.text)) for entry in near if isinstance(entry.fact, Ruled)]


def pairs_to_ask(shop: Shop, found: TurnedOut) -> list[tuple[str, str]]:
    """Causes that may be one in other words, to be confirmed by a person."""
    return likely_pairs([outcome.text for outcome in found.causes], alike(shop))


@dataclass(frozen=True, slots=True)
class SaidBefore:
    """A cause of past jobs that a new one may be in other words: the code they share, its text, on how many jobs."""

    code: str
    text: str
    jobs: int


def said_before(shop: Shop, ticket: Ticket, text: str) -> SaidBefore | None:
    """What a new cause of a ticket may be in other words; ``None`` where it is counted with earlier ones, or is new.

    Nothing is merged by that: whoever typed it may say so, see :func:`call_one`.
    """
    same = alike(shop)
    key = same.key(likeness(text))
    for code in dict.fromkeys(code for code, _ in codes_of(ticket)):
        texts = shop.store.jobs.cause_texts(code, ticket.number)
        known = [(same.key(other), told, jobs) for other, told, jobs in texts]
        if any(other == key for other, _, _ in known):
            return None
        found = next((SaidBefore(code, told, jobs) for other, told, jobs in known if near(key, other)), None)
        if found is not None:
            return found
    return None


def call_one(shop: Shop, text: str, other: str, code: str) -> None:
    """Keep that a cause in other words is another one; journaled, and taken back by :func:`tell_apart`.

    Args:
        shop: the open shop.
        text: a cause of jobs with the code.
        other: the cause it is counted as from now on, of jobs with the code too.
        code: in the notation searches use.

    Raises:
        InputError: both name the same thing already, or an auditor asks.
        NotFoundError: no job with the code states one of them.
    """
    if shop.hidden:  # what is stated there may name a customer
        raise InputError(LOOKS_ONLY)
    key, kept = likeness(text), likeness(other)
    stated = {one.cause: one.text for one in shop.store.jobs.causes(code) if one.cause}
    for cause, typed in ((key, text), (kept, other)):
        if cause not in stated:
            known = f"; causes there: {', '.join(list(stated.values())[:_NAMED])}" if stated else ""
            raise NotFoundError(f"No job with {code} states the cause {typed!r}{known}.")
    if alike(shop).key(key) == alike(shop).key(kept):
        raise InputError(f"{text!r} and {other!r} are counted as one cause already.")
    set_setting(shop, SAME_CAUSES, [*shop.kept.pairs[SAME_CAUSES], (key, kept)])


def tell_apart(shop: Shop, text: str, other: str) -> None:
    """Take back that two causes are one. Raises :class:`NotFoundError` where nobody said so."""
    wanted = {likeness(text), likeness(other)}
    kept = [pair for pair in shop.kept.pairs[SAME_CAUSES] if set(pair) != wanted]
    if len(kept) == len(shop.kept.pairs[SAME_CAUSES]):
        raise NotFoundError(f"Nobody said that {text!r} and {other!r} are one cause.")
    set_setting(shop, SAME_CAUSES, kept)
