"""Which readings a text states, and which limits judge them. In doubt none, and a question."""

import re
from dataclasses import dataclass

from ticket.job.entry import Remark
from ticket.job.values import Limits, Run
from ticket.notes.leftover import left_over
from ticket.notes.limits import limits_in, write_limits
from ticket.notes.measures import Measure, measures
from ticket.notes.pen import Pen
from ticket.notes.questions import (
    JUDGES_NOTHING,
    NOT_UNDERSTOOD,
    ONE_A_LINE,
    decimal_commas,
    looks_limited,
    might_be_limits,
)  # fmt: skip
from ticket.notes.series import WORDS, Series, Tokens, back, is_part, is_value, write_values
from ticket.notes.spans import Body

FOLLOWERS = ("at", "with", "when", "after", "before", "on", "under", "during", "while", "hot", "cold")
"""Words that may follow a reading without a comma: they say under which conditions it was taken."""

_CONDITIONS = frozenset({"s", "min", "h", "day", "week", "month", "year", "km", "mi", "mph", "km/h"})
# A figure behind one of these is a condition, a bound or a denial, not a reading.
_BLOCKERS = frozenset(
    "after at before by during for from in into of on over per since than through till to under until up up-to with "
    "within without against around between beyond above below about approx approximately roughly near every or and "
    "be least most min max no not any never - – — + +/- ± x * / ~ #".split()
)  # fmt: skip
_DENIALS = frozenset({"no", "not", "never", "without"})
_ENDS = re.compile(r"\s*(?:\Z|[,;:(]|[.!?](?:\s|\Z))")
_FOLLOWS = re.compile(rf"\s+(?:{'|'.join(FOLLOWERS)})\b", re.I)
_GOES_ON = re.compile(r"\s*[0-9]")
_BRACKET = re.compile(r"\(([^()]*)\)")
_MOST_REMARKS = 3
_MOST_TOKENS = 80  # behind "=", enough for sixteen labelled values


@dataclass(frozen=True, slots=True)
class Reading:
    """A run and where it stands.

    Attributes:
        run: the run, or ``None`` where the text states none.
        start: position of its first character in the piece, its ``=`` included.
        end: position behind it, its bracket included.
        remarks: questions about figures and limits that were left in the text.
    """

    run: Run | None = None
    start: int = 0
    end: int = 0
    remarks: tuple[Remark, ...] = ()


class _Reader:
    def __init__(self, body: Body) -> None:
        self.body = body
        self.tokens = Tokens.of(body.bare)
        self.measures = list(measures(body.bare, self.tokens))
        self.unit_ends = {measure.end: measure for measure in self.measures}
        self.brackets = {match.start(): match.end() for match in _BRACKET.finditer(body.bare)}
        self.remarks: list[Remark] = []

    def read(self, *, again: bool = False) -> Reading:
        found = self._marked() or self._limited() or self._plain() or Reading()
        if found.run is not None:
            place = (found.start, found.end, found.run)
            question = left_over(self.body, self.tokens, self.measures, place, again=again)
            if question:
                self.remarks.append(question)
                found = Reading()
        self._ask_about_brackets(found)
        return Reading(found.run, found.start, found.end, tuple(self.remarks))

    def limited(self) -> bool:
        """Whether a reading with valid limits stands anywhere."""
        return any(self._limits(measure) is not None for measure in self.measures)

    def _limits(self, measure: Measure) -> tuple[Limits, int] | None:
        at = self._bracket_at(measure)
        close = self.brackets.get(at)
        if close is None:
            return None
        limits = limits_in(self.body.cut(at + 1, close - 1), measure.unit)
        return (limits, close) if limits else None

    def _bracket_at(self, measure: Measure) -> int:
        """Where a bracket would open that stands right behind the measure."""
        return measure.end + (self.body.bare[measure.end : measure.end + 1] == " ")

    def _made(self, series: Series, measure: Measure, start: int) -> Reading:
        limited = self._limits(measure)
        run = Run(series.values, measure.unit, limited[0] if limited else None)
        return Reading(run, start, limited[1] if limited else measure.end)

    def _marked(self) -> Reading | None:
        """A run behind ``=``."""
        by_token = {measure.token: measure for measure in self.measures}
        for i, token in enumerate(self.tokens.texts):
            if token != "=":
                continue
            for j in range(i + 1, min(i + _MOST_TOKENS, len(self.tokens.texts))):
                measure = by_token.get(j)
                series = back(self.tokens, j, i + 1, explicit=True) if measure else None
                whole = measure and series and series.first == i + 1 and not series.doubt
                if measure and series and whole and self._single_unit(measure, series):
                    if _GOES_ON.match(self.body.bare, measure.end):
                        return None  # 10 m 23 cm and 30° 22' are one figure in two units
                    return self._made(series, measure, self.tokens.starts[i])
                if not is_part(self.tokens.texts[j]):
                    break
        return None

    def _single_unit(self, measure: Measure, series: Series) -> bool:
        """False where the unit is a position of a longer list: in ``R 4 L 3 mm`` the L is no litre."""
        at = measure.token + 1
        if at + 1 >= len(self.tokens.texts) or self.tokens.ends[at] != measure.end or not series.values[0].label:
            return True
        return not is_value(self.tokens.texts[at + 1])

    def _limited(self) -> Reading | None:
        """The run in front of the first bracket of limits."""
        seen: dict[str, int] = {}
        for measure in self.measures:
            limited = self._limits(measure)
            if limited is None:
                seen.setdefault(measure.name, measure.end)
                continue
            series = back(self.tokens, measure.token)
            if series is None or series.doubt:
                return self._asked(measure, series.doubt if series else JUDGES_NOTHING)
            start = self.tokens.starts[series.first]
            before = self._before(series)
            earlier = {name for name, end in seen.items() if end <= start}
            doubtful = before in _BLOCKERS or measure.name in _CONDITIONS
            if (
                measure.name in earlier
                or before in _DENIALS
                or (earlier and doubtful)
                or self._goes_on(series, measure)
            ):
                return self._asked(measure, JUDGES_NOTHING)
            return self._made(series, measure, start)
        return None

    def _asked(self, measure: Measure, question: str) -> Reading:
        at = self.body.at
        self.remarks.append(Remark(question, at + self.tokens.starts[measure.token], at + measure.end))
        return Reading()

    def _plain(self) -> Reading | None:
        """The first run that ends its clause or is followed by its conditions."""
        for measure in self.measures:
            if measure.name in _CONDITIONS:
                continue
            if not clause_ends(self.body.bare, measure.end):
                continue
            series = back(self.tokens, measure.token)
            if series is None or self._before(series) in _BLOCKERS or self._goes_on(series, measure):
                continue
            if series.doubt:
                return self._asked(measure, series.doubt)
            if all(value.number.casefold() in WORDS - {"ol"} for value in series.values):
                continue
            return self._made(series, measure, self.tokens.starts[series.first])
        return None

    def _goes_on(self, series: Series, measure: Measure) -> bool:
        """Whether the figure goes on from one before it, as in ``5 ft 3 in``."""
        before = self.unit_ends.get(self.tokens.ends[series.first - 1]) if series.first else None
        return before is not None and before.dimension == measure.dimension

    def _before(self, series: Series) -> str:
        """The word in front of a series; a unit there, as in ``10 min 45 psi``, belongs to another figure."""
        if not series.first:
            return ""
        if self.tokens.ends[series.first - 1] in self.unit_ends:
            return ""
        return self.tokens.texts[series.first - 1].casefold().rstrip(".:")

    def _ask_about_brackets(self, found: Reading) -> None:
        judged = self.body.bare.rfind("(", found.start, found.end) if found.run and found.run.limits else -1
        behind = {self._bracket_at(measure): measure for measure in self.measures}
        for start, close in self.brackets.items():
            if start == judged or len(self.remarks) >= _MOST_REMARKS:
                continue
            content = self.body.cut(start + 1, close - 1)
            measure = behind.get(start)
            if measure is None:
                question = JUDGES_NOTHING if might_be_limits(content) else ""
            elif self._limits(measure):
                question = ONE_A_LINE if found.run else ""
            else:
                question = NOT_UNDERSTOOD if looks_limited(content.bare) else ""
            if question:
                self.remarks.append(Remark(question, self.body.at + start, self.body.at + close))


def clause_ends(text: str, at: int) -> bool:
    """Whether a clause ends at a place, or goes on with the conditions of a reading."""
    return bool(_ENDS.match(text, at) or _FOLLOWS.match(text, at))


def reading_in(body: Body, *, again: bool = False) -> Reading:
    """The run a piece of text states, by the rules above; ``again`` where it takes limits from an earlier one."""
    reading = _Reader(body).read(again=again)
    return Reading(reading.run, reading.start, reading.end, (*reading.remarks, *decimal_commas(body)))


def holds_limited_reading(body: Body) -> bool:
    """Whether a reading with limits right behind it stands anywhere in the piece."""
    return "(" in body.bare and _Reader(body).limited()


def write_run(run: Run, pen: Pen) -> str:
    """A run as the notation writes it; a marked one with ``=`` in front and nothing left to counting."""
    text = write_values(run.values, plainly=pen.marked)
    if run.unit:
        text += f" {run.unit}"
    if run.limits:
        text += f" ({write_limits(run.limits, run.unit, pen)})"
    return f"= {text}" if pen.marked else text
