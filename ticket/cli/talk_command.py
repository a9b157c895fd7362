"""The command ``talk``: a ticket typed line by line, each answered in a line, without a screen.

For screen readers, slow lines and scripts: nothing is drawn, moved or coloured, and what was said stays said.
"""

import argparse
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ticket.assist.field_fit import misfit
from ticket.assist.typed_header import changed_header
from ticket.cli.open_shop import open_or_make, open_shop
from ticket.cli.output import say_as_it_is, send
from ticket.cli.read_command import typed_lines
from ticket.cli.ticket_commands import added_facts, entry_line, head_line, verdict_words
from ticket.gaps.gap import Gap
from ticket.job.errors import InputError, NotFoundError, TicketError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.kinds import Fact
from ticket.job.regex import Regex
from ticket.job.text import clean, escaped, one_line, sentence
from ticket.notes.reply import describe
from ticket.notes.segments import lead_to_refs
from ticket.shop.changing import Added, add_settled, edit_entry, new_ticket, set_header, strike_entry, undo
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps, story_of, ticket_of, understand

HELP = (
    "Type one fact a line. A capital letter alone sets the concern of the lines that follow. + takes the references "
    "that were offered for the last entry. .set FIELD TEXT fills the head, such as .set vehicle 2019 Corvane Alder. "
    ".edit NUMBER LINE puts another line in the place of an entry, .strike NUMBER takes one back, .undo the last step. "
    ".open asks what is missing, .show says the entries, .story tells the story, . alone ends."
)
_COMMAND = Regex(r"\.([A-Za-z]+)(?:\s+(.*))?\Z")
_NUMBERED = Regex(r"([0-9]{1,9})(?:\s+(.*))?\Z")
_HEAD = Regex(r"([A-Za-z][A-Za-z -]{2,20}?)\s?:\s*(.*)\Z")
FIELDS = HEADER_FIELDS.keys() | {field.title for field in HEADER_FIELDS.values()}
"""What a field of the head is called: by files, or by people."""


@dataclass(slots=True)
class Talk:
    """One conversation about one ticket.

    Attributes:
        shop: the open shop.
        number: the ticket.
        as_json: answers are objects, one a line.
        concern: of lines that name none; empty where the last opened holds.
        last: the entry that was made last, with the fact that ``+`` would put in its place.
    """

    shop: Shop
    number: int
    as_json: bool
    concern: str = ""
    last: tuple[int, Fact, Fact] | None = None

    def answer(self, line: str) -> Iterator[str]:
        """What is said of one typed line; one that begins with a dot and a letter is never a fact."""
        command, head = _COMMAND.match(line), _HEAD.match(line)
        if command:
            yield from self._command(command[1].lower(), (command[2] or "").strip())
        elif head and head[1].lower() in FIELDS:
            typed = f"{head[1]} {head[2]}"
            if not ticket_of(self.shop, self.number).entries:  # as in a plain ticket file: nowhere else
                yield self._set(typed)
            else:
                yield from self._add(line)
                yield self.said(f"? Does this belong in the head? .undo takes it back, .set {typed} fills the head.")
        elif line == "+":
            yield from self._take_references()
        elif len(line) == 1 and line.isascii() and line.isupper():
            self.concern = line
            yield self.said(f"The lines that follow belong to concern {line}.")
        else:
            yield from self._add(line)

    def close(self) -> Iterator[str]:
        """What is open, then the story."""
        yield from self._open()
        yield from self._story()

    def _command(self, word: str, rest: str) -> Iterator[str]:
        alone = {"help": self._help, "open": self._open, "show": self._show, "story": self._story, "undo": self._undo}
        if word in alone and not rest:
            yield from alone[word]()
        elif word == "set":
            yield self._set(rest)
        elif word == "strike" and rest.isascii() and rest.isdecimal():
            strike_entry(self.shop, self.number, int(rest))
            yield self.said(f"Entry {int(rest)} is struck. .undo puts it back.")
        elif word == "edit" and (named := _NUMBERED.match(rest)) and named[2]:
            yield from self._edit(int(named[1]), named[2])
        else:
            yield self.said(f"There is no .{' '.join((word, rest)).strip()}. {HELP}")

    def _set(self, typed: str) -> str:
        """Fill a field of the head."""
        said = typed.lower()
        title = max((one for one in FIELDS if said == one or said.startswith(f"{one} ")), key=len, default="")
        if not title:
            names = ", ".join(field.title for field in HEADER_FIELDS.values())
            raise InputError(f"Which field? Type .set, then one of these and its text: {names}.")
        name = next(name for name, field in HEADER_FIELDS.items() if title in (name, field.title))
        text = typed[len(title) :].strip()
        if wrong := misfit(name, text):
            raise InputError(f"{HEADER_FIELDS[name].title} {one_line(text)}: {wrong.why}.")
        header = ticket_of(self.shop, self.number).header
        set_header(self.shop, self.number, changed_header(header, {name: text}, self.shop.settings.distance))
        return self.said(head_line(ticket_of(self.shop, self.number)))

    def _edit(self, no: int, line: str) -> Iterator[str]:
        """Put another line in the place of an entry."""
        ticket = ticket_of(self.shop, self.number)
        before = ticket.entry(no)
        if before is None:
            raise NotFoundError(f"ticket {self.number} has no entry {no}")
        settled = understand(self.shop, ticket, line, before.concern, retyped=no)
        if len(settled) != 1:
            raise InputError("One entry is replaced by one line.")
        entry = edit_entry(self.shop, self.number, no, settled[0].draft.fact, before.fact)
        yield from self._told([Added(entry, settled[0])])

    def _add(self, line: str) -> Iterator[str]:
        before = ticket_of(self.shop, self.number)
        settled = understand(self.shop, before, line, self.concern, asked=not before.entries)
        yield from self._told(add_settled(self.shop, before, settled, accept=False))

    def _told(self, added: Sequence[Added]) -> Iterator[str]:
        """What was made of a line, and the one question about it."""
        ticket = ticket_of(self.shop, self.number)
        for item in added:
            self.last = (item.entry.no, item.entry.fact, item.settled.accepted) if item.settled.proposed else None
            if self.as_json:
                yield json.dumps(added_facts(item, ticket) | {"question": question(item)}, ensure_ascii=False)
                continue
            fields = "; ".join(f"{title} {one_line(text)}" for title, text in describe(item.settled.draft))
            concern = f", concern {item.entry.concern}" if item.entry.concern else ""
            verdict = verdict_words(ticket, item.entry)
            ending = f". {verdict[0].upper()}{verdict[1:]}" if verdict else ""
            yield f"{item.entry.no}, {item.entry.fact.title}{concern}: {sentence(fields)}{ending}."
            if asked := question(item):
                yield f"? {asked}"

    def _take_references(self) -> Iterator[str]:
        if self.last is None:
            yield self.said("No references were offered for the last entry.")
            return
        no, before, after = self.last
        entry = edit_entry(self.shop, self.number, no, after, before)
        self.last = None
        yield self.said(entry_line(entry, ticket_of(self.shop, self.number)).strip())

    def _help(self) -> Iterator[str]:
        yield self.said(HELP)

    def _undo(self) -> Iterator[str]:
        self.last = None
        yield self.said(f"Undone: {undo(self.shop, self.number)}.")

    def _show(self) -> Iterator[str]:
        ticket = ticket_of(self.shop, self.number)
        for text in (head_line(ticket), *(entry_line(entry, ticket).strip() for entry in ticket.entries)):
            yield self.said(text)

    def _open(self) -> Iterator[str]:
        found = open_gaps(self.shop, self.number)
        if not found:
            yield self.said("Nothing is missing.")
        for gap in found:
            yield self.said(_asked(gap))

    def _story(self) -> Iterator[str]:
        for section in story_of(self.shop, self.number).sections:
            yield self.said(f"{section.title}: " + " ".join(one.text for one in section.sentences))

    def said(self, text: str) -> str:
        """A line of the program, as this talk tells it."""
        return json.dumps({"said": text}, ensure_ascii=False) if self.as_json else one_line(text)


def question(item: Added) -> str:
    """The one question about an entry: the first that stands on its line, else what it may rest on; empty for none."""
    for note in item.settled.draft.remarks:
        choices = " or ".join(f"'{answer.strip()}'" for answer in note.answers)
        return note.text + (f" Likely: {choices}." if choices else "")
    if item.settled.proposed:
        numbers = " ".join(str(ref) for ref in item.settled.proposed)
        return f"Does it rest on {numbers}? + takes it, or type '{lead_to_refs(item.entry.kind)} {numbers}' yourself."
    return ""


def _asked(gap: Gap) -> str:
    where = f", entry {gap.entry}" if gap.entry else ""
    field = HEADER_FIELDS.get(gap.id.partition("-")[0])  # vehicle-missing, odometer-doubtful
    how = f" Type .set {field.title} ..." if field and not gap.entry else ""
    return f"? {gap.level}{where}: {gap.question}{how}"


def talk(options: argparse.Namespace) -> None:
    """Read lines until one that is a dot, or the end of the input; answer each."""
    if options.number is not None:
        with open_shop(options) as shop:
            _converse(Talk(shop, options.number, options.json))
    else:
        with open_or_make(options) as (shop, _):
            _converse(Talk(shop, new_ticket(shop), options.json))


def _converse(held: Talk) -> None:
    ticket = ticket_of(held.shop, held.number)
    first = "" if ticket.entries else " What does the customer say?"
    _out(held.said(f"{head_line(ticket)}.{first} .help says what else can be typed; . alone ends."))
    for typed in typed_lines():
        line = clean(typed).strip()
        if line == ".":
            break
        if not line:
            continue
        try:
            for text in held.answer(line):
                _out(text)
        except TicketError as error:  # nothing was written; the talk goes on
            _out(held.said(f"! {sentence(str(error))}"))
    for text in held.close():
        _out(text)


def _out(text: str) -> None:
    say_as_it_is(escaped(text))
    send()
