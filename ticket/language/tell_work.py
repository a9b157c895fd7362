"""Work and trials told: "took the left taillight off and put it back, with a new gasket"."""

from typing import TYPE_CHECKING

from ticket.language.groups import is_plural
from ticket.language.nouns import Untold
from ticket.language.records import Act, Trial

if TYPE_CHECKING:
    from ticket.language.tell import Teller


def tell_act(teller: "Teller", act: Act, form: str = "past") -> str:
    """One act, without "we"."""
    told = _done(teller, act, form)
    if act.figure is not None and act.figure_word and act.figure_word != "of":
        told += " " + _figure(teller, act)
    if act.using is not None:
        told += " " + teller.fill("with", x=teller.things(act.using, "a" if _is_new(act.using) else "the"))
    told += teller.at(act.places)
    if act.new is not None:
        told += ", " + teller.fill("with new", x=teller.things(act.new, "a"))
    return told


def _done(teller: "Teller", act: Act, form: str) -> str:
    voice = teller.voice
    names = (act.work, *act.joined)
    if act.things is None and act.figure is None and not act.using and not act.places:
        alone = voice.work(act.work, "alone")
        if not alone or act.joined:
            raise Untold(act.work)
        return alone
    patterns = [voice.work(name, form) or _unlisted(teller, name) for name in names]
    if act.things is None:
        if act.figure_word or act.figure is None:
            return _without(patterns, teller)
        what = teller.figure(act.figure)
        it = "it"
    else:
        assert act.things is not None
        what = _things(teller, act) if act.figure_word == "of" else teller.things(act.things, "a" if _is_new(act.things) else "the")
        it = "them" if is_plural(act.things) else "it"
    if len(patterns) > 1 and not all(pattern.endswith(" {x}") and pattern.count("{") == 1 for pattern in patterns):
        raise Untold(act.joined[0])
    first = voice.joined([pattern.removesuffix(" {x}") for pattern in patterns[:-1]] + [patterns[-1]], voice.word("and"))
    if act.things is not None and "{o}" in first:
        first = first.replace("{o}", teller.things(act.things, "of"))
    if "{" in first.replace("{x}", "").replace("{it}", ""):
        raise Untold(act.work)
    return first.replace("{x}", what).replace("{it}", it)


def _things(teller: "Teller", act: Act) -> str:
    assert act.figure is not None and act.things is not None
    return teller.fill("amount", n=teller.figure(act.figure), y=teller.things(act.things, "bare"))


def _unlisted(teller: "Teller", name: str) -> str:
    told = teller.voice.unlisted(name)
    if told is None:
        raise Untold(name)
    return f"{told} {{x}}"


def _without(patterns: list[str], teller: "Teller") -> str:
    bare = [pattern.replace(" {x}", "") for pattern in patterns]
    if any("{" in pattern for pattern in bare):
        raise Untold(bare[0])
    return teller.voice.joined(bare, teller.voice.word("and"))


def _is_new(held: "object") -> bool:
    return any(span.base in ("new", "used", "remanufactured") for group in held.groups for span in group.spans[:-1])  # type: ignore[attr-defined]


def _figure(teller: "Teller", act: Act) -> str:
    assert act.figure is not None
    if act.figure_word == "times":
        return teller.fill("figure times", n=act.figure.value)
    return teller.fill(f"figure {act.figure_word}", n=teller.figure(act.figure))


def tell_trial(teller: "Teller", trial: Trial) -> str:
    """One trial, without "we"."""
    told = teller.voice.template(f"trial {trial.kind}")
    if told is None:
        raise Untold(trial.kind)
    if "{n}" in told:
        if trial.figure is None:
            raise Untold(trial.kind)
        number = trial.figure.value if trial.figure.unit == "times" else teller.figure(trial.figure)
        told = told.replace("{n}", number)
    if "{x}" in told and trial.things is not None:
        told = told.replace("{x}", teller.things(trial.things))
    return told + teller.at(trial.places)
