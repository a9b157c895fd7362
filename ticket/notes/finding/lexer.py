"""Characters to typed tokens with their places. A number takes its unit here and nowhere else."""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache, lru_cache

from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.notes.finding.lexicon import Phrase, is_noun, phrases
from ticket.notes.finding.tokens import Amount, Line, Token
from ticket.notes.finding.unit_words import UnitWord, unit_at
from ticket.notes.lead import one_edit

LONGEST_DIGITS = 18
"""More digits than this are a paste, not a figure."""

MOST_TOKENS = 200
"""A line of more pieces is a paste; nothing is stated of it."""
_DEEPEST = 64  # 32nds of tread: nobody has two inches of it
_FRACTIONS = ("2", "4", "8", "16", "32", "64")  # parts of an inch
_PIECE = Regex(
    r"""
    (?P<plain>(?<![\w.])[^\W\d_]{2,}(?=[\s,;:)]|\Z))
  | (?P<quoted>\0+)
  | (?P<feet>(?<![\w.])[0-9]{1,4}\ ?(?:'|ft\.?|feet)\ ?[0-9]{1,2}
        (?:[- ][0-9]{1,2}/[0-9]{1,2}|\.[0-9]{1,4})?\ ?(?:"|in(?:ch(?:es)?)?(?![a-z])))
  | (?P<minutes>[-+\u2212]?[0-9]{1,3}°\ ?[0-9]{1,2}['′](?:\ ?[0-9]{1,2}(?:\.[0-9]{1,3})?(?:"|″|'')(?![0-9]))?)
  | (?P<ratio>(?<![\w.:])[0-9]{1,3}(?:\.[0-9]{1,3})?:1(?![\w:]|\.[0-9]))
  | (?P<date>(?<![\w.])[0-9]{4}-[0-9]{2}-[0-9]{2}(?![\w-])|(?<![\w.])[0-9]{1,2}:[0-9]{2}(?![\w:]))
  | (?P<grade>(?<![\w.])[0-9]{1,2}w-?[0-9]{2}(?!\w))
  | (?P<phone>(?<![\w.-])[0-9]{1,6}-0[0-9]{1,6}(?![\w.-]))
  | (?P<tyre>(?<![\w./])[1-4][0-9]5/[2-9][05](?:\ ?[RrDd-]\ ?[12][0-9](?:\.5)?)?(?![0-9./]))
  | (?P<sensor>(?<!\w)[Bb][1-9]\ ?[Ss][1-9](?!\w))
  | (?P<hash>(?<![\w#])(?:\#\ ?|no\.?)[0-9]{1,2}(?![\w.,/]?[0-9])(?![a-z]))
  | (?P<corner>(?<![\w.])[1-9][LR][IO]?(?!\w))
  | (?P<parts>(?<=\s)/\ ?32(?:nds)?(?![\w/.])(?!\ ?(?:Hz|deg|°|psi|bar|kPa|V|A|ohm|rpm|mm|Nm|%)))
  | (?P<pole>(?<!\w)B\+(?=[\s,;)]|\Z))
  | (?P<about>\+\ ?/\ ?[-\u2212]|±|\+[-\u2212](?=\s?[0-9.]))
  | (?P<arrow>->|→|=>|>>|-->)
  | (?P<sign><=|>=|[<>~≤≥])
  | (?P<code>(?<![\w.])[A-Za-z]{1,8}(?:[-.]?[0-9])[\w./-]*[\w])
  | (?P<code1>(?<![\w.])[A-Za-z][0-9](?!\w))
  | (?P<mixed>(?<![\w.,/])[-+\u2212]?[1-9][0-9]{0,2}(?:-|\ {1,3})[0-9]{1,2}/(?:2|4|8|16|32|64)(?![0-9/]))
  | (?P<number>(?:(?<![\w)\]"'°%.])[-+\u2212])?(?:[0-9][0-9.,/]*|\.[0-9][0-9.,/]*))
  | (?P<slashed>(?<!\w)a/c\ o(?:n(?:\ max)?|ff)(?!\w)|(?<!\w)[A-Za-z]/[A-Za-z](?:/[A-Za-z])?(?!\w)
        |(?<!\w)w/o?(?!\w)|(?<!\w)[no]/side(?!\w)|(?<!\w)s/be?(?!\w)|(?<!\w)plus/minus(?!\w))
  | (?P<word>[^\W\d_]+(?:['’][^\W\d_]+)?(?:-[^\W\d_]+)*)
  | (?P<other>\S)
    """,
    re.X | re.I,
)
_TYRES = Regex(r"\b(?:tyre|tire|wheel)|[0-9]\ ?R[12][0-9]", re.I)
"""On such a line 315/80 is a size, else two values."""
_SHORTENED = Regex(r"(?<![a-z])(?:min|max|approx|spec|lim|no|temp|press|volt|cyl|pos)\Z", re.I)
_ISH = Regex(r"(?:[ -]?(?:ish|odd)| or so(?! *\)))(?![a-z])", re.I)
_NEXT_WORD = Regex(r"(?: {1,4}|-)?([^\W\d_]+(?:['’][^\W\d_]+)?|[0-9](?![0-9.,/]))")
_GLUED_PLACE = Regex(r"([A-Za-z]{1,10})([0-9]{1,4}(?:\.[0-9]{1,3})?)([A-Za-z%\"]{0,4})", re.A)
_GLUED_UNITS = ("mm", "psi", "bar", '"', "in", "%", "deg")  # R134a is a name, R5mm a side
_PLAIN = Regex(r"[0-9]+|[0-9]+\.[0-9]+|\.[0-9]+")
_THOUSANDS = Regex(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_COMMA = Regex(r"[0-9]{1,4},[0-9]{1,2}")
_FRACTION = Regex(r"([0-9]{1,3})/([0-9]{1,2})")
_FIRSTS = {"/": frozenset("0123456789."), ",": frozenset("0123456789")}  # ".53/.02" is a pair, "3,.2" a slip
_WITH_COMMA = Regex(r"(?<![\d.,])\d{1,4},\d{1,2}(?!\d|,\d)")
_COUNTED_BEFORE = Regex(r"(?<![a-z])(?:cyls?|cylinders?|axles?|pins?|banks?|pos|positions?)\.? {0,3}\Z", re.I)
_PART_OF_UNIT = Regex(r"(?:half|quarter) (?:of )?an?(?= )", re.I)
_NUMERALS = {
    "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
    "ten": "10", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40", "sixty": "60",
}  # fmt: skip
_WRITTEN_OUT = 3  # letters: "ten psi", "two bar"; "two in" is as well a count of what is in
_SHARES = {"half": "0.5", "quarter": "0.25"}
_NUMBERED_BEFORE = Regex(
    r"(?<![a-z])(?:cells?|cyls?|batt(?:ery)?|axle|tank|module|inj|pump|coil|relay|solenoid|sol|valve) {1,2}\Z", re.I
)
_STROKES = Regex(r"[0-9] ?/ ?[0-9.]+ ?/ ?[0-9]|[0-9] / [0-9.]+ ?(?:°|%|p(?:ct|ercent)|psi|bar|kpa|v\b|c\b|f\b)", re.I)
_OF_A_WHOLE = Regex(r" (?:full|of|tank|left|way|open|down|turns?|throttle|pedal|stuck|charged?|used)\b", re.I)
"""Behind thirds that are a part of a whole; elsewhere 1/3 names two of several things, or two values."""
_FIGURE_NEXT = Regex(r" {1,2}[0-9]*\.?[0-9]")
_SLASHED_CORNER = Regex(r"(?<!\w)[LR]/F(?!\w)", re.I)
_SLASHED_REARS = {"l/r": "lr", "r/r": "rr"}
_IN_FRACTIONS = frozenset({"in", "inch", "inches", "ft", "foot", "feet", "mi", "mile", "miles"})
_JOINED = Regex(r"[0-9][/,][0-9.]")
_BANKS = (Regex(r"(?<![\w.])B1(?!\w)", re.I), Regex(r"(?<![\w.])B2(?!\w)", re.I))
_ALONE_K = Regex(r"k(?=[\s,;)]|\Z)", re.I)  # "1.1 k hot": thousands, with the space some put before it
_MINUS = Regex(r"minus ([0-9]*\.?[0-9]+)(?![0-9/])", re.I)
_FIGURE_BEFORE = Regex(r"(?:[0-9%°]|\bor|\bplus|[a-z]{1,3}(?<=[0-9] [a-z])) \Z", re.I)
_NDS = Regex(r" ?nds?(?!\w)", re.I)
_LIKE_A_DIGIT = Regex(r"[oOlI](?![\w])|[oOlI](?=[a-zA-Z]{1,3}(?!\w))")
_METAL_TO = Regex(r"\s+(?:to|on)\s+metal\b", re.I)
_WORDS = frozenset({"ol", "metal", "infinity", "infinite"})
_NUMBER_WORDS = frozenset({"none", "zero", "nil"})
_SIGNS = {"≤": "<=", "≥": ">="}
_MARKS = {"[": "(", "]": ")", "\u2212": "-", "–": "-", "—": "-", "×": "x", "“": '"', "”": '"', "’": "'"}


class Lexer:
    """One pass over a text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.angles = bool(re.search(r"[0-9]°\s?[0-9]{1,2}['′]", text))  # a mark behind a number is then minutes of arc
        self.strokes = _STROKES.search(text) is not None  # "55 / 32 / 6": the figures of a list, no 32nds
        self.commas = any(not self._counts(match.start()) for match in _WITH_COMMA.finditer(text))
        self.banks = all(
            bank.search(text) for bank in _BANKS
        )  # B1 alone may be a plug or a pin, B1 beside B2 is a bank
        self.table = phrases()

    def _counts(self, start: int) -> bool:
        """``cyl 1,2``: the word before says that these are places, not one figure with a decimal comma."""
        return _COUNTED_BEFORE.search(self.text, max(0, start - 12), start) is not None

    def line(self) -> Line:
        """All tokens, in order."""
        line = Line(self.text)
        at = 0
        while len(line.tokens) <= MOST_TOKENS:
            match = _PIECE.search(self.text, at)
            if match is None:
                return line
            gap = match.start() == 0 or self.text[match.start() - 1].isspace()
            if match.lastgroup == "plain" and _is_plain(folded := match[0].casefold()):
                at = match.end()
                line.tokens.append(Token("w", match.start(), at, folded, None, gap))
                continue
            made = list(self._made(match, gap))
            line.tokens.extend(made)
            at = max(match.start() + 1, made[-1].end if made else match.end())
        line.whole = False
        return line

    def _made(self, match: re.Match[str], gap: bool) -> Iterator[Token]:
        kind, start, end, typed = str(match.lastgroup), match.start(), match.end(), match[0]
        if typed == "." and _SHORTENED.search(self.text, max(0, start - 8), start):
            return
        if kind in ("number", "mixed") or (kind == "tyre" and self._is_no_size(end)):
            yield from self._number(start, end, typed, gap)
        elif kind == "feet":
            yield from self._feet(start, end, typed, gap)
        elif kind == "minutes":
            yield self._minutes(start, end, typed, gap)
        elif kind in ("word", "plain"):
            yield from self._word(start, typed, gap)
        elif kind == "slashed":
            yield from self._slashed(start, typed, gap)
        elif kind in ("code", "code1"):
            yield from self._code(start, end, typed, gap)
        else:
            yield self._plain(kind, start, end, typed, gap)

    def _plain(self, kind: str, start: int, end: int, typed: str, gap: bool) -> Token:
        if kind == "sensor":
            digits = [char for char in typed if char.isdecimal()]
            return Token(
                "p", start, end, typed, (("bank", f"bank {digits[0]}"), ("sensor", f"sensor {digits[1]}")), gap
            )
        if kind == "hash":
            return Token("p", start, end, typed, (("cyl", f"# {typed.casefold().lstrip('#no. ')}"),), gap)
        if kind == "corner":
            side = "left" if typed[1] in "Ll" else "right"
            depth = {"I": (("depth", "inner"),), "O": (("depth", "outer"),)}.get(typed[2:].upper(), ())
            return Token("p", start, end, typed, (("axle", f"axle {typed[0]}"), ("side", side), *depth), gap)
        if kind == "sign":
            return Token("i", start, end, typed, _SIGNS.get(typed, typed), gap)
        if kind == "parts" and self.strokes:
            return Token("/", start, start + 1, "/", None, gap)
        if kind == "parts":
            return Token("n", start, end, "32nds", None, gap)
        letters = {
            "quoted": "w",
            "pole": "w",
            "ratio": "n",
            "date": "n",
            "phone": "n",
            "grade": "n",
            "tyre": "n",
            "about": "a",
            "arrow": "r",
        }
        if kind in letters:
            return Token(letters[kind], start, end, typed, None, gap)
        mark = _MARKS.get(typed, typed)
        if mark == "." and not self.text[end : end + 1].strip():
            return Token(",", start, end, mark, None, gap)  # the end of a sentence parts like a comma
        if mark == "@":
            return Token("@", start, end, mark, None, gap)
        if mark in ("&", "+"):
            return Token("j", start, end, mark, None, gap)
        return Token(mark if mark in ",;:()/=-" else ("," if mark == "|" else "w"), start, end, mark, None, gap)

    # ------------------------------------------------------------------ words
    def _word(self, start: int, typed: str, gap: bool) -> Iterator[Token]:
        folded = typed.casefold().replace("’", "'")
        if folded == "bef":
            yield self._before(start, start + len(typed), gap)
            return
        minus = _MINUS.match(self.text, start) if folded == "minus" else None
        if minus is not None and not _FIGURE_BEFORE.search(self.text, max(0, start - 12), start):
            first, *rest = self._number(minus.start(1) - 1, minus.end(1), "-" + minus[1], gap)  # "camber minus 1.8"
            yield from (replace(first, start=start, text=self.text[start : first.end]), *rest)
            return
        part = _PART_OF_UNIT.match(self.text, start) if folded in ("half", "quarter") else None
        if part and unit_at(self.text, part.end()) is not None:
            yield from self._with_unit(start, part.end(), "", _SHARES[folded], "decimal", gap=gap)  # "half a volt"
            return
        counted = unit_at(self.text, start + len(typed)) if folded in _NUMERALS else None
        if counted is not None and len(counted.typed) >= _WRITTEN_OUT:  # "in ten minutes"
            yield from self._with_unit(start, start + len(typed), "", _NUMERALS[folded], "whole", gap=gap)
            return
        pieces = folded.split("-")
        found = self._phrase(start, pieces[0]) if len(pieces) > 1 else None
        end = start + len(typed)
        if found is None or found[1] < end:
            found = self._phrase(start, folded) or (slip_of(folded), end)
        rows, stop = found
        if not rows:
            yield self._value_word(folded, start, end, gap) or Token("w", start, end, folded, None, gap)
            return
        if rows[0].letter == "w":
            yield Token("w", start, stop, "-".join(rows[0].words), None, gap)
            return
        text = self.text[start:stop].casefold()
        yield Token(rows[0].letter, start, stop, text, rows, gap)

    def _value_word(self, folded: str, start: int, end: int, gap: bool) -> Token | None:
        if folded not in _WORDS:
            return None
        word = "OL" if folded != "metal" else "metal"
        again = _METAL_TO.match(self.text, end) if word == "metal" else None
        end = again.end() if again is not None else end
        unit = unit_at(self.text, end) if word == "OL" else None
        if unit is None:
            return Token("q", start, end, folded, Amount(word, shape="word"), gap)
        held = Amount(word, unit=unit.typed, dimension=unit.dimension, shape="word", bare=False)
        return Token("q", start, unit.end, folded, held, gap)

    def _before(self, start: int, end: int, gap: bool) -> Token:
        """``b4``, ``bef``: the short forms of one word."""
        rows = tuple(row for row in self.table["before"] if row.words == ("before",))
        return Token(rows[0].letter, start, end, "before", rows, gap)

    def _phrase(self, start: int, first: str) -> tuple[tuple[Phrase, ...], int] | None:
        """The longest rows that stand at ``start``, and where they end."""
        rows = self.table.get(first)
        if rows is None:
            return None
        for row in rows:
            end = start + len(first)
            for word in row.words[1:]:
                match = _NEXT_WORD.match(self.text, end)
                if match is None or match[1].casefold().replace("’", "'") != word:
                    break
                end = match.end()
            else:
                if row.words[-1] == "max" and len(row.words) > 1 and _FIGURE_NEXT.match(self.text, end):
                    continue  # "brakes on max 3": a largest value, and nothing that is on max
                if row.when == "behind" and row.words[0] == "and" and _FIGURE_NEXT.match(self.text, end):
                    continue  # "3.4 % and over 3 we change": the sign is of the figure behind it
                return tuple(one for one in rows if one.words == row.words), end
        return None

    def _slashed(self, start: int, typed: str, gap: bool) -> Iterator[Token]:
        folded = typed.casefold()
        if folded in _SLASHED_REARS and self._among_corners(start):
            folded = _SLASHED_REARS[folded]  # beside L/F or R/F these are corners too, not both sides
        found = self._phrase_exact(folded)
        if found:
            yield Token(found.letter, start, start + len(typed), folded, (found,), gap)
            return
        parts = folded.split("/")
        rows = [self._phrase_exact(part) for part in parts]
        if len(parts) > 1 and all(row is not None and row.letter == "p" for row in rows):
            at = start
            for place, (part, row) in enumerate(zip(parts, rows, strict=True)):
                if place:
                    yield Token("/", at - 1, at, "/", None, gap=False)
                yield Token("p", at, at + len(part), part, (row,), gap and not place)
                at += len(part) + 1
            return
        yield Token("w", start, start + len(typed), folded, None, gap)

    def _among_corners(self, start: int) -> bool:
        """L/F or R/F stands in the same part between semicolons."""
        begun = self.text.rfind(";", 0, start) + 1
        stop = self.text.find(";", start)
        return _SLASHED_CORNER.search(self.text, begun, stop if stop >= 0 else len(self.text)) is not None

    def _phrase_exact(self, folded: str) -> Phrase | None:
        rows = self.table.get(folded.split(" ", maxsplit=1)[0], ())
        return next((row for row in rows if " ".join(row.words) == folded), None)

    def _code(self, start: int, end: int, typed: str, gap: bool) -> Iterator[Token]:
        """Letters with digits: a position and its value glued together (``LF7mm``, ``cyl3``), else a name."""
        if self.banks and typed.upper() in ("B1", "B2"):
            yield Token("p", start, end, typed, (("bank", f"bank {typed[1]}"),), gap)
            return
        if typed.casefold() == "b4":
            yield self._before(start, end, gap)
            return
        match = _GLUED_PLACE.fullmatch(typed)
        row = self._phrase_exact(match[1].casefold()) if match else None
        if match and row and row.letter == "p" and row.when == "num" and match[2].isdecimal() and not match[3]:
            yield Token("p", start, start + len(match[1]), match[1].casefold(), (row,), gap)
            yield self._amount_token(start + len(match[1]), end, match[2], gap=False)
            return
        if match and row and row.letter in "plhsrv@" and row.when != "num" and _is_figure_behind(match, row):
            yield Token(row.letter, start, start + len(match[1]), match[1].casefold(), (row,), gap)
            at = start + len(match[1])
            yield from self._number(at, at + len(match[2]), match[2], False)
            return
        if match and not row and _is_word_and_figure(match, self.text[end : end + 1]):  # "play0.3mm", "dip2.3%"
            yield from self._word(start, match[1], gap)
            at = start + len(match[1])
            yield from self._number(at, at + len(match[2]), match[2], False)
            return
        yield Token("n", start, end, typed, None, gap)

    # ------------------------------------------------------------------ numbers
    def _number(self, start: int, end: int, typed: str, gap: bool) -> Iterator[Token]:
        if " " in typed and self._counts(start):
            first, last = typed.index(" "), typed.rindex(" ") + 1  # "axle 1 3/32": the whole number is the axle's
            yield from self._number(start, start + first, typed[:first], gap)
            yield from self._number(start + last, end, typed[last:], True)
            return
        body = typed.rstrip(".,/")
        sign = body[0] if body[0] in "+-\u2212" else ""
        digits = body[len(sign) :]
        if len(digits) > LONGEST_DIGITS + 6 and not _JOINED.search(digits):
            yield Token("x", start, start + len(body), body, None, gap)
            return
        counts = "," in digits and self._counts(start)
        whole = None if counts or self._is_pair(digits, start + len(body)) else self._normal(digits)
        if digits in ("1/3", "2/3") and _OF_A_WHOLE.match(self.text, start + len(body)):
            whole = digits, "fraction"
        if whole is not None:
            yield from self._with_unit(start, start + len(body), sign, *whole, gap=gap)
            return
        for separator in ("/", ","):
            parts = digits.split(separator)
            listed = 1 < len(parts) <= MOST_TOKENS
            if listed and all(part[:1] in _FIRSTS[separator] and self._normal(part) for part in parts):
                yield from self._listed(start, sign, parts, separator, gap)
                return
        yield Token("x", start, start + len(body), body, None, gap)

    def _is_no_size(self, end: int) -> bool:
        """``torque 175/90 Nm``: with a unit behind it, or where no tyre is named, it is two values."""
        return unit_at(self.text, end) is not None or not _TYRES.search(self.text)

    def _is_pair(self, digits: str, end: int) -> bool:
        """``2/8 mm``: nobody types a fraction of a metric unit, of a volt or of a psi: these are two values."""
        if "/" not in digits:
            return False
        found = unit_at(self.text, end)
        if found is None or found.dimension in ("volume", "turns", "time", "mass", "angle"):
            return False
        mixed = " " in digits or "-" in digits  # "1 1/2 mm" is one figure, "3/4 mm" are two
        length = found.dimension == "length"
        return not (length and mixed) and not (length and found.typed.casefold() in _IN_FRACTIONS)

    def _listed(self, start: int, sign: str, parts: list[str], separator: str, gap: bool) -> Iterator[Token]:
        """``6/5`` and ``105,105,98``: several numbers glued together."""
        end = start + len(sign) + len(separator.join(parts))
        mixed = (
            separator == "/"
            and len(parts) == 2
            and all(part.isdecimal() for part in parts)
            and sum(map(int, parts)) == 100
        )
        if mixed and unit_at(self.text, end) is None:  # "cyls 1, 2: 43/57 %" are two values
            yield Token("n", start, start + len("/".join(parts)), "/".join(parts), None, gap)  # a mixture, 50/50
            return
        at = start
        for place, part in enumerate(parts):
            if place:
                yield Token(separator, at - 1, at, separator, None, gap=False)
            length = len(part) + (len(sign) if not place else 0)
            text, shape = self._normal(part) or (part, "whole")
            mark = sign if not place else ""
            if place + 1 < len(parts):
                yield self._amount_token(
                    at, at + length, mark.replace("+", "") + text, gap=gap and not place, shape=shape
                )
            else:
                yield from self._with_unit(at, at + length, mark, text, shape, gap=False)
            at += length + 1

    def _normal(self, digits: str) -> tuple[str, str] | None:
        """The number in its normal form and its shape; ``None`` where the digits are no number."""
        if len(digits) > LONGEST_DIGITS + 6:
            return None
        mixed = re.fullmatch(r"([0-9]{1,3})(?:-| {1,3})([0-9]{1,2}/[0-9]{1,2})", digits)
        if mixed:
            return (f"{mixed[1]} {mixed[2]}", "fraction") if self._proper(mixed[2]) else None
        if _PLAIN.fullmatch(digits):
            return digits, "decimal" if "." in digits else "whole"
        fraction = _FRACTION.fullmatch(digits)
        if fraction:
            shape = "32nds" if fraction[2] in ("32", "64") else "fraction"
            return (digits, shape) if self._proper(digits) else None
        if self.commas and (_COMMA.fullmatch(digits) or re.fullmatch(r"[0-9],[0-9]{3}", digits)):
            return digits.replace(",", "."), "decimal"
        if _THOUSANDS.fullmatch(digits):
            return digits.replace(",", ""), "whole"
        return None

    @staticmethod
    def _proper(fraction: str) -> bool:
        top, _, bottom = fraction.partition("/")
        return bottom in _FRACTIONS and (0 < int(top) < int(bottom) or (bottom == "32" and 0 < int(top) < _DEEPEST))

    def _amount_token(self, start: int, end: int, text: str, *, gap: bool, shape: str = "whole") -> Token:
        value = exact(text)
        unit, dimension = ("in", "length") if shape == "32nds" else ("", "")
        held = Amount(text, value, unit, dimension, shape=shape, bare=not unit, signed=text[:1] == "-")
        return Token("q", start, end, self.text[start:end], held, gap)

    def _with_unit(self, start: int, end: int, sign: str, text: str, shape: str, *, gap: bool) -> Iterator[Token]:
        """A number, its ``k``, its ``+`` and its unit; or a name where letters that are no unit are glued to it."""
        text = ("-" if sign in ("-", "\u2212") else sign) + text
        value = exact(text)
        if value is None:
            yield Token("x", start, end, self.text[start:end], None, gap)
            return
        if self.angles and self.text[end : end + 1] in ("'", "′") and shape == "whole":
            held = Amount(mixed_text(value / 60), value / 60, "deg", "angle", signed=bool(sign), bare=False)
            yield Token("q", start, end + 1, self.text[start : end + 1], held, gap)
            return
        spaced = self.text[end : end + 1] == " " and _ALONE_K.match(self.text, end + 1) is not None
        kilo = end + spaced
        if self.text[kilo : kilo + 1] in ("k", "K") and not self.text[kilo + 1 : kilo + 2].isalpha():
            rest = unit_at(self.text, end)
            if rest is None and (not spaced or shape == "decimal"):
                value, text, shape, end = value * 1000, _thousand(value), "k", kilo + 1
        than = ""
        if self.text[end : end + 1] == "+" and not self.text[end + 1 : end + 3].strip(" ").startswith(("/", "-")):
            than, end = ">=", end + 1
        if shape == "32nds":  # 7/32nds says the notation twice
            nds = _NDS.match(self.text, end)
            end = nds.end() if nds else end
        found = unit_at(self.text, end)
        if found is not None and shape == "whole" and self._is_number_of(start, found.end):
            found = None
        if found is None and self._slipped(end, shape):
            yield Token("x", start, end + 1, self.text[start : end + 1], None, gap)
            return
        yield from self._measured(start, end, sign, text, value, shape, than, found, gap=gap)

    def _is_number_of(self, start: int, end: int) -> bool:
        """``cell 7 sg 1.215``: the unit word stands in front of the next figure, whose unit it is."""
        named = _NUMBERED_BEFORE.search(self.text, max(0, start - 12), start)
        does = self.text[start:end].endswith("clicks")  # "relay 3 clicks"
        return named is not None and (does or _FIGURE_NEXT.match(self.text, end) is not None)

    def _slipped(self, end: int, shape: str) -> bool:
        """``12.5o``: a letter where a digit was meant; nothing that has a decimal point is a name."""
        return shape == "decimal" and _LIKE_A_DIGIT.match(self.text, end) is not None

    def _measured(
        self,
        start: int,
        end: int,
        sign: str,
        text: str,
        value: Fraction,
        shape: str,
        than: str,
        found: UnitWord | None,
        *,
        gap: bool,
    ) -> Iterator[Token]:
        """A number with the unit behind it, or a name where the letters behind it are none."""
        if found is None and self._names(end) and not _ISH.match(self.text, end):
            stop = re.compile(r"[\w./-]*").match(self.text, end)
            at = stop.end() if stop else end
            yield Token("n", start, at, self.text[start:at].casefold(), None, gap)
            return
        unit, dimension, asked = "", "", ""
        if shape == "32nds":
            unit, dimension = "in", "length"
            found = found if found and found.dimension == "length" else None
        if found is not None:
            unit, dimension, asked = (unit or found.typed), found.dimension, found.asked
            if found.typed.casefold() in ("32nds", "32nd"):
                text, unit, value, shape = f"{text}/32", "in", value / 32, "32nds"
            end = found.end
            if not than and self.text[end : end + 1] == "+" and not self.text[end + 1 : end + 2].strip(" ,;)"):
                than, end = ">=", end + 1
        vague = _ISH.match(self.text, end)
        if vague and not than:
            than, end = "~", vague.end()
        held = Amount(
            text, value, unit, dimension, than=than, signed=bool(sign), shape=shape, bare=not unit, asked=asked
        )
        yield Token("q", start, end, self.text[start:end], held, gap)

    def _names(self, end: int) -> bool:
        """Letters glued to a number that are no unit make it a name, such as 4x4 or 5W-30."""
        following = self.text[end : end + 1]
        return following.isalpha() or (following == "-" and self.text[end + 1 : end + 2].isalpha())

    def _feet(self, start: int, end: int, typed: str, gap: bool) -> Iterator[Token]:
        feet, rest = re.split(r" ?(?:'|ft\.?|feet) ?", typed, maxsplit=1, flags=re.I)
        inches = exact(re.sub(r"[^0-9/. -]", "", rest).strip().replace("-", " "))
        if inches is None:
            yield Token("x", start, end, typed, None, gap)
            return
        value = int(feet) * 12 + inches
        yield Token("q", start, end, typed, Amount(mixed_text(value), value, "in", "length", bare=False), gap)

    @staticmethod
    def _minutes(start: int, end: int, typed: str, gap: bool) -> Token:
        degrees, minutes, *seconds = re.findall(r"[0-9]+(?:\.[0-9]+)?", typed)
        value = int(degrees) + Fraction(int(minutes), 60) + (Fraction(seconds[0]) / 3600 if seconds else 0)
        value = -value if typed[0] in "-\u2212" else value
        held = Amount(mixed_text(value), value, "deg", "angle", signed=typed[0] in "+-\u2212", bare=False)
        return Token("q", start, end, typed, held, gap)


def _is_figure_behind(match: re.Match[str], row: Phrase) -> bool:
    """``LF7mm``, ``min20``, ``at1500``: a word of two letters, or a unit behind; four digits only behind "at"."""
    word, figure, unit = match.groups()
    short = len(figure.partition(".")[0]) <= len("999") or row.letter == "@"
    return short and (len(word) > 1 or unit.casefold() in _GLUED_UNITS)


def _is_word_and_figure(match: re.Match[str], behind: str) -> bool:
    """A noun with a decimal in a unit glued to it; a grade, a size or a name has no unit or no such noun."""
    whole_unit = match[3].casefold() in _GLUED_UNITS or (not match[3] and behind == "%")
    return whole_unit and "." in match[2] and len(match[1]) >= _SHORTEST_NOUN and is_noun(match[1].casefold())


_SHORTEST_NOUN = 3  # letters


def _thousand(value: Fraction) -> str:
    return mixed_text(value * 1000)


def mixed_text(value: Fraction) -> str:
    """An exact value as text that reads back as the same: a decimal where it ends, else a fraction."""
    bottom = value.denominator
    while bottom % 2 == 0:
        bottom //= 2
    while bottom % 5 == 0:
        bottom //= 5
    if bottom == 1:
        places = 0
        while 10**places % value.denominator:
            places += 1
        sign, size = ("-" if value < 0 else ""), abs(value)
        whole, rest = divmod(size * 10**places, 10**places)
        return f"{sign}{whole}" + (f".{int(rest):0{places}}" if places else "")
    whole, top = divmod(abs(value.numerator), value.denominator)
    return ("-" if value < 0 else "") + (f"{whole} " if whole else "") + f"{top}/{value.denominator}"


@lru_cache(maxsize=4096)
def slip_of(word: str) -> tuple[Phrase, ...]:
    """The rows of a long word of limits or conditions that one slip of the keys made of it; mostly none."""
    if len(word) < _LONG_ENOUGH or not word.isascii():
        return ()
    for first, rows in _long_words().get(word[0], ()):
        if abs(len(first) - len(word)) <= 1 and one_edit(word, first):
            return tuple(row for row in rows if row.words == (first,) and row.letter in "lhsd")
    return ()


@cache
def _long_words() -> dict[str, list[tuple[str, tuple[Phrase, ...]]]]:
    """The words of the table that are long enough to be known behind a slip, by their first letter."""
    found: dict[str, list[tuple[str, tuple[Phrase, ...]]]] = {}
    for first, rows in phrases().items():
        if len(first) >= _LONG_ENOUGH and rows[-1].words == (first,):
            found.setdefault(first[0], []).append((first, rows))
    return found


@lru_cache(maxsize=4096)
def _is_plain(word: str) -> bool:
    """Whether a word stands in no table, under no slip: a word and nothing else wherever it stands."""
    special = word in _WORDS or word in ("half", "quarter", "bef", "minus", *_NUMERALS) or not word.isalpha()
    return not special and word not in phrases() and not slip_of(word)


_LONG_ENOUGH = 6


def tokens_of(text: str) -> Line:
    """The tokens of a text; words still stand for every class they may belong to."""
    return Lexer(text).line()
