"""F16 and F18: what the shop says it did stands on labour, tests or findings of that kind."""

from collections.abc import Iterator

from support.faithful.finding import Finding
from support.faithful.grounds import Grounds, Piece
from support.faithful.labour import labour_of, seen_in
from support.faithful.language import Language, Work
from support.faithful.tokens import Hit, Text, cut, find, spanned
from ticket.job.kinds import Used
from ticket.job.ticket import Ticket

_LABOUR = ("did",)
_SEEN = ("found", "proof", "ruled", "cause", "code")
_NEAR = 4  # words before a participle that may say it has not been done


class Licence:
    """What work the sources hold: the rows of the table of labour, and which of them are claims of exchange."""

    def __init__(self, grounds: Grounds) -> None:
        self.grounds = grounds
        self.rows = {id(row): row for row in self._rows()}
        self.told = {words for row in self.rows.values() for words in row.told}
        self.classes = {row.kind for row in self.rows.values()}

    def _rows(self) -> Iterator[Work]:
        language = self.grounds.language
        for piece in self.grounds.pieces:
            kind = piece.entry.kind if piece.entry else ""
            for text in piece.texts:
                if kind in _LABOUR and piece.field == "text":
                    yield from labour_of(text, language)
                    yield from self._exchanged(text, piece)
                elif kind in _SEEN:
                    yield from seen_in(text, language)

    def _exchanged(self, text: Text, piece: Piece) -> Iterator[Work]:
        """R&R is an exchange only where a part line names the object."""
        language = self.grounds.language
        if not set(text.keys) & set(language.list("work", "ambiguous")):
            return
        home = self.grounds.home(piece.entry) if piece.entry else None
        if _named_parts(home, self.grounds) & set(text.stems):
            yield from (row for rows in language.typed_work.values() for _, row in rows if row.kind == "fit")


def _named_parts(ticket: Ticket | None, grounds: Grounds) -> set[str]:
    language = grounds.language
    facts = [entry.fact for entry in (ticket.living if ticket else ())] + [entry.fact for entry in grounds.entries]
    texts = [cut(fact.text, language) for fact in facts if isinstance(fact, Used)]
    return {word.stem for text in texts for word in text.words if word.key not in language.empty}


def work(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Claims of work without work behind them."""
    licence = Licence(grounds)
    claimed: set[int] = set()
    for i, key in enumerate(text.keys):
        if key in grounds.language.list("work", "we") and not text.quoted[i]:
            yield from _we(text, i, licence, claimed)
    yield from _exchanges(text, licence, claimed)
    yield from _deferred(text, licence, claimed)
    yield from _checks(text, licence, claimed)


def _we(text: Text, at: int, licence: Licence, claimed: set[int]) -> Iterator[Finding]:
    """The verb behind "we", and those that follow it with a comma or "and"."""
    language = licence.grounds.language
    data = language.data["work"]
    i = at + 1
    if speech := _speech(text, i, language):
        yield from _spoken(text, speech, licence, i)
        i = speech.last
    else:
        while i < len(text.words) and text.keys[i] in data["skip"]:
            i += 1
        if i >= len(text.words) or text.sentence[i] != text.sentence[at]:
            return
        if text.keys[i] in data["modals"]:
            if not licence.grounds.kinds & {"later", "offer", "maybe"}:
                word = text.words[i]
                yield Finding("F16", "Nothing that is cited says what we can or will do.", word.start, word.end)
            return
        yield from _verb(text, i, licence, claimed)
        i += 1
    joining, kept = set(language.data["joining"]), set(language.data["unit_kept"])
    while i < len(text.words) and text.sentence[i] == text.sentence[at] and text.keys[i] not in data["we"]:
        between = text.raw[text.words[i - 1].end : text.words[i].start]
        joined = text.keys[i - 1] in joining or "," in between
        known = text.keys[i] in language.told_work or _speech(text, i, language) is not None
        if joined and known and not text.quoted[i] and not set(text.keys[i + 1 : i + 2]) & kept:
            yield from _verb(text, i, licence, claimed)
        i += 1


def _speech(text: Text, i: int, language: Language) -> Hit | None:
    """The longest phrase of speaking or looking that starts at a word."""
    best: Hit | None = None
    for phrase, _ in language.data["work"]["speech"]:
        words = tuple(phrase.split())
        if tuple(text.keys[i : i + len(words)]) == words and (best is None or len(words) > len(best.phrase)):
            best = Hit(i, i + len(words), words)
    return best


def _carries(hit: Hit, licence: Licence) -> bool:
    kinds: set[str] = set()
    for phrase, listed in licence.grounds.language.data["work"]["speech"]:
        if tuple(phrase.split()) == hit.phrase:
            kinds |= set(listed.split())
    grounds = licence.grounds
    if hit.phrase[0] in grounds.language.list("work", "measured") and not grounds.readings:
        return False
    if "amended" in kinds and any(entry.amended for entry in grounds.entries):
        return True
    return "*" in kinds or bool(kinds & grounds.kinds)


def _spoken(text: Text, hit: Hit, licence: Licence, i: int) -> Iterator[Finding]:
    if _carries(hit, licence) or _rows_at(text, i, licence) or licence.grounds.typed(" ".join(hit.phrase)):
        return
    start, end = spanned(text, hit)
    yield Finding("F16", f"No source says that we {text.raw[start:end]} something.", start, end)


def _rows_at(text: Text, i: int, licence: Licence) -> list[Work]:
    """The licensed rows whose telling words stand at a word."""
    told = licence.grounds.language.told_work.get(text.keys[i], ())
    rows = [row for words, row in told if tuple(text.keys[i : i + len(words)]) == words]
    return [row for row in rows if id(row) in licence.rows]


def _verb(text: Text, i: int, licence: Licence, claimed: set[int]) -> Iterator[Finding]:
    claimed.add(i)
    word = text.words[i]
    grounds = licence.grounds
    if rows := _rows_at(text, i, licence):
        yield from _object(text, i, rows, grounds)
        return
    hit = _speech(text, i, grounds.language)
    if hit is not None and _carries(hit, licence):
        return
    bare = {words[0] for words, _ in grounds.language.typed_work.get(word.stem, ())}
    if word.key in grounds.keys and word.key not in bare:
        return
    fit = any(
        row.kind == "fit" for _, row in grounds.language.told_work.get(word.key, ())
    ) and word.key in grounds.language.list("work", "fitted")
    rule, what = ("F18", "exchange") if fit else ("F16", "work")
    yield Finding(rule, f"No {what} is typed that could be told as “{word.key}”.", word.start, word.end)


def _object(text: Text, i: int, rows: list[Work], grounds: Grounds) -> Iterator[Finding]:
    """The thing a piece of work was done to stands in the sources."""
    longest = max(len(words) for row in rows for words in row.told if text.keys[i] == words[0])
    rest = {word for row in rows for word in row.rest}
    content = []
    for j in range(i + longest, len(text.words)):
        if text.clause[j] != text.clause[i]:
            break
        if text.stems[j] in grounds.stems or text.quoted[j]:
            return
        if text.keys[j] not in grounds.language.empty and text.keys[j] not in rest and not text.keys[j].isnumeric():
            content.append(j)
    if content:
        first, last = text.words[content[0]], text.words[content[-1]]
        yield Finding("F16", "No source says that this was worked on.", first.start, last.end)


def _undone(text: Text, i: int, language: Language) -> bool:
    """True where the words before a participle say it was not done, or is asked for."""
    first = max(0, i - _NEAR)
    keys = [key for k, key in enumerate(text.keys[first:i], first) if text.sentence[k] == text.sentence[i]]
    data = language.data
    if set(data["negation"]["words"]) & set(keys):
        return True
    if set(keys[-2:]) & set(data["work"]["passive"]):
        return False
    asked = set(data["compares"]["requests"]) | set(data["work"]["asking"]) | set(data["work"]["modals"])
    return bool(asked & set(keys))


def _exchanges(text: Text, licence: Licence, claimed: set[int]) -> Iterator[Finding]:
    """Replaced, fitted, swapped, rebuilt, wherever they stand (F18)."""
    grounds = licence.grounds
    for hit in find(text, grounds.language, grounds.language.list("work", "fitted")):
        word = text.words[hit.first]
        if hit.first in claimed or "fit" in licence.classes or word.key in grounds.keys:
            continue
        if not _undone(text, hit.first, grounds.language):
            yield Finding("F18", f"No labour is cited that “{word.key}” something.", word.start, word.end)


def _deferred(text: Text, licence: Licence, claimed: set[int]) -> Iterator[Finding]:
    """Work that waits is not told as done: with deferred work alone, no "has been cleaned"."""
    language = licence.grounds.language
    if not licence.grounds.kinds <= {"later", "offer", "told", "found"}:
        return
    passive = set(language.data["work"]["passive"])
    exchanged = set(language.list("work", "fitted"))
    for i, key in enumerate(text.keys):
        before = text.keys[i - 1] if i else ""
        told = any(tuple(text.keys[i : i + len(words)]) == words for words, _ in language.told_work.get(key, ()))
        if not told or before not in passive or i in claimed or key in exchanged or text.quoted[i]:
            continue
        if key not in licence.grounds.keys and not _undone(text, i, language):
            word = text.words[i]
            yield Finding("F16", f"No work is cited that “{key}” something.", word.start, word.end)


def _checks(text: Text, licence: Licence, claimed: set[int]) -> Iterator[Finding]:
    """Checked, measured, tested, wherever they stand (F16)."""
    grounds, language = licence.grounds, licence.grounds.language
    seen = bool(grounds.kinds & {"found", "proof", "ruled"})
    for hit in find(text, language, language.list("work", "checks")):
        said = " ".join(hit.phrase)
        if hit.first in claimed or text.keys[max(0, hit.first - 1)] in language.list("work", "we"):
            continue
        allowed = grounds.typed(said) or (
            bool(grounds.readings) if said in language.list("work", "measured")
            else "proof" in grounds.kinds or "check" in licence.classes if said in language.list("work", "tested")
            else seen or "check" in licence.classes
        )  # fmt: skip
        if not allowed and not _undone(text, hit.first, language):
            start, end = spanned(text, hit)
            yield Finding("F16", f"No source says that anything was {said}.", start, end)
