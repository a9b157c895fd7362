"""A text as words, clauses and sentences. One pass each, linear in the length of the text."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.story.faithful.language import Language, Phrases, load

# A word may hold apostrophes, hyphens and slashes inside; whether these join or part it is for the dictionary.
_WORD = Regex(r"[^\W_]+(?:['’&/\-‐‑.+][^\W_]+)*\+?")
_PIECE = Regex(r"[^\W_]+(?:['’][^\W_]+)*")
_STOP = Regex(r"[.!?][\"”’)]*(?:\s+|\Z)|\n+")
_CUT = Regex(r"(?<![0-9])[,:.]|[,:.](?![0-9])|[;!?()\[\]“”\"⏎\n]|\s[–—-]\s")


class Word(NamedTuple):
    """One word: folded, without its endings, and where it stands."""

    key: str
    stem: str
    start: int
    end: int


@dataclass(slots=True)
class Text:
    """A text cut up once; every rule looks at this.

    Attributes:
        raw: the text itself.
        words: its words in order.
        clause: for each word the number of its clause; a clause ends at a stop, comma or linking word.
        sentence: for each word the number of its sentence.
        quoted: for each word whether it stands in quote marks and is typed just so in the sources.
        keys: the words folded.
        stems: the words without their endings.
        starts: where each word begins.
        held: the words, and the stems behind a ``~``, in no order.
    """

    raw: str
    words: list[Word]
    clause: list[int]
    sentence: list[int]
    quoted: list[bool]
    keys: list[str] = field(default_factory=list)
    stems: list[str] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    held: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        self.keys = [word.key for word in self.words]
        self.stems = [word.stem for word in self.words]
        self.starts = [word.start for word in self.words]
        self.held = frozenset(self.keys) | {f"~{stem}" for stem in self.stems}

    def in_quote(self, place: int) -> bool:
        """True where the word at that character, or the last one before it, is a quoted one."""
        i = bisect_right(self.starts, place) - 1
        return i >= 0 and self.quoted[i]


def words_of(text: str, language: Language) -> Iterator[Word]:
    """The words of a text; a hyphenated or slashed one is cut up unless the dictionary knows it whole."""
    for match in _WORD.finditer(text):
        token = match.group()
        key = _key(token)
        if token.isalnum() or key in language.compounds:
            yield Word(key, language.stem(key), match.start(), match.end())
            continue
        for piece in _PIECE.finditer(token):
            key = _key(piece.group())
            start = match.start() + piece.start()
            yield Word(key, language.stem(key), start, start + len(piece.group()))


def _key(token: str) -> str:
    return (token.lower() if token.isascii() else fold(token)).replace("’", "'")


def cut(text: str, language: Language) -> Text:
    """Words, clauses and sentences of a text."""
    words = list(words_of(text, language))
    linking = frozenset(language.data["clause_words"])
    cuts = iter([match.start() for match in _CUT.finditer(text)])
    stops = iter([match.start() for match in _STOP.finditer(text)])
    clause, sentence = 0, 0
    next_cut, next_stop = next(cuts, len(text)), next(stops, len(text))
    clauses, sentences = [], []
    for word in words:
        before = clause
        while next_cut < word.start:
            clause, next_cut = before + 1, next(cuts, len(text))
        while next_stop < word.start:
            sentence, next_stop = sentence + 1, next(stops, len(text))
        if word.key in linking:
            clause += 1
        clauses.append(clause)
        sentences.append(sentence)
    return Text(text, words, clauses, sentences, [False] * len(words))


class Hit(NamedTuple):
    """A phrase found: first word, word behind the last, and the phrase."""

    first: int
    last: int
    phrase: tuple[str, ...]


@cache
def _phrases(language_code: str, phrases: tuple[str, ...]) -> Phrases:
    return Phrases(load(language_code), phrases)


def find(text: Text, language: Language, phrases: Iterable[str], *, quoted: bool = False) -> Iterator[Hit]:
    """Where phrases stand in a text, left to right, never overlapping; quoted words only where asked for."""
    wanted = _phrases(language.code, tuple(phrases))
    i = 0 if wanted.may_stand(text.held) else len(text.words)
    while i < len(text.words):
        found = wanted.at(text.keys, text.stems, i)
        if found is None or (text.quoted[i] and not quoted):
            i += 1
            continue
        yield Hit(i, i + len(found), found)
        i += len(found)


def spanned(text: Text, hit: Hit) -> tuple[int, int]:
    """Positions of the first and behind the last character of a hit."""
    return text.words[hit.first].start, text.words[hit.last - 1].end


def sentences_of(text: str) -> list[str]:
    """The sentences of a text, without the space between them."""
    pieces, start = [], 0
    for match in _STOP.finditer(text):
        pieces.append(text[start : match.end()].strip())
        start = match.end()
    pieces.append(text[start:].strip())
    return [piece for piece in pieces if piece]
