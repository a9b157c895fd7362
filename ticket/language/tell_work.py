"""Work and trials told: "took the left taillight off and put it back, with a new gasket"."""

from typing import Protocol

from ticket.language.groups import is_plural
from ticket.language.letters import words_of
from ticket.language.nouns import Untold
from ticket.language.records import Act, Group, Place, Span, Things, Trial
from ticket.language.voice import Voice

_FRESH = frozenset({"new", "used", "remanufactured"})


class Teller(Protocol):
    """What tells the parts of a clause in one language: :class:`ticket.language.tell.Teller` does."""

    @property
    def voice(self) -> Voice: ...  # noqa: D102

    def things(self, held: Things, form: str = "the") -> str: ...  # noqa: D102

    def figure(self, span: Span) -> str: ...  # noqa: D102

    def at(self, places: tuple[Place, ...]) -> str: ...  # noqa: D102

    def fill(self, record: str, *, many: bool = False, **parts: str) -> str: ...  # noqa: D102


def tell_act(teller: Teller, act: Act, form: str = "past") -> str:
    """One act without "we"; form: past, base, participle or gerund."""
    told = _done(teller, act, form)
    if act.figure is not None and act.figure_word not in ("", "of"):
        told += f" {_figure(teller, act.figure, act.figure_word)}"
    if act.using is not None:
        told += " " + teller.fill("with", x=teller.things(act.using, _article(act.using)))
    told += teller.at(act.places)
    if act.new is not None:
        told += ", " + teller.fill("with new", x=teller.things(act.new, "a"))
    return told


def _done(teller: Teller, act: Act, form: str) -> str:
    alone_typed = act.figure is None and not act.using and not act.places and not act.again
    if act.things is None and alone_typed:
        alone = teller.voice.work(act.work, "alone")
        if not alone or act.joined or form != "past":  # "bled the air out" is no way to offer it
            raise Untold(act.work)
        return alone
    whole = _as_one(teller, act) if form == "past" else None
    if whole is not None:
        return whole
    if act.things is None and act.places and teller.voice.behind:
        raise Untold(act.places[0].word)
    patterns = [teller.voice.work(name, form) or _unlisted(teller, name) for name in (act.work, *act.joined)]
    link = teller.voice.word("and")
    if act.again and teller.voice.behind:
        raise Untold(act.again)
    if act.things is None and not act.again and (act.figure is None or act.figure_word):
        bare = teller.voice.joined([pattern.replace(" {x}", "") for pattern in patterns], link)
        if "{" in bare:
            raise Untold(act.work)
        return bare
    plain = all(pattern.endswith(" {x}") and pattern.count("{") == 1 for pattern in patterns)
    if len(patterns) > 1 and not plain and teller.voice.behind:
        raise Untold(act.joined[0])
    if len(patterns) > 1 and not plain:  # "took the injectors off and cleaned them"
        first, *rest = patterns
        pattern = teller.voice.joined([first, *(each.replace("{x}", "{it}") for each in rest)], link)
        return _filled(teller, act, pattern)
    pattern = teller.voice.joined([*(each.removesuffix(" {x}") for each in patterns[:-1]), patterns[-1]], link)
    return _filled(teller, act, pattern)


def _as_one(teller: Teller, act: Act) -> str | None:
    """Work and its thing listed together, where a language says that another way: "cleared the codes"."""
    if act.things is None or len(act.things.groups) > 1 or act.joined or act.figure is not None:
        return None
    group = act.things.groups[0]
    if group.side or group.count or group.determiner not in ("", "the", "all"):
        return None
    name = " ".join([act.work.split(",")[0], *(span.base for span in group.spans)])
    return teller.voice.work(name, "alone") or None


def _filled(teller: Teller, act: Act, pattern: str) -> str:
    """The pattern of the work with what it was done to."""
    if act.again:
        parts = {"x": act.again, "it": act.again}
    elif act.things is None:
        parts = {"x": teller.figure(act.figure) if act.figure is not None else "", "it": "it"}
    elif act.figure is not None and act.figure_word == "of":
        parts = {"x": teller.fill("amount", n=teller.figure(act.figure), y=teller.things(act.things, "bare"))}
        parts["it"] = "it"
    else:
        found = act.work.startswith("locate") and all(map(_strange, act.things.groups))
        thing = teller.things(act.things, "a" if found else _article(act.things))
        parts = {"x": thing, "it": "them" if is_plural(act.things) else "it"}
        if "{o}" in pattern:
            parts["o"] = teller.things(act.things, "of")
    for name, part in parts.items():
        pattern = pattern.replace(f"{{{name}}}", part)
    if "{" in pattern:
        raise Untold(act.work)
    return pattern


def _unlisted(teller: Teller, name: str) -> str:
    told = teller.voice.unlisted(name)
    if told is None:
        raise Untold(name)
    return f"{told} {{x}}"


def _article(held: Things) -> str:
    fresh = any(span.base in _FRESH for group in held.groups for span in group.spans[:-1])
    return "a" if fresh else "the"


def _strange(group: Group) -> bool:
    """What is no part of the vehicle: it was found, and nobody knew of it before."""
    return not {word.kind for word in words_of(group.head)} & {"part", "general", "quantity"}


def _figure(teller: Teller, figure: Span, word: str) -> str:
    number = figure.value if word == "times" else teller.figure(figure)
    return teller.fill(f"figure {word}", n=number)


def tell_trial(teller: Teller, trial: Trial) -> str:
    """One trial without "we"."""
    told = teller.voice.template(f"trial {trial.kind}{' of' if trial.things is not None else ''}")
    if told is None or ("{n}" in told and trial.figure is None):
        raise Untold(trial.kind)
    if trial.figure is not None:
        number = trial.figure.value if trial.figure.unit == "times" else teller.figure(trial.figure)
        told = told.replace("{n}", number)
    if trial.things is not None:
        told = told.replace("{x}", teller.things(trial.things))
    return told + teller.at(trial.places)
