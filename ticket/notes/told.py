"""Contacts: who was told, by which way, and what was answered to what."""

import re
from collections.abc import Sequence

from ticket.job.entry import CONCERN_LETTERS, Remark, Spoken
from ticket.job.kinds import ANSWERS, KINDS, Told
from ticket.job.regex import Regex
from ticket.job.values import Answer
from ticket.notes.answers import Said, Speech, speech_of
from ticket.notes.asking import Range, ask, place, unread, without
from ticket.notes.contact import Contact, contact_of
from ticket.notes.heads import Head, join
from ticket.notes.pen import Pen
from ticket.notes.phrases import means, phrase_at
from ticket.notes.shapes import REFS, Context, refs_in, written
from ticket.notes.spans import Body
from ticket.notes.sums import Sum, figure_of, loose_sums, sums
from ticket.notes.tokens import has_decimal_comma, tokens_of

_WORDS = "|".join(sorted(ANSWERS, key=len, reverse=True))
_ANSWER = Regex(rf"\s*({_WORDS})(?:\s+(?:about |on |over |to )?({REFS}))?\s*\Z", re.I)
_SEPARATOR = Regex(r"[,;]")
_TWO_SPANS = Regex(r"\s*(\0+)\s+(\0+)\s*")
_LONGEST_ANSWER = 400
_SMALL = frozenset(
    {
        "but",
        "and",
        "with",
        "w/",
        "for",
        "at",
        "to",
        "-",
        "–",
        "&",
        "the",
        "is",
        "it",
        ",",
        ";",
        ":",
        ".",
        "keep",
        "on",
        "of",
        "@",
        "so",
        "he",
        "she",
        "they",
        "said",
        "says",
        "then",
        "all",
        "a",
        "back",
        "cust",
        "(",
        ")",
        "him",
        "her",
        "!",
        "+",
        "spoke",
        "from",
    }
)
_ABOUT = frozenset({"re", "about", "regarding", "concerning"})
_THEY = frozenset("he she they he'll she'll they'll he'd she'd they'd".split())
_OWN_ENTRY = Regex(
    rf"\s*(?:[{CONCERN_LETTERS}](?:\+[{CONCERN_LETTERS}])*\s+)?"
    rf"({'|'.join(kind for kind in KINDS if kind not in ('told', 'says'))}|says(?=\s*:))(?=\s*:|\s+\S)"
)
_MOST_ENTRIES = 100  # a larger figure behind a yes is a sum of money
_ROLES = {"ceiling": "ceiling", "total": "total", "deposit": "deposit"}


def read_told(body: Body, context: Context) -> Head:
    """``Ada Fenn by phone 555-0134, yes 7``, or in ordinary words: ``Ada rang 2:40p, ok'd the lid, no to the seal``."""
    two = _TWO_SPANS.match(body.bare)
    if two:
        rest = _Reader(body, context, two.end())
        rest.head.fields |= {"who": body.cut(*two.span(1)).text, "address": body.cut(*two.span(2)).text}
        return rest.read()
    return _Reader(body, context, -1).read()


class _Reader:
    """One contact: the person and the way first, then sums, then answers, and the rest is what was said."""

    def __init__(self, body: Body, context: Context, behind: int) -> None:
        self.body, self.live = body, context.live
        self.tokens = tokens_of(body.bare)
        self.head = Head({"who": ""})
        self.taken: set[int] = set()
        self.asked_at: set[int] = set()
        self.explained: set[int] = set()
        self.start = 0
        self.quoted = behind >= 0
        if self.quoted:
            self.start = next((i for i, token in enumerate(self.tokens) if token.start >= behind), len(self.tokens))
            self.taken.update(range(self.start))

    def read(self) -> Head:
        """The head of a contact."""
        if not self.quoted and not self._own_entry():
            self._contact(contact_of(self.body, self.tokens))
        certain = self._numbered()
        self._sums(certain)
        named = self.explained | self.asked_at
        busy = self.taken | named
        speech = speech_of(self.tokens, self.start, busy)
        self.taken |= busy - named
        self._speech(speech, certain)
        self._left_over()
        words = self._words()
        if words:
            self.head.fields["words"] = words
        return self.head

    def _own_entry(self) -> bool:
        """What begins with another word of the notation names nobody: ``A found pads 2 mm``."""
        match = _OWN_ENTRY.match(self.body.bare)
        if match is None:
            return False
        text = f"{match[1]} begins an entry of its own. Write it without told: in front, or who was told."
        self.head.remarks.append(ask(self.body, match.span(1), text))
        return True

    def _contact(self, contact: Contact) -> None:
        self.head.fields |= contact.fields
        self.start = contact.behind
        self.taken |= contact.taken
        self.taken.update(range(self.start))

    def _numbered(self) -> list[Answer]:
        """The certain way: a comma part of an answer and numbers of entries, and nothing else."""
        found: list[Answer] = []
        open_list = False
        for first, behind in self._parts():
            text = self.body.bare[slice(*place(self.tokens, first, behind))]
            match = _ANSWER.match(text) if len(text) <= _LONGEST_ANSWER else None
            more = refs_in(text) if open_list and found and found[-1].to else ()
            if match:
                found.append(Answer(" ".join(match[1].lower().split()), refs_in(match[2] or "")))
            elif more:
                found[-1] = Answer(found[-1].answer, found[-1].to + more)
            open_list = bool(match or more)
            if match or more:
                self.taken.update(range(first, behind))
        return found

    def _parts(self) -> list[Range]:
        """The comma parts of what was said, without those that are taken."""
        parts, first = [], None
        for at in range(self.start, len(self.tokens) + 1):
            parting = at == len(self.tokens) or self.tokens[at].low in (",", ";") or at in self.taken
            if not parting and first is None:
                first = at
            elif parting and first is not None:
                if not self._touches(first - 1) and not (
                    at < len(self.tokens) and at in self.taken and self.tokens[at].low not in ",;"
                ):
                    parts.append((first, at))
                first = None
        return parts

    def _touches(self, at: int) -> bool:
        return False if at < self.start else self.tokens[at].low not in (",", ";")

    def _sums(self, certain: list[Answer]) -> None:
        explained = self._references()
        found = sums(self.tokens, self.start, self.taken | explained)
        for item in found:
            self._tax(item)
            where = place(self.tokens, item.first, item.behind)
            role = _ROLES.get(item.role)
            if role is None:
                text = f"Is {item.amount} an estimate, or the total that was agreed? "
                text += f"Write total {item.amount} or up to {item.amount}."
                self.head.remarks.append(
                    unread(self.body, where, text, f"total {item.amount}", f"up to {item.amount}", blocks=True)
                )
                self._asked(item)
            elif role in self.head.fields:
                text = f"Two sums stand here as {item.role}; write one."
                self.head.remarks.append(unread(self.body, where, text, blocks=True))
                self._asked(item)
            else:
                self.head.fields[role] = item.amount
                if any(has_decimal_comma(token) for token in self.tokens[item.first : item.behind]):
                    text = f"Is the sum {item.amount}? A decimal point is a full stop here."
                    self.head.remarks.append(ask(self.body, where, text, f"{item.role} {item.amount}"))
                self.taken.update(range(item.first, item.behind))
        self.explained = explained
        self._agreed_sum(certain)

    def _asked(self, item: Sum) -> None:
        """A sum that a question is about already."""
        self.asked_at.update(range(item.first, item.behind))

    def _references(self) -> set[int]:
        """Numbers of orders, claims and the like: no sums, no phone numbers."""
        found: set[int] = set()
        for at in range(len(self.tokens)):
            lead = phrase_at("reference", self.tokens, at)
            if lead is None:
                continue
            figure = lead[1]
            while figure < len(self.tokens) and self.tokens[figure].low in (
                "#",
                ":",
                "no",
                "no.",
                "number",
                "nr",
                "is",
                ".",
                "-",
            ):
                figure += 1
            if (
                figure < len(self.tokens)
                and any(char.isdecimal() for char in self.tokens[figure].text)
                and self.tokens[figure].kind != "money"
            ):
                found.update(range(at, figure + 1))
        return found

    def _tax(self, told: Sum) -> None:
        """Whether the tax is in a sum: ``512 with tax``, ``total plus tax 480``."""
        for at in range(told.first, min(told.behind + 1, len(self.tokens))):
            if told.role in ("total", "ceiling") and (hit := phrase_at("tax told", self.tokens, at)):
                self.head.fields["tax"] = hit[0]
                self.taken.update(range(at, hit[1]))
                return

    def _agreed_sum(self, certain: list[Answer]) -> None:
        """One sum with a sign or cents right behind the yes is the total that was agreed to."""
        if self.head.fields.keys() & {"total", "ceiling"}:
            return
        free = [
            at for at in range(self.start, len(self.tokens))
            if at not in self.taken | self.explained | self.asked_at and figure_of(self.tokens, at)
            and (self.tokens[at].kind == "money" or len(self.tokens[at].text.partition(".")[2]) == 2)
        ]  # fmt: skip
        if len(free) != 1:
            return
        at = free[0]
        lead = at
        while lead > self.start and means("sum lead", self.tokens[lead - 1].low) and lead - 1 not in self.taken:
            lead -= 1
        yes = any(
            hit[1] == lead and hit[0] == "yes"
            for i in range(max(self.start, lead - 4), lead)
            if (hit := phrase_at("answer", self.tokens, i))
        )
        said_all = any(
            hit[1] == lead for i in range(max(self.start, lead - 3), lead) if (hit := phrase_at("all", self.tokens, i))
        )
        part = [
            phrase_at("answer", self.tokens, i)
            for i in range(self.start, at)
            if not any(self.tokens[j].low in ",;" for j in range(i, at))
        ]
        if not (yes or said_all) and self.tokens[at].kind == "money" and lead == at:
            yes = any(hit and hit[0] == "yes" for hit in part) and self._ends_part(at + 1) and not self._denies()
        after_answer = bool(certain) and all(answer.answer == "yes" for answer in certain) and lead - 1 in self.taken
        if yes or said_all or after_answer:
            self.head.fields["total"] = figure_of(self.tokens, at)
            self.taken.update(range(lead, at + 1))

    def _ends_part(self, at: int) -> bool:
        return at >= len(self.tokens) or self.tokens[at].low in (",", ";", ".", "!")

    def _denies(self) -> bool:
        """Something on the line is refused, so a sum beside a thing is the price of that thing."""
        return any(
            (hit := phrase_at("answer", self.tokens, i)) and hit[0] != "yes"
            for i in range(self.start, len(self.tokens))
        )

    def _speech(self, speech: Speech, certain: list[Answer]) -> None:
        answers = list(certain)
        numbered = any(answer.to for answer in certain)
        # Behind numbers of entries "wants to think it over" is about them, and no answer to everything.
        whole = [] if numbered else [item for item in speech.said if item.to is None]
        named = [item for item in speech.said if item.to is not None]
        if speech.unclear:
            self._ask(
                speech.unclear,
                "This answer depends on something, or says only part of it. Write yes 7, no 8, or thinks 7.",
            )
        elif len({item.answer for item in whole}) > 1:
            self._ask(
                [(item.first, item.behind) for item in whole], "These answers contradict each other. Write yes 7; no 8."
            )
        elif whole and not named:
            answers += self._to_all(whole)
        elif named and not whole and (entries := self._numbers(named)):
            answers += entries
        else:
            self._spoken([*whole, *named] if numbered else speech.said)
        if speech.reached and not speech.said and not answers:
            answers.append(Answer(speech.reached))
            for first, behind in speech.reached_at:
                self.taken.update(range(first, behind))
        if answers:
            self.head.fields["answers"] = tuple(answers)
        elif not (speech.said or speech.pending or speech.reached or speech.unclear):
            self._wonder()
        summed = self.head.fields.keys() & {"total", "ceiling"}
        if summed and not (answers or speech.said or speech.unclear or speech.pending):
            text = "Was this sum agreed to? Write yes in front, or put it in quotes."
            at = (
                place(self.tokens, self.start, len(self.tokens))
                if self.start < len(self.tokens)
                else (0, len(self.body.raw))
            )
            self.head.remarks.append(ask(self.body, at, text))

    def _to_all(self, whole: list[Said]) -> list[Answer]:
        answer = whole[0].answer
        topic = self._topic(whole[0].first)
        if topic:
            whole = [Said(item.answer, item.first, item.behind, topic) for item in whole]
        if answer == "wait" or topic:
            self._spoken(whole)
            return []
        for item in whole:
            self.taken.update(range(item.first, item.behind))
        return [Answer(answer)]

    def _topic(self, before: int) -> Range | None:
        """``re pads, ok``: what the contact was about stands in a part of its own in front of the answer."""
        for at in range(self.start, before):
            if self.tokens[at].low in _ABOUT and at not in self.taken:
                end = at + 1
                while end < before and self.tokens[end].low not in (",", ";", "-", ":") and end not in self.taken:
                    end += 1
                return (at + 1, end) if end > at + 1 else None
        return None

    def _numbers(self, said: Sequence[Said]) -> list[Answer]:
        """``ok 7 and 9``: the thing is named by the numbers of entries."""
        found = []
        for item in said:
            refs = refs_in(self.body.bare[slice(*place(self.tokens, *item.to))]) if item.to else ()
            if not refs or any(ref.no >= _MOST_ENTRIES for ref in refs) or item.answer == "wait":
                return []
            found.append(Answer(item.answer, refs))
        for item in said:
            self.taken.update(range(item.first, item.behind))
        return found

    def _spoken(self, said: Sequence[Said]) -> None:
        for item in said:
            to = "all" if item.to is None else self.body.raw[slice(*place(self.tokens, *item.to))]
            start, end = place(self.tokens, item.first, item.behind)
            self.head.spoken += (Spoken(item.answer, to, self.body.at + start, self.body.at + end),)

    def _ask(self, ranges: list[Range], text: str) -> None:
        where = (place(self.tokens, *ranges[0])[0], place(self.tokens, *ranges[-1])[1])
        self.head.remarks.append(unread(self.body, where, text, blocks=True))

    def _wonder(self) -> None:
        """Free words in which somebody says or leaves something, and no word of an answer."""
        free = [at for at in range(self.start, len(self.tokens)) if at not in self.taken]
        if not self.live and any(means("deciding", self.tokens[at].low) or self.tokens[at].low in _THEY for at in free):
            text = "Was that a yes or a no? Write yes, no, thinks, or yes 7; no 8."
            where = place(self.tokens, free[0], free[-1] + 1)
            self.head.remarks.append(
                Remark(
                    text, self.body.at + where[0], self.body.at + where[1], "question", answers=("yes", "no", "thinks")
                )
            )

    def _left_over(self) -> None:
        """Sums nothing took, and figures large enough to be sums."""
        for at, amount in loose_sums(self.tokens, self.start, self.asked_at | self.explained | self.taken):
            text = f"What is {self.tokens[at].text}? Write total {amount} or up to {amount}, or put it in quotes."
            where = place(self.tokens, at, at + 1)
            self.head.remarks.append(unread(self.body, where, text, f"total {amount}", f"up to {amount}", blocks=True))

    def _words(self) -> str:
        free = [at for at in range(self.start, len(self.tokens)) if at not in self.taken]
        if not free or (all(self.tokens[at].low in _SMALL for at in free) and len(self.taken) > self.start):
            return ""
        if all(self.tokens[at].kind == "mark" and self.tokens[at].low in ",;:-–." for at in free):
            return ""
        first = self.tokens[self.start].start if self.start < len(self.tokens) else len(self.body.raw)
        ranges = [place(self.tokens, at, at + 1) for at in sorted(self.taken) if at >= self.start]
        said = self.body.cut(first)
        return without(said, [(start - first, end - first) for start, end in ranges] or [(0, 0)]).text


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
