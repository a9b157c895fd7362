"""Typed lines labelled by the people who typed them, and how a reading of such a line fares against its label.

``right``: everything labelled is stated. ``asked``: what is absent is asked about. ``lost``: something is absent and
nobody is asked. ``wrong``: a value, verdict, answer, sum, hour, due or code is stated that the label contradicts.
Stricter than a person: a unit must be the same word, a position the same set of words.
"""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

Json = dict[str, Any]
OUTCOMES = ("right", "asked", "lost", "wrong")
_DECIDED = {"in", "low", "high"}
_FIELDS = ("hours", "quantity", "part", "price", "total", "ceiling", "time")
_NUMBER = re.compile(r"[0-9]*\.?[0-9]+")


def labelled(path: Path) -> list[Json]:
    """The lines of a file with their labels."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


def outcome(label: Json, said: Json) -> str:
    """The best outcome over the ways in which the readings of a line may be told."""
    versions = [label, *({**label, "measurements": other} for other in label.get("or_measurements", []))]
    return min((_outcome(version, said) for version in versions), key=OUTCOMES.index)


def _outcome(label: Json, said: Json) -> str:
    doubts = [*said["questions"], *said["unread"]]
    wrong, absent = _compared(label, said)
    if wrong:
        return "wrong"
    if label.get("must_ask"):
        return "right" if doubts else "lost"
    if not absent:
        return "right"
    return "asked" if all(_covered(label["line"], text, doubts) for text in absent) else "lost"


def _compared(label: Json, said: Json) -> tuple[bool, list[str]]:
    """Whether something contradicts the label, and what is absent."""
    absent = [""] if label.get("kind") not in (None, said["kind"]) else []
    wrong = False
    for name in _FIELDS:
        if name not in label:
            continue
        meant, stated = label[name], said[name]
        if stated is not None and (meant is None or not _same(str(meant), str(stated), rough=name == "hours")):
            wrong = True
        elif stated is None and meant is not None:
            absent.append(str(meant))
    for part in (_readings, _answers, _due, _codes):
        bad, missing = part(label, said)
        wrong, absent = wrong or bad, absent + missing
    return wrong, absent


def _readings(label: Json, said: Json) -> tuple[bool, list[str]]:
    decided = [one for one in said["measurements"] if one["verdict"] in _DECIDED]
    if label.get("must_ask") or "measurements" not in label:
        return bool(decided), []
    wrong, absent, left = False, [], list(said["measurements"])
    for meant in label["measurements"]:
        fits = [one for one in left if _same(str(meant["value"]), one["value"])]
        fits.sort(key=lambda one: -_fitness(meant, one))
        if not fits:
            absent += [] if meant.get("may") else [str(meant["value"])]
            continue
        left.remove(fits[0])
        if meant.get("may"):
            continue
        bad, missing = _one_reading(meant, fits[0])
        wrong, absent = wrong or bad, absent + missing
    return wrong or bool(left), absent


def _fitness(meant: Json, one: Json) -> int:
    same_place = _places(meant.get("at")) == _places(one["at"])
    return 2 * int(same_place) + int(bool(meant["verdict"] == one["verdict"]))


def _one_reading(meant: Json, one: Json) -> tuple[bool, list[str]]:
    value, free = str(meant["value"]), meant.get("any", [])
    absent: list[str] = []
    unit = meant.get("unit")
    wrong = bool(unit and one["unit"] and one["unit"] not in (unit, *meant.get("may_unit", [])))
    absent += [value] if unit and not one["unit"] else []
    if "at" not in free:
        meant_at, stated_at = _places(meant.get("at")), _places(one["at"])
        wrong |= bool(stated_at - meant_at - _places(meant.get("may_at")))
        absent += [value] if meant_at - stated_at - set(str(one["of"]).lower().split()) else []
    if "verdict" not in free and one["verdict"] not in (meant["verdict"], *meant.get("may_verdict", [])):
        wrong |= one["verdict"] in _DECIDED
        absent += [value] if meant["verdict"] in _DECIDED else []
    return wrong, absent


def _places(words: list[str] | str | None) -> set[str]:
    return set(" ".join([words] if isinstance(words, str) else words or []).lower().replace("-", " ").split())


def _answers(label: Json, said: Json) -> tuple[bool, list[str]]:
    if "answers" not in label:
        return False, []
    wrong, absent, left = False, [], list(said["answers"])
    for meant in label["answers"]:
        fit = next((one for one in left if _about(meant["to"], one["to"], alone=len(label["answers"]) == 1)), None)
        if fit is None:
            absent.append(" ".join(meant["to"]))
            continue
        left.remove(fit)
        wrong |= fit["answer"] not in (meant["answer"], *meant.get("may_answer", []))
    return wrong or bool(left), absent


def _about(meant: list[str], stated: list[str], *, alone: bool) -> bool:
    if stated == ["all"]:
        return alone or meant == ["all"]
    return bool(set(" ".join(meant).lower().split()) & set(" ".join(stated).lower().split()))


def _due(label: Json, said: Json) -> tuple[bool, list[str]]:
    if "due" not in label:
        return False, []
    stated = {name: str(value) for name, value in (said["due"] or {}).items() if value}
    wrong, absent = False, []
    for name, meant in label["due"].items():
        if name not in stated:
            absent.append(str(meant))
        elif name == "event":
            wrong |= not set(str(meant).lower().split()) & set(stated[name].lower().split())
        else:
            wrong |= not _same(str(meant), stated[name])
        stated.pop(name, None)
    return wrong or bool(stated), absent


_STATES = {"current": "active", "inactive": "previously active"}
"""The same state of a fault by its other name."""


def _codes(label: Json, said: Json) -> tuple[bool, list[str]]:
    if "codes" not in label:
        return False, []
    wrong, absent, left = False, [], list(said["codes"])
    for meant in label["codes"]:
        fit = next((one for one in left if _code(one) == _code(meant)), None)
        if fit is None:
            absent.append(str(meant.get("code", meant.get("spn"))))
            continue
        left.remove(fit)
        status = {_STATES.get(word, word) for word in meant.get("status", [])}
        wrong |= bool(fit["status"] and status - set(fit["status"]))
        absent += [" ".join(status)] if status and not fit["status"] else []
        for name in ("sub", "times"):
            if meant.get(name) is not None and fit[name] is None:
                absent.append(str(meant[name]))
            elif meant.get(name) is not None:
                wrong |= str(meant[name]) != str(fit[name])
    return wrong or bool(left), absent


def _code(one: Json) -> tuple[str, str]:
    if one.get("spn") is not None:
        return str(one["spn"]), str(one.get("fmi"))
    return str(one["code"]).upper(), ""


def _same(meant: str, stated: str, *, rough: bool = False) -> bool:
    """Equal as text, or as figures with the same words; hours of a label are cut at two places."""
    if re.sub(r"[\s\-]", "", meant.lower()) == re.sub(r"[\s\-]", "", stated.lower()):
        return True
    (one, unit), (other, second) = _figure(meant), _figure(stated)
    if one is None or other is None or unit != second:
        return False
    return abs(one - other) < Fraction(1, 100) if rough else one == other


def _figure(text: str) -> tuple[Fraction | None, str]:
    number, _, unit = text.replace(",", "").partition(" ")
    try:
        return Fraction(number), unit.removesuffix("s")
    except ValueError:
        return None, text


def _covered(line: str, text: str, doubts: list[Json]) -> bool:
    """Whether a question or an unread piece stands where the absent thing was typed; of the kind, near the start."""
    words = [word for word in re.findall(r"[A-Za-z]+|[0-9.,]+", text) if len(word) > 1 or word.isdigit()]
    spans = [(0, 12)] if not text else [hit.span() for word in words for hit in re.finditer(re.escape(word), line)]
    figure = _figure(text)[0]
    if figure is not None:
        spans += [hit.span() for hit in _NUMBER.finditer(line) if Fraction(hit[0]) == figure]
    return any(one["start"] < end and start < one["end"] for one in doubts for start, end in spans)
