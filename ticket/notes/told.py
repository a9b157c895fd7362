"""Contacts: who was told, by which way, and what was answered to what."""

import re
from dataclasses import dataclass

from ticket.job.entry import Remark
from ticket.job.kinds import ANSWERS, Told
from ticket.job.values import Answer
from ticket.notes.heads import Head, join
from ticket.notes.pen import Pen
from ticket.notes.shapes import REFS, Context, money_in, refs_in, time_in, written
from ticket.notes.spans import Body

_SPELLINGS = {
    "phone": "phone|telephone", "text message": "text message|text|sms", "email": "email|e-mail",
    "letter": "letter|mail|post",
}  # fmt: skip
_LED = "|".join(spelling for spellings in _SPELLINGS.values() for spelling in spellings.split("|"))
_BY = rf"(?:by|via|on the|per) ({_LED})"
_WAY = re.compile(rf"(?:(?<=[\s,;])|(?<![\s\S]))(?:{_BY}|(in person|in writing))(?=[\s,;]|:\s|\Z)", re.I)
_WORDS = "|".join(sorted(ANSWERS, key=len, reverse=True))
_ANSWER = re.compile(rf"\s*({_WORDS})(?:\s+(?:about |on |over |to )?({REFS}))?\s*\Z", re.I)
_SEPARATOR = re.compile(r"[,;]")
_COLON = re.compile(r":(?=\s)")
_AT = re.compile(r"(?:\A|\s)at ((?:[0-9-]{10} )?[0-9]{1,2}:[0-9]{2})\s*\Z", re.I)
_SUM = re.compile(r"\s*(total\s+up\s+to|up\s+to|total|deposit)\s+(.{1,40})", re.I)
_SUMS = {"to": "ceiling", "total": "total", "deposit": "deposit"}  # by the last word in front of the amount
_TWO_SPANS = re.compile(r"\s*(\0+)\s+(\0+)\s*")
_LONGEST_ANSWER = 400
_SAID = (
    r"(?:yes|yeah|yep|no|nope|not|ok|okay|agree[ds]?|accept(?:s|ed)?|approv(?:e|es|ed|al)|authori[sz](?:e|es|ed)|"
    r"go(?:es)? ahead|do it|declin(?:e|es|ed)|refus(?:e|es|ed)|reject(?:s|ed)?|denie[ds]|turned (?:it )?down)"
)
_ANSWERED = re.compile(rf"\b{_SAID}\b", re.I)
_ANSWERED_TO = re.compile(rf"\b{_SAID}\b[^.!?]{{0,30}}?[0-9]", re.I)
_DENIED = re.compile(
    r"\b(?:no (?:charge|answer|hurry|rush|problem|questions?)|not (?:there|in|reached|home|available))\b", re.I
)
_SUMMED = re.compile(
    r"\b(?:total|sum|ceiling|limit|cap|max(?:imum)?|budget|deposit|up to|(?:not|never)(?: to)? (?:exceed|go over)|"
    r"no(?:t)? more than|at most|under|below)\b[^0-9.!?;]{0,20}[$€£]? ?[0-9]|[$€£] ?[0-9]|[0-9] ?(?:dollars?|bucks)\b",
    re.I,
)
NOT_READ = "This was not read as an answer or a sum. Write it like: yes 7, total 512, or yes 7, up to 600."


@dataclass(frozen=True, slots=True)
class _Chunk:
    body: Body
    start: int  # of its separator, in the head
    answer: Answer | None


def read_told(body: Body, _context: Context) -> Head:
    """``Ada Fenn by phone 555-0134, yes 7``."""
    chunks = _chunks(body, [match.start() for match in _SEPARATOR.finditer(body.bare)])
    answered = next((i for i, chunk in enumerate(chunks) if chunk.answer), len(chunks))
    limit = chunks[answered].start if answered < len(chunks) else len(body.bare)
    head = Head({"who": ""})
    way = _WAY.search(body.bare, 0, limit)
    if way is None:
        rest = 0 if answered == 0 else 1
        head.fields |= _who(chunks[0].body) if rest else {}
    else:
        chunks = _chunks(body, _stops_behind(body, way.end(), [chunk.start for chunk in chunks[1:]]))
        head.fields["way"] = _way(way)
        head.fields["who"] = _without_comma(body.cut(0, way.start())).text
        rest = next((i for i, chunk in enumerate(chunks) if chunk.start >= way.end()), len(chunks))
        stop = chunks[rest].start if rest < len(chunks) else len(body.bare)
        head.fields["address"] = _timed(body.cut(way.end(), stop), head).text
    _said(body, chunks[rest:], head)
    answered = bool(head.fields.get("answers"))
    unread = (found for chunk in chunks if chunk.answer is None and (found := _unread(chunk.body, answered=answered)))
    head.remarks.extend(list(unread)[:1])
    return head


def _unread(body: Body, *, answered: bool) -> Remark | None:
    """The question about a chunk; words without a number, such as ``yes to all of it``, are asked about by a gap."""
    if _sum(body.bare) and answered:
        return None
    found = _answer_or_sum(body.bare, answered=True)
    return Remark(NOT_READ, body.at + found.start(), body.at + found.end()) if found else None


def unread_answer(fact: Told) -> str:
    """Words of a contact that may be an answer, a sum or a ceiling and were not read as one; empty where none are."""
    for text in (fact.words, fact.address, fact.who):
        if found := _answer_or_sum(text, answered=bool(fact.answers)):
            return found[0]
    return ""


def _answer_or_sum(text: str, *, answered: bool) -> re.Match[str] | None:
    plain = _DENIED.sub(lambda match: "\0" * len(match[0]), text)  # "no charge" answers nothing
    return _SUMMED.search(plain) or (_ANSWERED_TO if answered else _ANSWERED).search(plain)


def _who(body: Body) -> dict[str, str]:
    """The person; an address without a way stands behind, both as spans."""
    two = _TWO_SPANS.fullmatch(body.bare)
    if two is None:
        return {"who": body.text}
    return {"who": body.cut(*two.span(1)).text, "address": body.cut(*two.span(2)).text}


def _stops_behind(body: Body, way: int, stops: list[int]) -> list[int]:
    """The separators, and the colon that parts the number or address used from what was said there."""
    stop = next((stop for stop in stops if stop >= way), len(body.bare))
    colon = _COLON.search(body.bare, way, stop)
    return sorted([*stops, colon.start()]) if colon else stops


def _chunks(body: Body, stops: list[int]) -> list[_Chunk]:
    ranges = zip([-1, *stops], [*stops, len(body.bare)], strict=True)
    return [_Chunk(body.cut(a + 1, b), max(a, 0), _answer(body.bare[a + 1 : b])) for a, b in ranges]


def _answer(text: str) -> Answer | None:
    match = _ANSWER.match(text) if len(text) <= _LONGEST_ANSWER else None
    return Answer(" ".join(match[1].lower().split()), refs_in(match[2] or "")) if match else None


def _way(match: re.Match[str]) -> str:
    if match[2]:
        return match[2].lower()
    return next(way for way, spellings in _SPELLINGS.items() if match[1].lower() in spellings.split("|"))


def _without_comma(body: Body) -> Body:
    """The name in front of ``, by email``: the comma there parts, it belongs to nobody."""
    body = body.strip()
    return body.cut(0, len(body.raw) - 1) if body.bare.endswith((",", ";")) else body


def _timed(body: Body, head: Head) -> Body:
    """The piece without ``at 14:10`` at its end, which is kept as the time of the contact."""
    match = _AT.search(body.bare, max(0, len(body.bare) - 40))
    at = time_in(match[1]) if match else ""
    if match is None or not at:
        return body
    head.fields["at"] = at
    return body.cut(0, match.start())


def _said(body: Body, chunks: list[_Chunk], head: Head) -> None:
    """Answers, and everything else as the words that were said."""
    answers: list[Answer] = []
    words: list[_Chunk] = []
    for chunk in chunks:
        more = refs_in(chunk.body.bare) if answers and answers[-1].to and not words else ()
        at = _AT.fullmatch(chunk.body.bare.strip()) if "at" not in head.fields else None
        if chunk.answer:
            answers.append(chunk.answer)
        elif at and time_in(at[1]):
            head.fields["at"] = time_in(at[1])
        elif (summed := _sum(chunk.body.bare)) and answers and not words and summed[0] not in head.fields:
            head.fields[summed[0]] = summed[1]
        elif more:
            answers[-1] = Answer(answers[-1].answer, answers[-1].to + more)
        elif chunk.body.raw.strip():
            words.append(chunk)
    if answers:
        head.fields["answers"] = tuple(answers)
    if words:
        whole = "".join(body.raw[chunk.start : chunk.start + 1 + len(chunk.body.raw)] for chunk in words)
        head.fields["words"] = Body.of(whole[1:]).text


def _sum(text: str) -> tuple[str, str] | None:
    """A sum of money behind a comma, as in ``yes, total 560``: its field and the amount."""
    match = _SUM.fullmatch(text)
    amount = money_in(match[2]) if match else ""
    return (_SUMS[match[1].lower().split()[-1]], amount) if match and amount else None


def write_told(fact: Told, pen: Pen) -> str:
    """The head of a contact."""
    if fact.address and not fact.way:
        pen = Pen(marked=True)
    who = pen.text("who", fact.who) if fact.who or pen.marked else ""
    way = fact.way if fact.way.startswith("in ") or not fact.way else f"by {fact.way}"
    address = pen.text("address", fact.address) if fact.address else ""
    parted = "," if way and "," in who and not pen.all("who") else ""
    answers = "; ".join(join(answer.answer, written(answer.to)) for answer in fact.answers)
    words = pen.text("words", fact.words) if fact.words else ""
    first = join(who + parted, way, address)
    if not first and words and not answers:
        first = '""'
    return join(first, answers, words, glue=", ")
