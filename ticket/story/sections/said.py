"""What was said in a contact beside the answers: in certain words, else as typed; what is to come has its own label."""

from collections.abc import Callable, Iterator

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.regex import Regex
from ticket.job.values import Ref
from ticket.language.certain import read_group
from ticket.language.lexicon import look
from ticket.language.quantities import plain
from ticket.story.context import sources
from ticket.story.facts.answered import numbered_piece, work_named
from ticket.story.facts.dangers_found import warns
from ticket.story.inside import looks_inside
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Phrase

Said = Callable[..., Phrase]
_SORRY = Regex(
    r"(?i)\A(?:apolog(?:y|ies)(?: given| made)?|apologi[sz]ed|(?:(?:said|told \w+|we(?:'re| are)|so) )?sorry)\Z"
)
_STILL_NO = Regex(r"(?i)\A(?:still no|no again|again no|same answer,? no)\Z")
_TOLD = {
    "said.nothing": Regex(
        r"(?i)noth(?:ing|in['’]?) (?:was )?found|no (?:fault|faults|problem|trouble) found|found nothing"
    ),
    "said.parts": Regex(
        r"(?i)(?:no parts?|noth(?:ing|in['’]?)) (?:were |was )?(?:put (?:on|in)|fitted|replaced|used|changed)"
    ),
    "said.ready": Regex(r"(?i)(?:(?:all )?done (?:and|&) )?ready(?: now)?"),
    "said.fault": Regex(
        r"(?i)(?:(?:it was|this was|its|it['’]s) )?our (?:own )?(?:fault|mistake|error|miss|doin(?:g|['’])?)"
    ),
    "said.more": Regex(r"(?i)noth(?:ing|in['’]?) else (?:is )?(?:needed|wants doing|to do|wrong|found)"),
    "said.good": Regex(r"(?i)all (?:good|fine|ok|okay|in order)"),
    "said.pay": Regex(r"(?i)noth(?:ing|in['’]?) to pay"),
    "said.charge": Regex(r"(?i)no (?:charge|chg)|n/c|free of charge"),
}
"""What is told to somebody in the same few words everywhere, each by the sentence it becomes."""
_OF_TWO_MOUTHS = frozenset({"said.good"})
"""What may as well be the answer of whoever was told."""
_OUTWARD = Regex(
    r"(?i)(?:and |but |so |still )?(?:yes|no|not|ok|okay|go ahead|agree[sd]?|approve[sd]?|declin\w+|refus\w+|"
    r"turned down|wait|waits|hold off|knows|understands|wants|will|took (?:it|the)|drove|"
    r"offered (?:to|him|her|them|the|an?|it)|signed|"
    r"(?:our|my) (?:mistake|fault)|"
    r"(?:they|he|she|co|company|contract|insurance|customer|warranty) pays?|pays?|(?:his|her|their) (?:part|share)|"
    r"rest (?:when|later|next|on)|deductible|claim|bill(?:s|ed)?(?! of)|invoice|p\.?o\.? ?#?[0-9]+|noth?in[g']?|nowt|"
    r"all (?:good|fine|set|done|ok|okay)|our (?:miss|error|doing)|[0-9]+\.[0-9]{2}|happy|(?:here|there) or)\b"
)
"""How a piece of a talk begins that says what was decided, what came of it, or who pays how much."""
_TO_COME = Regex(
    r"(?i)(?:and |but |so )?(?:(?:be |is |will be |it['’]?s )?(?:ready|booked|due|coming|"
    r"back(?! (?:of|seat|door|end)))|"
    r"next (?!to\b)|(?:needs?|wants?) (?:a )?(?:re-?torque|retorquing|re-?check|looking at again)|"
    r"(?:\w+ )?(?:picks?|picking|picked|collects?|collecting)(?: it)? (?:up|it)\b|"
    r"(?:picks?|picking|collects?|collecting|brings?|bringing|drops?|dropping|comes?|calls?|calling|rings?) |"
    r"(?:driver|owner|cust(?:omer)?|he|she|they)(?:['’]?ll| will| to| is going to) (?:check|film|watch|call|bring|ring|"
    r"come|keep|listen|record|look|top|pick|collect|drop|phone|text|let|do|jot|write|note|take)|"
    r"(?:old )?parts? (?:are )?kept|will (?:bring|be back|come|call|check))\b"
)
"""How a piece begins that says what happens next, or what the customer is to do."""
_NEEDED = Regex(r"(?i).*\b(?:needs?|wants?) (?:a )?(?:re-?torqu\w+|re-?check\w*)|.*\bkept (?:if|for|till|until)\b")
_SOMEBODY = Regex(
    r"(?i)\b(?:he|she|they|his|her|their|him|them|himself|herself|brother|sister|wife|husband|son|"
    r"daughter|mother|father|friend|neighbou?r|boss|guy|man|woman|lady|customer|owner|driver|mechanic|tech|apprentice)\b"
)
_BY_NAME = {
    "no": Regex(r"(?i)no (?:to |thanks to )(?:the )?(.+)|(?:the )?(.+) no (?:for now|thanks)"),
    "yes": Regex(r"(?i)yes (?:to )?(?:the )?(?!to\b)(.+?)(?: only| alone)?"),
    "waits": Regex(r"(?i)wait(?:s|ing)? (?:w/|with|on) (?:the )?(.+)|(?:the )?(.+?) (?:(?:she|he|they) says? )?waits?"),
}
"""An answer with the name of what it is given to, by the sentence it becomes."""
_GOES_ON_WITH = Regex(r"(?i)(?:here|there|or) ")
_WHO_WILL = Regex(r"(?i)\A(?:he|she|they)(?:['’]?ll| will) ")
_GO_AHEAD = Regex(r"(?i)(?:ok(?:ay)?|yes)(?:,? go ahead)?|go ahead")
_WHO_AGREES = Regex(r"(?i)\A(?:he|she|they) (?=(?:takes?|took|understands?|knows?|agrees?|accepts?)\b)")
_ON_CONDITION = Regex(r"(?i)(?!only\b)[^,]+ only")
_IF_WANTED = Regex(r"(?i) (?:if|when) (?:he|she|they) wants? (?:them|it)\Z")
_YES_TO = Regex(r"(?i)\Ayes to (?:the )?")
_LEAD = Regex(
    r"(?i)\A(?:and |we |i )?(?:told|warned|advised|explained(?: to)?|informed|showed)"
    r"(?: (?:him|her|them|un|'?em|you|the customer|customer|cust|owner|driver))?"
    r"(?: (?:straight|plain|plainly|clearly))?(?: that)?(?: (?=it was our))? "
)
_GOES_ON = Regex(
    r"(?i)(?:and |but |so |still )*(?:not|no(?= \w+ing)|never|only|un\w+|till|until|if|max|knows|understands|"
    r"took (?:it|the)|drove|keep|stay\w*|tow|haul|pull|ride|drive|can|could|may|might|will|won['’]?t|would|\w+ing|"
    r"(?:he|she|they)(?:['’]?s|['’]?re| is| are) \w+ing it)\b"
)
"""How a piece behind a warning begins that is part of it."""
_SPLIT = Regex(r"[;]|,(?![0-9]{3}(?![0-9]))")
_WRITTEN = "in writing"


def typed_pieces(fact: Told) -> list[str]:
    """What was said, piece by piece."""
    return [piece.strip() for piece in _SPLIT.split(fact.words)]


def pieces(fact: Told) -> list[str]:
    """The same without who told it."""
    return [_LEAD.sub("", piece) for piece in typed_pieces(fact)]


def tell_warnings(talk: Talk, entry: Entry, fact: Told, writer: Writer) -> None:
    """What a customer was warned of, in the words typed."""
    warned = [_LEAD.sub("", piece) for piece in _warning(fact)]
    if warned:
        _note(talk, entry, "told.warned.label", warned, writer)


def tell_said(talk: Talk, entry: Entry, fact: Told, writer: Writer, said_by: Said, way: Phrase) -> None:
    """A no once more, an apology, and what was told in words that say one thing only."""
    items: list[Phrase] = []
    for piece in pieces(fact):
        if _SORRY.match(piece):
            writer.add(sources(entry), talk.say("told.sorry"))
        elif _STILL_NO.match(piece):
            writer.add(sources(entry), stop(said_by(talk, entry, "told.no.still", way=way)))
        elif name := _one_thing(fact, piece):
            items.append(talk.say(name))
    if items:
        writer.add(sources(entry), stop(said_by(talk, entry, "told.that", way=way, what=talk.listed(items))))


def answers_in_words(talk: Talk, entry: Entry, fact: Told, writer: Writer, said_by: Said, way: Phrase) -> None:
    """An answer to things by their names, where that is all a piece says: "no to cables and pulley", "lining wait"."""
    typed = pieces(fact)
    for piece in typed[1:] if typed and _YES_TO.match(typed[0]) else typed:
        word, thing = _answer(talk, entry, piece)
        if word:
            writer.add(sources(entry), stop(said_by(talk, entry, f"told.{word}", what=thing, way=way)))


def _answer(talk: Talk, entry: Entry, piece: str) -> tuple[str, Phrase]:
    """What a piece answers to which things; empty where it says anything else, or its things are not certain."""
    for word, pattern in _BY_NAME.items():
        held = pattern.fullmatch(piece)
        name = next(filter(None, held.groups()), "") if held is not None else ""
        if name and _no_list(name) and (thing := talk.thing(entry, "words", name)):
            return word, thing
    return "", ()


def _no_list(name: str) -> bool:
    """Whether a name can be no list that was typed without its commas: "post track rollers" are three things."""
    named = read_group(name)
    groups = named.groups if named is not None else ()
    return all(sum(span.cls == "thing" for span in group.spans) == 1 for group in groups) and bool(groups)


def _one_thing(fact: Told, piece: str) -> str:
    """The sentence that a piece becomes; empty where it may say something else, or somebody else may have said it."""
    name = next((name for name, pattern in _TOLD.items() if pattern.fullmatch(piece)), "")
    return "" if name in _OF_TWO_MOUTHS and fact.answers else name


def tell_in_words(talk: Talk, entry: Entry, fact: Told, writer: Writer) -> None:
    """What was answered and who pays what, then what is to come, in the words typed; a refusal of no offer too."""
    warned = _warning(fact)
    held = [piece for piece, raw in zip(pieces(fact), typed_pieces(fact), strict=True) if raw not in warned]
    if held and _YES_TO.match(held[0]):
        held = held[1:]
    coming: list[str] = []
    rest: list[str] = []
    last = rest
    for piece in held:
        if not is_outward(fact, piece) or (_GO_AHEAD.fullmatch(piece) and not fact.answers):
            continue
        if _answer(talk, entry, piece)[0]:
            continue
        if not (last and _GOES_ON_WITH.match(piece)):
            last = coming if _is_to_come(piece) else rest
        last.append(_named(talk, _impersonal(piece)))
    offered = any(True for _ in talk.job.each(Offer))
    if offered and not fact.answers and any(_GO_AHEAD.fullmatch(piece) for piece in held):
        writer.add(sources(entry), stop(talk.say("told.yes.bare")))
    if rest:
        _note(talk, entry, "told.signed.label" if fact.way == _WRITTEN else "told.noted.label", rest, writer)
    if coming:
        _note(talk, entry, "told.next.label", coming, writer)


def _impersonal(piece: str) -> str:
    """A piece without the pronoun that stands for whoever was spoken with."""
    return _WHO_AGREES.sub("", _WHO_WILL.sub("will ", _IF_WANTED.sub(" if wanted", piece)))


def _named(talk: Talk, piece: str) -> str:
    """A piece with the offer in the place of its number: "9 waits for payday" tells a reader nothing."""
    number, rest = numbered_piece(piece)
    entry = talk.job.entry(Ref(number)) if number else None
    if entry is None or not isinstance(entry.fact, Offer | Later):
        return piece
    return f"{work_named(entry.fact)}: {rest}"


def _note(talk: Talk, entry: Entry, name: str, held: list[str], writer: Writer) -> None:
    own = talk.as_typed
    words = own.say("labelled", label=own.say(name), text=talk.note(entry, "words", ", ".join(held)))
    writer.add(sources(entry), words, form=NOTE, label=own.title(name))


def is_outward(fact: Told, piece: str) -> bool:
    """Whether a piece of a talk says what was decided or how the work stands: never a word about a person."""
    if looks_inside(piece) or warns(piece) or _one_thing(fact, piece) or _STILL_NO.match(piece):
        return False
    if _OUTWARD.match(piece) or _is_to_come(piece) or numbered_piece(piece)[0] or _WHO_AGREES.match(piece):
        return True
    if _ON_CONDITION.fullmatch(piece) and not _SOMEBODY.search(piece):
        return True
    return not _SOMEBODY.search(piece) and _of_the_work(piece)


def _is_to_come(piece: str) -> bool:
    return bool(_TO_COME.match(piece)) or (bool(_NEEDED.match(piece)) and _of_the_work(_IF_WANTED.sub("", piece)))


def _of_the_work(piece: str) -> bool:
    """Whether a piece begins with a part or a vehicle and goes on: "drums back ordered to Thurs"."""
    words = plain(piece).split(" ")
    while words and any(word.cls in ("det", "side") for word in look(words[0])):
        words = words[1:]
    if len(words) > 1 and words[0] in ("old", "new"):
        words = words[1:]
    named = any(word.cls == "thing" and word.kind in ("part", "vehicle") for one in words[:1] for word in look(one))
    return len(words) > 1 and named


def _warning(fact: Told) -> list[str]:
    """The pieces of a talk that warn, whole: what somebody was told beside a warning, and how the warning goes on.

    "told him pedal goes down, not safe, driving it home anyway": nothing of it is told apart from the rest.
    """
    every = typed_pieces(fact)
    first = next((at for at, piece in enumerate(every) if warns(piece)), len(every))
    held: list[str] = []
    for at, piece in enumerate(every):
        goes_on = at > first and every[at - 1] in held and _GOES_ON.match(piece)
        if not looks_inside(piece) and (warns(piece) or goes_on or (first < len(every) and _LEAD.match(piece))):
            held.append(piece)
    return held


def says_free(piece: str) -> bool:
    """Whether a piece says that nothing is to pay."""
    return any(_TOLD[name].fullmatch(piece) for name in ("said.pay", "said.charge"))


def outward_pieces(fact: Told) -> Iterator[str]:
    """The pieces that are told as typed."""
    return (piece for piece in pieces(fact) if is_outward(fact, piece))
