"""Typed words that are a sentence as they stand, or lack only "it" or "the" in front: told in their own order.

"wont hold on a grade" has one reading whatever its rest says, for a modal is nothing but a verb; so has a piece that
begins with a pronoun and its verb. No word is turned into another, and a piece with an unlisted word is none. English
alone is told so.
"""

from collections.abc import Sequence
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.language.certain import read_group
from ticket.language.groups import is_plural
from ticket.language.lexicon import look
from ticket.language.records import Things
from ticket.language.shortforms import spell

_PRONOUNS = frozenset("it you they we this that there".split())
_MANY = frozenset("you they we".split())
_DETERMINED = frozenset("the a an our its their this both all".split())
_BE = frozenset("is are was were".split())
_MODAL = frozenset("can could may might will would must should".split())
_AUX = _BE | _MODAL | frozenset("has have had does do did cannot".split())
_ADVERBS = frozenset("just still only always also never now then soon often".split())
_FUNCTION = _AUX | _PRONOUNS | _DETERMINED | _ADVERBS | frozenset(
    "today yet later us ours somebody nobody everything anything be been being not any every each way lot soon ever "
    "worse worst better much many enough".split()
)  # fmt: skip
"""Words that name nothing and do nothing; common words of English."""
_ORDER = Regex(r"do not \w+|(?:leave|chock) (?:it|in)\b.*|keep \w+")
_CUT = Regex(r"[;]|,(?![0-9]{3}(?![0-9]))")
_NUMBER = Regex(r"[0-9][0-9.,/%-]*")
_FEARED = frozenset({"risk", "watch", "because"})
_WORD = Regex(r"[a-z0-9][a-z0-9'’/%.-]*")


@lru_cache(maxsize=2048)
def as_said(text: str, where: str) -> str:
    """The sentence that a typed text is, its pieces apart by semicolons; empty where one piece is none."""
    pieces = [piece.strip() for piece in _CUT.split(spell(text.strip(), where).rstrip("."))]
    told = [_piece(piece, where) for piece in pieces]
    return "; ".join(told) if told and all(told) else ""


def _piece(piece: str, where: str) -> str:
    low = piece[:1].lower() + piece[1:] if not piece[1:2].isupper() else piece
    words = low.lower().split()
    if not words or not all(map(_listed, words)):
        return ""
    if _has_pronoun(words) or _has_determiner(words):
        return low
    if where in _FEARED:
        if words[0] in _MODAL or _only_does(words[0]):
            return f"it {low}"
        if _ORDER.fullmatch(" ".join(words)) or words[:2] == ["do", "not"]:
            return low
    return _with_subject(low.split(), words, where)


def _listed(word: str) -> bool:
    bare = word.strip("()").rstrip(":")
    return bare in _FUNCTION or bool(_NUMBER.fullmatch(bare)) or bool(look(bare)) or not _WORD.fullmatch(bare)


def _has_pronoun(words: Sequence[str]) -> bool:
    """ "it still leaks", "you smell fuel"."""
    if words[0] not in _PRONOUNS or len(words) < len(("it", "leaks")):
        return False
    at = next((i for i in range(1, len(words)) if words[i] not in _ADVERBS), 0)
    if not at:
        return False
    verbs = [word for word in look(words[at]) if word.cls in ("doing", "link", "has")]
    forms = ("base", "past") if words[0] in _MANY else ("third", "past")
    return words[at] in _AUX or any(word.form in forms for word in verbs)


def _has_determiner(words: Sequence[str]) -> bool:
    """ "our clamp was not seated": a subject that begins with its article and ends at its verb."""
    at = next((i for i, word in enumerate(words) if word in _AUX), 0)
    named = words[0] in _DETERMINED and at > 1 and at + 1 < len(words)
    return named and read_group(" ".join(words[1:at])) is not None


def _only_does(word: str) -> bool:
    """A verb in the third person that names no thing: "loses", never "plugs"."""
    held = look(word)
    return any(one.cls == "doing" and one.form == "third" for one in held) and all(one.cls == "doing" for one in held)


def _with_subject(typed: Sequence[str], words: Sequence[str], where: str) -> str:
    """ "engine may stop again" with its article; in a cause also "fluid leaking from a line"."""
    for at in range(1, min(len(words) - 1, 6)):
        feared = where in _FEARED
        verb = words[at] in _MODAL or (feared and (words[at] in _BE or _only_does(words[at])))
        going = where == "cause" and any(one.cls == "doing" and one.form == "gerund" for one in look(words[at]))
        named = read_group(" ".join(typed[:at])) if verb or going else None
        so = any(one.cls == "state" or (one.cls == "doing" and one.form == "past") for one in look(words[at - 1]))
        if named is not None and len(named.groups) == 1 and not so:
            return _told(named, typed, at, going=going)
    return ""


def _told(named: Things, typed: Sequence[str], at: int, *, going: bool) -> str:
    subject, rest = " ".join(typed[:at]), " ".join(typed[at:])
    article = "" if typed[0].lower() in _DETERMINED else "the "
    was = ("were " if is_plural(named) else "was ") if going else ""
    return f"{article}{subject} {was}{rest}"
