"""What each page is for and how the work goes on from it, for somebody who reads nothing but the help."""

from collections.abc import Iterator

from ticket.job.regex import Regex
from ticket.screens.actions import key_for

_KEY = Regex(r"\{(\w+)\}")
_FOR = {
    "start": "A few answers begin a shop on this machine. Enter goes to the next one, Space chooses where values are"
    " listed, {save} starts. Behind it stands the list of jobs.",
    "jobs": "Every open ticket, late ones first. {new} opens a new one, Enter the one under the pointer. Letters typed"
    " here find: a plate, a name, a code; Esc clears them. {all} shows signed ones too.",
    "new": "Whose vehicle comes in, and what was promised. Nothing but the plate or the vehicle is needed; the rest can"
    " come later. A line on the right says what a field read. {save} opens the ticket; then type what the customer"
    " says.",
    "header": "Vehicle, customer and promise of this ticket; the odometer at return too. {save} writes it, Esc keeps"
    " what is typed for later.",
    "ticket": "Type one fact a line, Enter writes it. Before the line stands what kind of fact it was read as, below it"
    " what follows or what is still asked; an underlined piece was not understood. {gaps} goes from question to"
    " question and Enter answers; {edit} brings the pointed entry back to change it.",
    "signed": "This ticket is signed: nothing on it can be changed. {amend} adds what was wrong beside it, {story}"
    " reads it as the customer does, writes it to a file or prints it.",
    "story": "The ticket told to the customer, the payer or the shop ({reader} goes to the next). On the right stand"
    " the entries a sentence rests on. Enter words a sentence anew; one with ? before it is a note, told as"
    " it was typed until somebody words it. {write} writes it to a file, {printer} prints it.",
    "write": "What is written: the copy with its bill, an invoice under its number once the ticket is signed, an"
    " estimate, or the story alone; then in which form and where to. {save} writes it.",
    "phone": "What to read to the customer, one item after the other. One key says the answer to the item under the"
    " pointer; the line below shows what Enter will write on the ticket. {line} goes into that line, to add a sum or"
    " another name.",
    "sign": "The story as the customer will read it, with the entries it rests on. What is still open asks for a reason"
    " first. {sign} signs: then a ticket is never changed; what was wrong is amended beside it.",
    "past": "Jobs of before by code, cause, part or words. Enter reads the pointed one, {counts} shows what they turned"
    " out to be.",
    "found": "A job of before, read only. Enter copies the pointed entry into your ticket.",
    "followups": "Work that was put off, by the day it falls due. {call} calls about it, {new} opens a ticket for it,"
    " {redate} sets another day, {remind} writes a reminder.",
    "settings": "What the shop has settled: its name, people, prices, tax, local rules, how it looks. Enter changes the"
    " pointed one. Hours get their price by a labour rate, among prices and tax.",
    "entry": "Every field of one entry. {save} writes them.",
    "amend": "Which entry was wrong, what stands in its place, and why. {save} writes the amendment.",
    "balance": "What was filled in and what came out again: the difference says where fluid went.",
    "remind": "A reminder of work that waits, for the customer: as what, in which language, to where. {save} writes.",
    "conflict": "Two people changed the same entry. Enter takes the version under the pointer.",
    "keep": "A wording that the shop's phrasebook keeps for every ticket; the arrows say how much of the line.",
    "actions": "Letters narrow the list, Enter does what the pointer stands on.",
    "reading": "Read, and left with Esc.",
}
"""By the name of a page's route, or of the state that it is in; {name} is the key of that action."""
_STEPS = (
    "{new} in the list of jobs opens a ticket: plate, vehicle, customer, promise; {save} opens it.",
    "Type what the customer says, then codes, readings and what was seen, Enter after each.",
    "cause: says what it is, offer: what should be done, with its sum behind est.",
    "{call} shows what to read to the customer; y or n marks each answer, Enter writes the call.",
    "did: is labour in hours, used: a part with its price behind @, proof: the test after the work, later: what can"
    " wait.",
    "{gaps} goes through what is still to ask; Enter on a question begins its answer.",
    "{story} shows the story for the customer; there {write} writes copy or invoice to a file, {printer} prints.",
    "{sign} signs: the ticket is closed for good.",
)


def purpose(page: str) -> str:
    """What a page is for; empty where its keys alone say it."""
    return _with_keys(_FOR.get(page, ""))


def job_steps() -> Iterator[str]:
    """A job from its beginning to its end, a step after the other."""
    return map(_with_keys, _STEPS)


def _with_keys(text: str) -> str:
    return _KEY.sub(lambda named: key_for(named[1]), text)
