"""Pieces of a line that could be a fact and that nothing took, and questions a line still asks."""

from collections.abc import Iterator

from ticket.gaps.agreed_gaps import labour_in_sum
from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import each
from ticket.job.case import Case
from ticket.job.entry import Remark, Spoken
from ticket.job.kinds import Did, Found, Later, Offer, Told
from ticket.notes.open_pieces import again, kind_question


def line_unread(case: Case) -> Iterator[Gap]:
    """A number, sum, date, answer or code of a line was taken as a fact, or is put in quotes, or is looked at."""
    for entry in case.ticket.living:
        draft = again(entry.fact)
        for remark in draft.remarks:
            if remark.state == "unread" and not remark.blocks:
                yield Gap("line-unread", ADVICE, _question(draft.line, remark), entry.no)


def line_unread_blocking(case: Case) -> Iterator[Gap]:
    """What may be hours to bill, a price, an answer, a sum or a due is read before anybody signs."""
    for entry in case.ticket.living:
        draft = again(entry.fact)
        for remark in draft.remarks:
            if remark.blocks:
                yield Gap("line-unread-blocking", BLOCKING, _question(draft.line, remark), entry.no)


def kind_unclear(case: Case) -> Iterator[Gap]:
    """A finding that may be a code, a contact or work says which it is: Enter alone settles nothing."""
    for entry, fact in each(case, Found):
        asked = kind_question(fact)
        if asked is not None:
            kind = asked.answers[0].partition(":")[0]
            question = asked.text.partition("?")[0]
            text = f"{question}? Retype it with {kind}: in front; if it is a finding, leave it."
            yield Gap("kind-unclear", ADVICE, text, entry.no)


def _question(line: str, remark: Remark) -> str:
    """The question with its piece, what to type, and the way out."""
    piece = line[remark.start : remark.end].strip()
    named = remark.text if not piece or piece in remark.text else f"“{piece}”: {remark.text}"
    return f"{named} If it is no fact, put it in double quotes."


def answer_not_read(case: Case) -> Iterator[Gap]:
    """An answer in words is agreed to nothing until somebody says which entry it means."""
    offered = any(True for kind in (Offer, Later) for _ in each(case, kind))
    for entry, fact in each(case, Told):
        if fact.answers and all(answer.to for answer in fact.answers):
            continue
        spoken = again(fact).spoken
        for item in spoken if offered else ():
            yield Gap("answer-not-read", BLOCKING, _which(item), entry.no)
        if (fact.total or fact.ceiling) and not fact.answers and not spoken:
            question = f"Was {fact.total or fact.ceiling} agreed to? Write yes, no or thinks in front of the sum."
            yield Gap("answer-not-read", BLOCKING, question, entry.no)


def answer_to_nothing(case: Case) -> Iterator[Gap]:
    """A bare answer where nothing was offered and no sum was told says what it was given to."""
    if any(True for kind in (Offer, Later) for _ in each(case, kind)):
        return
    for entry, fact in each(case, Told):
        bare = bool(fact.answers) and not any(answer.to for answer in fact.answers)
        if bare and not (fact.words or fact.total or fact.ceiling):
            answer = fact.answers[0].answer
            question = f"What was answered {answer}? Nothing is offered here: add offer: ..., then retype {answer} with"
            yield Gap("answer-to-nothing", ADVICE, f"{question} its number.", entry.no)


def _which(spoken: Spoken) -> str:
    answer = {"wait": "thinks"}.get(spoken.answer, spoken.answer)
    return f"Which entry was meant by “{spoken.to}”? Write {answer} and its number, such as {answer} 7."


def labour_without_hours(case: Case) -> Iterator[Gap]:
    """Labour that somebody pays for says its hours; what an agreed sum may hold is asked by ``labour-in-sum``."""
    in_sum = {gap.entry for gap in labour_in_sum(case)}
    for entry, fact in each(case, Did):
        asked = entry.no in in_sum or any(remark.blocks for remark in again(fact).remarks)
        if not fact.hours and fact.pays != "shop" and not asked:
            question = "How many hours are billed? Write them in front: did: 1.5 h ..., or , no charge behind."
            yield Gap("labour-without-hours", ADVICE, question, entry.no)


RULES: tuple[Rule, ...] = (
    kind_unclear,
    line_unread,
    line_unread_blocking,
    answer_not_read,
    answer_to_nothing,
    labour_without_hours,
)
