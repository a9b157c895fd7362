"""The words of the rules, by language: one file each beside this one, and the trade's dictionary; read once."""

import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from support.faithful.stems import Stemmer
from ticket.job.text import fold

_HERE = Path(__file__).parent
FOLDERS = [_HERE]
"""Where the word lists of a language are looked for, first match first."""
_DICTIONARY = (
    _HERE / "words"
)  # the dictionary of the trade as it was when the rules were written: it stays apart on purpose

Words = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """One kind of labour.

    Attributes:
        typed: how it is typed, each as words.
        told: the words that claim it was done, up to the thing it was done to ("put" of "put the cover back").
        rest: the words behind the thing ("back").
        kind: class of work; a claim of one class never rests on work of another.
    """

    typed: tuple[Words, ...]
    told: tuple[Words, ...]
    rest: Words
    kind: str


@dataclass(frozen=True, slots=True)
class Language:
    """The word lists of one language, with what is looked up most often worked out.

    Attributes:
        data: the file of the rules.
        empty: words that say nothing about a thing.
        compounds: words kept whole although they hold a hyphen or a slash.
        numbers: number words.
        plain: short forms and terms with all their plain words side by side.
        jargon: lower-case short forms a customer should not meet.
        capital_jargon: the same in capitals.
        glosses: explanations of terms, which state no event.
        typed_work: labour by the stem of the first word it is typed with.
        told_work: labour by the first word it is told with.
    """

    code: str
    data: dict[str, Any]
    stemmer: Stemmer
    empty: frozenset[str]
    compounds: frozenset[str]
    numbers: dict[str, Fraction]
    plain: dict[Words, Words]
    jargon: frozenset[str]
    capital_jargon: frozenset[str]
    glosses: frozenset[str]
    typed_work: dict[str, list[tuple[Words, Work]]]
    told_work: dict[str, list[tuple[Words, Work]]]

    @property
    def translated(self) -> bool:
        """Technicians type in another language: told words and typed ones are not compared one by one."""
        return bool(self.data.get("translated"))

    def list(self, *path: str) -> Words:
        """A list of words by its place in the file."""
        value: Any = self.data
        for name in path:
            value = value[name]
        return tuple(value)

    def stem(self, word: str) -> str:
        """A folded word without its endings."""
        return self.stemmer.stem(word)


def known(code: str) -> bool:
    """Whether there are word lists of a language."""
    return code.isalpha() and _file(code) is not None


def _file(code: str) -> Path | None:
    return next((path for folder in FOLDERS if (path := folder / f"{code}.toml").is_file()), None)


@cache
def load(code: str = "en") -> Language:
    """The word lists of a language. Raises ``FileNotFoundError`` where there are none."""
    data = tomllib.loads((_file(code) or _HERE / f"{code}.toml").read_text(encoding="utf-8"))
    irregular = dict(pair.split() for pair in data["irregular"].split(","))
    stemmer = Stemmer([(old, new) for old, new in data["endings"]], tuple(data["never_cut"]), irregular)
    glossary = list(_rows(code, "glossary.tsv"))
    plain = _plain(code, glossary)
    unguarded = [row for row in glossary if row["use"] in ("short", "swap") and not row["guard"]]
    banned = [row["term"] for row in unguarded if fold(row["term"]) not in fold(row["plain"])]
    work = [_work(row, data["work"]["also"]) for row in _rows(code, "work.tsv")]
    typed: dict[str, list[tuple[Words, Work]]] = {}
    told: dict[str, list[tuple[Words, Work]]] = {}
    for row in work:
        for words in row.typed:
            typed.setdefault(stemmer.stem(words[0]), []).append((words, row))
        for words in row.told:
            told.setdefault(words[0], []).append((words, row))
    return Language(
        code=code,
        data=data,
        stemmer=stemmer,
        empty=frozenset(data["empty"].split()),
        compounds=frozenset(data["compounds"]) | {key[0] for key in plain if len(key) == 1 and not key[0].isalnum()},
        numbers={word: Fraction(value) for word, value in data["number_words"].items()},
        plain=plain,
        jargon=frozenset(fold(term) for term in banned if not term.isupper()),
        capital_jargon=frozenset(term for term in banned if term.isupper()),
        glosses=frozenset(fold(row["gloss"]) for row in glossary if row["gloss"]),
        typed_work=typed,
        told_work=told,
    )


def _rows(code: str, name: str) -> Iterator[dict[str, str]]:
    """Rows of a table by column name, none without a dictionary; a row may leave out its last columns."""
    if not (_DICTIONARY / code).is_dir():
        return  # technicians type in another language than this one
    text = (_DICTIONARY / code / name).read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    names = lines[0].split("\t")
    for line in lines[1:]:
        cells = line.split("\t")
        yield dict(zip(names, cells + [""] * (len(names) - len(cells)), strict=False))


def _plain(code: str, glossary: list[dict[str, str]]) -> dict[Words, Words]:
    """Every short form, term and state with the words it is told by."""
    plain: dict[Words, Words] = {}
    for typed, told in (
        *((row["short"], row["long"]) for row in _rows(code, "shorts.tsv")),
        *((row["term"], row["plain"]) for row in glossary if row["use"] != "ask"),
        *((row["typed"], row["after"]) for row in _rows(code, "states.tsv")),
    ):
        if told and told != "-" and fold(typed) != fold(told):
            key = tuple(fold(typed).split())
            plain[key] = plain.get(key, ()) + tuple(fold(told.partition("(")[0]).split())
    return plain


def _work(row: dict[str, str], also: list[list[str]]) -> Work:
    """A row of the table, with the ``also`` (phrase, how it is typed) that belong to it."""
    told = [words for words in (row["past"], row["participle"], row["alone"]) if words.partition("{")[0].strip()]
    behind = [word for words in told for word in words.partition("}")[2].split() if "{" not in word]
    typed = tuple(tuple(fold(word).split()) for word in row["typed"].split(","))
    others = tuple(tuple(phrase.split()) for phrase, as_typed in also if tuple(as_typed.split()) in typed)
    return Work(
        typed=typed,
        told=(*(tuple(fold(words.partition("{")[0]).split()) for words in told), *others),
        rest=(*behind, *(word for words in told if "{" not in words for word in words.split()[1:])),
        kind=row["class"],
    )


class Phrases:
    """A set of phrases to look for in one pass; ``leak~`` stands for all inflections of its word."""

    def __init__(self, language: Language, phrases: Iterable[str]) -> None:
        self._starts: dict[str, list[Words]] = {}
        for phrase in phrases:
            parts = tuple(
                f"~{language.stem(fold(part[:-1]))}" if part.endswith("~") else fold(part) for part in phrase.split()
            )
            self._starts.setdefault(parts[0], []).append(parts)
        for options in self._starts.values():
            options.sort(key=len, reverse=True)

    def may_stand(self, words: frozenset[str]) -> bool:
        """False where no phrase can stand in a text of these words and stems."""
        return not self._starts.keys().isdisjoint(words)

    def at(self, keys: list[str], stems: list[str], i: int) -> Words | None:
        """The longest phrase that starts at word ``i``."""
        best: Words | None = None
        for parts in (*self._starts.get(keys[i], ()), *self._starts.get(f"~{stems[i]}", ())):
            if best is not None and len(parts) <= len(best):
                continue
            if i + len(parts) <= len(keys) and all(
                part in (keys[i + k], f"~{stems[i + k]}") for k, part in enumerate(parts)
            ):
                best = parts
        return best
