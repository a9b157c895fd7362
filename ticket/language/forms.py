"""Forms of English words: plurals, verb endings, articles, number words, lists. Small and closed."""

from collections.abc import Sequence

_VOWELS = "aeiou"
_NUMBER_WORDS = "no one two three four five six seven eight nine ten eleven twelve".split()
_DOUBLED_NEVER = "wxy"
# Letters whose names open with a vowel sound: "an EGR valve", "an LED".
_LETTERS_AN = "AEFHILMNORSX"
_SOUND_A = ("one", "uni", "use", "usu", "eu", "ura")
_SOUND_AN = ("hour", "honest")
# Verbs of one syllable-like ending that double their last letter in the past although the ending is short.
_NO_DOUBLING = frozenset(
    """open loosen tighten harden soften straighten shorten lengthen happen bottom cover lower rattle enter filter
    flicker wander shudder judder power gather trigger flutter chatter clatter stutter corner recover solder
    fasten listen weaken visit limit exhaust disconnect connect balance freshen reopen label jumper bumper alter
    pivot rivet monitor offer suffer order render deliver discover""".split()
)


def plural(noun: str) -> str:
    """The regular plural of a noun."""
    if noun.endswith(("s", "x", "z", "ch", "sh")):
        return noun + "es"
    if noun.endswith("y") and len(noun) > 1 and noun[-2] not in _VOWELS:
        return noun[:-1] + "ies"
    return noun + "s"


def third(verb: str) -> str:
    """He, she or it does."""
    return plural(verb) if not verb.endswith("o") else verb + "es"


def _doubles(verb: str) -> bool:
    return (
        len(verb) > 2
        and verb[-1] not in _VOWELS + _DOUBLED_NEVER
        and verb[-2] in _VOWELS
        and (verb[-3] not in _VOWELS or verb[-4:-2] == "qu")
        and verb not in _NO_DOUBLING
        and not verb.endswith(("er", "en", "or", "el"))
    )


def regular_past(verb: str) -> str:
    """The regular past of a verb."""
    if verb.endswith("e"):
        return verb + "d"
    if verb.endswith("y") and len(verb) > 1 and verb[-2] not in _VOWELS:
        return verb[:-1] + "ied"
    return verb + (verb[-1] if _doubles(verb) else "") + "ed"


def gerund(verb: str) -> str:
    """The -ing form of a verb."""
    if verb.endswith("ie"):
        return verb[:-2] + "ying"
    if verb.endswith("e") and not verb.endswith(("ee", "ye", "oe")):
        return verb[:-1] + "ing"
    return verb + (verb[-1] if _doubles(verb) else "") + "ing"


def a_or_an(words: str) -> str:
    """The article that fits before the words: by sound, spelled-out letters included."""
    first = words.lstrip("‘“(").split(" ", 1)[0].split("-", 1)[0] if words else ""
    if (len(first) > 1 and first.isupper()) or (len(first) == 1 and first.isalpha()):
        return "an" if first[0].upper() in _LETTERS_AN else "a"
    low = first.lower()
    if low.startswith(_SOUND_AN) or low[:1] == "8" or low in ("11", "18"):
        return "an"
    return "an" if low[:1] in tuple(_VOWELS) and not low.startswith(_SOUND_A) else "a"


def number_word(count: int) -> str:
    """One to twelve in words, more in figures."""
    return _NUMBER_WORDS[count] if 0 < count < len(_NUMBER_WORDS) else str(count)


def listed(items: Sequence[str], link: str = "and") -> str:
    """A list with a comma before its last link: A; A and B; A, B, and C. Semicolons set off items with commas."""
    if len(items) < 3:
        return f" {link} ".join(items)
    mark = ";" if any("," in item for item in items) else ","
    return f"{mark} ".join(items[:-1]) + f"{mark} {link} {items[-1]}"
