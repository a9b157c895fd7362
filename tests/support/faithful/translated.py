"""The rules for a language technicians do not type in: told words and typed ones cannot be compared one by one.

What needs no language is held to the letter: sources, figures with their units, codes, part numbers, names, dates,
amounts, quotes (F1 to F5). What does is held by word lists of the language, each with the English that allows it:
sides (F6), negations (F7), words that promise or blame (F8, F12, F20), leaks, conditions and replacements (F9, F13,
F18), hedges (F19), verdicts (F21), and the surface (F26).
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from support.faithful.figures import CLOCK, CODE, COUNT, DATE, MONEY, PART, PHONE, QUANTITY, SUB, Figure, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds
from support.faithful.language import Language, load
from support.faithful.rule_sources import absence, cited
from support.faithful.tokens import cut
from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Cause, Maybe
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.wall import local_day
from ticket.readings import units

_WORD = Regex(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")
_BEHIND = Regex(r"(?:[ \u00a0][^\W\d_]+)*")
_DOUBLED = Regex(r"(?i)(?<![\w])([^\W\d_]{2,}) \1(?!\w)")
_STRAY = Regex(r" [,.;:!?](?:\s|\Z)|[,;:]{2}|[,;:]\.|\(\s*\)|“\s*”|\{|\}|  |;\s*;|\s\Z|\A\s")
_REACH, _LONGEST = 40, 3  # letters and words in which a unit may stand behind its figure
_LETTER = frozenset({CODE, SUB, PART, CLOCK, PHONE})
_QUOTE = Regex(r"“([^“”]*)”")


def check_translated(
    text: str, sources: Sequence[Entry], lists: Language, reader: str, ticket: Ticket | None,
    earlier: Sequence[Ticket], derived: Sequence[str], *, caution: bool,
) -> Iterator[Finding]:  # fmt: skip
    """The rules that a sentence of another language breaks."""
    given = cut(text, lists)
    yield from cited(given, sources, lists, reader=reader, ticket=ticket, earlier=earlier, caution=caution)
    yield from _surface(text)
    if not sources and not caution:
        if ticket is not None and given.words:
            yield from absence(given, lists, ticket, reader=reader)
        return
    grounds = Grounds(sources, load(), reader=reader, ticket=ticket, earlier=earlier, derived=derived)
    judged = _Judged(text, lists, grounds)
    yield from judged.quotes()
    if not caution:
        yield from judged.figures()
        yield from judged.claims()
        yield from judged.banned()
        yield from judged.negations()
        yield from judged.hedges(sources, reader)
        yield from judged.verdicts()


def _surface(text: str) -> Iterator[Finding]:
    quoted = [match.span() for match in _QUOTE.finditer(text)]
    for pattern, what in ((_DOUBLED, "A word stands twice."), (_STRAY, "A mark stands astray.")):
        for match in pattern.finditer(text):
            if not any(start < match.start() and match.end() < end for start, end in quoted):
                yield Finding("F26", what, *match.span())


@dataclass
class _Judged:
    text: str
    lists: Language
    grounds: Grounds

    def __post_init__(self) -> None:
        self.open = _QUOTE.sub(lambda match: "“" + " " * (len(match[0]) - 2) + "”", self.text)
        self.folded = fold(self.open)
        self.words = [fold(match[0]) for match in _WORD.finditer(self.open)]

    # --- quotes (F5) -------------------------------------------------------------------------------------------

    def quotes(self) -> Iterator[Finding]:
        """Words in quote marks were typed so, or are the meaning of a code."""
        english = load()
        for match in _QUOTE.finditer(self.text):
            keys = [word.key for word in cut(match[1], english).words]
            if keys and not self.grounds.holds(keys):
                yield Finding("F5", "The words in quote marks were not typed so.", *match.span())

    # --- figures (F2 to F5) ------------------------------------------------------------------------------------

    def figures(self) -> Iterator[Finding]:
        """Every figure stands in the sources, with its unit, or is declared."""
        dates = list(self._dates(self.open))
        declared = {day for text in self.grounds.derived for _, _, day in self._dates(text)}
        known_days = {*self._days(), *declared}
        for start, end, day in dates:
            if day not in known_days:
                yield Finding("F5", "The sources hold no such date.", start, end)
        plain = self.open
        for start, end, _ in dates:
            plain = plain[:start] + " " * (end - start) + plain[end:]
        raw = [figure for piece in self.grounds.pieces for typed in piece.texts for figure in _scanned(typed.raw)]
        raw += [figure for text in self.grounds.derived for figure in scan(text, self.lists)]
        ends = [(end, reading.unit) for reading in self.grounds.readings for end in reading.ends]
        raw += [figure for end, unit in ends for figure in _scanned(f"{end} {unit}")]
        raw += [Figure(COUNT, str(no), 0, 0, Fraction(no)) for no in self._numbers()]
        letters = {fold(figure.text) for figure in raw if figure.kind in _LETTER | {DATE}}
        letters |= {fold(word) for piece in self.grounds.pieces for word in piece.typed.raw.split()}
        for figure in (self._with_unit(one, plain) for one in scan(self._pointed(plain), self.lists)):
            if figure.kind in _LETTER:
                if fold(figure.text) not in letters and not any(fold(figure.text) in word for word in letters):
                    yield Finding("F5", "It stands in no source letter for letter.", figure.start, figure.end)
            elif not any(_same(figure, other) for other in raw) and not self._counted(figure):
                yield Finding("F2", "The sources hold no such figure.", figure.start, figure.end)

    def _numbers(self) -> Iterator[int]:
        """The numbers of the cited entries, and those that a contact answers."""
        for entry in self.grounds.entries:
            yield entry.no
            yield from (ref.no for _, ref in refs_of(entry.fact))

    def _pointed(self, text: str) -> str:
        """The text with its decimal commas as points, where the language writes commas."""
        if self.lists.data.get("decimal") != ",":
            return text
        swap = {",": ".", ".": ","}
        return re.sub(r"(?<=\d)[.,](?=\d)", lambda match: swap[match[0]], text)

    def _with_unit(self, figure: Figure, text: str) -> Figure:
        """The unit in words behind a figure."""
        if figure.kind != COUNT:
            return figure
        found = _BEHIND.match(text[figure.end : figure.end + _REACH])
        behind = [fold(word) for word in found[0].split()][:_LONGEST] if found else []
        names = (" ".join(behind[:i]) for i in range(len(behind), 0, -1))
        name = next((held for one in names if (held := self.lists.data["units"].get(one))), "")
        unit = units.find(name) if name else None
        if unit is None:
            return figure
        return Figure(
            QUANTITY, figure.text, figure.start, figure.end, figure.value, unit.name, unit.dimension, figure.negative,
            figure.word,
        )  # fmt: skip

    def _counted(self, figure: Figure) -> bool:
        """How many entries or readings there are, the place of one of them, or an exact bound of a tolerance."""
        if figure.kind not in (COUNT, QUANTITY) or figure.value is None:
            return False
        exactly = {text for reading in self.grounds.readings for text in reading.limits}
        if figure.kind == QUANTITY and not figure.word:
            return figure.digits in {limit.lstrip("+-\u2212") for limit in exactly}
        most = max(len(self.grounds.entries), len(self.grounds.readings))
        return 0 < figure.value <= most or figure.digits in {limit.lstrip("+-\u2212") for limit in exactly}

    def _dates(self, text: str) -> Iterator[tuple[int, int, tuple[int, int, int]]]:
        months: list[str] = self.lists.data["months"]
        shape = re.escape(self.lists.data["date"]).replace(r"\ ", "[ \u00a0]")
        for name, part in (("day", r"(?P<day>\d{1,2})"), ("month", r"(?P<month>\w+)"), ("year", r"(?P<year>\d{4})")):
            shape = shape.replace(r"\{" + name + r"\}", part)
        for match in re.finditer(shape, text):
            if fold(match["month"]) in months:
                yield *match.span(), (int(match["year"]), months.index(fold(match["month"])) + 1, int(match["day"]))

    def _days(self) -> Iterator[tuple[int, int, int]]:
        """The days of the sources: typed dates, and those on which tickets and entries were made."""
        for piece in self.grounds.pieces:
            for match in re.finditer(r"(\d{4})-(\d{2})-(\d{2})", piece.typed.raw):
                yield int(match[1]), int(match[2]), int(match[3])
        for entry in self.grounds.entries:
            home = self.grounds.home(entry)
            for at in (entry.at, home.closed or home.opened):
                day = local_day(at)
                yield day.year, day.month, day.day

    # --- words -------------------------------------------------------------------------------------------------

    def _said(self, phrases: Iterable[str]) -> str:
        """The first of the phrases that stands in the text outside quote marks."""
        text = f" {' '.join(self.words)} "
        for phrase in phrases:
            key = fold(phrase)
            if (key.endswith("~") and f" {key[:-1]}" in text) or (not key.endswith("~") and f" {key} " in text):
                return phrase
        return ""

    def claims(self) -> Iterator[Finding]:
        """Sides, leaks, conditions and replacements: told only where the sources hold the English of them."""
        for group, rule in (("sides", "F6"), ("words", "F9")):
            for name, row in self.lists.data[group].items():
                said = self._said(row["told"])
                if said and not self.grounds.typed(*row["typed"]):
                    yield Finding(rule, f"The sources do not say {name!r}.", 0, len(self.text))

    def banned(self) -> Iterator[Finding]:
        """Words that promise or blame."""
        said = self._said(self.lists.data["banned"]["told"])
        if said:
            yield Finding("F8", f"{said.rstrip('~')!r} promises or blames.", 0, len(self.text))

    def negations(self) -> Iterator[Finding]:
        """A "no" stands in the sources too, or belongs to a pattern that its entry allows."""
        text = re.sub(r"\s+", " ", self.folded)
        for phrase, kinds in sorted(self.lists.data["negation"]["framed"], key=lambda row: -len(row[0])):
            if kinds == "*" or set(kinds.split()) & self.grounds.kinds:
                text = re.sub(rf"(?<!\w){re.escape(fold(phrase))}(?!\w)", " ", text)
        left = set(_WORD.findall(text)) & {fold(word) for word in self.lists.data["negation"]["told"]}
        if left and not self.grounds.typed(*self.lists.data["negation"]["typed"]):
            yield Finding("F7", "It denies what the sources do not deny.", 0, len(self.text))

    def hedges(self, sources: Sequence[Entry], reader: str) -> Iterator[Finding]:
        """A cause that is not confirmed, and a suspicion, keep their hedge."""
        about_it = bool(self._said(self.lists.data["hedges"]["apart"]))
        for entry in () if about_it else sources[:1]:
            if isinstance(entry.fact, Cause) and self.grounds.rung(entry.fact) != "confirmed":
                if reader != "payer" or len(sources) == 1:
                    if not self._said(self.lists.data["hedges"]["likely"]):
                        yield Finding("F19", "The hedge of the cause is lost.", 0, len(self.text))
            elif isinstance(entry.fact, Maybe) and reader == "customer":
                if not self._said(self.lists.data["hedges"]["maybe"]):
                    yield Finding("F19", "The hedge of the suspicion is lost.", 0, len(self.text))

    def verdicts(self) -> Iterator[Finding]:
        """A verdict is one that was computed for a cited reading."""
        held = {reading.verdict for reading in self.grounds.readings}
        for name, word in (("low", "low"), ("high", "high"), ("good", "in")):
            if self._said(self.lists.data["verdicts"][name]) and word not in held:
                typed = word == "in" and self.grounds.typed("within limits", "within its limits", "within spec", "wnl")
                if not typed:
                    yield Finding("F21", f"No cited reading is {name}.", 0, len(self.text))


def _scanned(text: str) -> tuple[Figure, ...]:
    return scan(text, load())


def _same(told: Figure, typed: Figure) -> bool:
    """The same value, and the same unit where both have one."""
    if told.value is None or typed.value is None or told.value != typed.value:
        return False
    if MONEY in (told.kind, typed.kind):
        return told.kind != QUANTITY or typed.kind != MONEY
    if told.kind == QUANTITY and typed.kind == QUANTITY:
        return told.unit == typed.unit
    return told.kind != QUANTITY or typed.kind == COUNT
