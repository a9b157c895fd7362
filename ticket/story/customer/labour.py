"""What was done and what it took; who pays where that is not the customer."""

from collections.abc import Sequence

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Used
from ticket.story.catalogue import say, variants
from ticket.story.context import Job, sources, told
from ticket.story.customer.said import inner
from ticket.story.lists import phrase_list
from ticket.story.parts import part_words
from ticket.story.sentence import Phrase, Source, words_in
from ticket.story.words.compare import agree
from ticket.story.words.labour import Task, in_order, merged, spelled_out, tasks
from ticket.story.words.spell import measure
from ticket.story.writer import Writer

_LONG = 24
_LONG_LIST = 28


def tell_work(job: Job, letter: str, writer: Writer, *, also: bool = False) -> None:
    """Labour, then parts, then who pays."""
    works = list(job.each(Did, letter))
    parts = list(job.each(Used, letter))
    names = [fact.text for _, fact in job.each(Used)]
    then = False
    for entry, fact in works:
        then = _did(entry, fact, names, writer, then=then) or then
    _used(parts, writer, also=also)
    _pays(works, parts, writer)


def _did(entry: Entry, fact: Did, names: list[str], writer: Writer, *, then: bool) -> bool:
    items = _checked(fact.text, names)
    if fact.hours and len(items) == 1 and isinstance(items[0], Task) and _looked(items[0]):
        hours = told(entry, "hours", measure(fact.hours, "h"), "number")
        writer.add(sources(entry), say("did.look", hours=hours))
        return True
    told_one = False
    for group in _groups(items):
        if isinstance(group, str):
            writer.add(sources(entry), *variants("did.quoted", text=told(entry, "text", inner(group), "quoted")))
            continue
        text = told(entry, "text", joined(group))
        options = variants("did.then", tasks=text) if then or told_one else ()
        told_one = True
        writer.add(sources(entry), *options, *variants("did.one", tasks=text))
    return told_one


def _checked(text: str, names: list[str]) -> tuple[Task | str, ...]:
    """The pieces of a labour line; all of it as typed where the told words would not keep to the typed ones."""
    items = in_order(text, names)
    known = [item for item in items if isinstance(item, Task)]
    rest = text
    for item in items:
        if isinstance(item, str):
            rest = rest.replace(item, "", 1)
    if known and not agree(spelled_out(rest, names), " ".join(task.told() for task in known), words=False):
        return (text,)
    return items


def _looked(task: Task) -> bool:
    return not task.things and task.works[0].kind == "look"


def _groups(items: tuple[Task | str, ...]) -> list[list[Task] | str]:
    """Neighbouring tasks in sentences of readable length; pieces of unknown words by themselves."""
    out: list[list[Task] | str] = []
    run: list[Task] = []
    for item in (*items, ""):
        if isinstance(item, Task):
            run.append(item)
            continue
        out += _sentences(merged(run))
        run = []
        if item:
            out.append(item)
    return out


def joined(items: list[Task]) -> str:
    """Tasks as one list of what we did."""
    texts = [item.told() for item in items]
    if len(texts) == 2 and any(" and " in text for text in texts):
        return f"{texts[0]}, and {texts[1]}"
    if len(texts) < 3:
        return " and ".join(texts)
    return ", ".join(texts[:-1]) + f", and {texts[-1]}"


def _sentences(items: Sequence[Task]) -> list[list[Task]]:
    """Tasks in sentences of readable length."""
    out: list[list[Task]] = []
    for item in items:
        if out and len(f"We {joined([*out[-1], item])}".split()) <= _LONG:
            out[-1].append(item)
        else:
            out.append([item])
    return out


def _used(parts: list[tuple[Entry, Used]], writer: Writer, *, also: bool) -> None:
    bought = [(entry, fact) for entry, fact in parts if fact.condition == "sublet"]
    held: list[tuple[Entry, Phrase]] = []
    for entry, fact in parts:
        if fact.condition == "sublet":
            continue
        item = part_words(entry, fact)
        if held and words_in(say("used.all", items=phrase_list([*(text for _, text in held), item]))) > _LONG_LIST:
            _took(held, writer, also=also)
            held, also = [], True
        held.append((entry, item))
    if held:
        _took(held, writer, also=also)
    for entry, fact in bought:
        writer.add(sources(entry), _bought(entry, fact))


def _bought(entry: Entry, fact: Used) -> Phrase:
    """Work of another shop, with its name where one stands behind the work."""
    what, _, who = (part.strip() for part in fact.text.partition(","))
    if who[:1].isupper() and what:
        name = told(entry, "text", inner(who), "quoted")
        return say("used.sublet.who", who=name, text=told(entry, "text", inner(what), "quoted"))
    return say("used.sublet", text=told(entry, "text", inner(fact.text), "quoted"))


def _took(items: list[tuple[Entry, Phrase]], writer: Writer, *, also: bool) -> None:
    listed = phrase_list([text for _, text in items])
    rest: list[Source] = list(sources(*(entry for entry, _ in items)))
    options = [say("used.all", items=listed), say("used.also", items=listed)]
    writer.add(rest, *(options[::-1] if also else options))


def _pays(works: list[tuple[Entry, Did]], parts: list[tuple[Entry, Used]], writer: Writer) -> None:
    """Who pays, where it is another: in one sentence if every line of the concern says so, else line by line."""
    lines = [(entry, fact.pays) for entry, fact in works] + [(entry, used.pays) for entry, used in parts]
    payers = {pays or "customer" for _, pays in lines}
    if payers <= {"customer"}:
        return
    if len(payers) == 1:
        payer = payers.pop()
        what = "both" if works and parts else "work" if works else "parts"
        writer.add(sources(*(entry for entry, _ in lines)), say(f"pays.{payer}.{what}"))
        return
    for payer in ("warranty", "contract", "shop"):
        if payer not in payers:
            continue
        paid = [(entry, fact) for entry, fact in parts if fact.pays == payer]
        done = [(entry, fact) for entry, fact in works if fact.pays == payer]
        whole = bool(done) and len(done) == len(works)
        if whole:
            writer.add(sources(*(entry for entry, _ in done)), say(f"pays.{payer}.work"))
        if whole and paid and len(paid) == len(parts):
            writer.add(sources(*(entry for entry, _ in paid)), say(f"pays.{payer}.parts"))
            continue
        items = [] if whole else [_work_name(entry, fact) for entry, fact in done]
        items += [part_words(entry, fact) for entry, fact in paid]
        named = ([] if whole else [entry for entry, _ in done]) + [entry for entry, _ in paid]
        if items:
            writer.add(sources(*named), _pays_for(payer, phrase_list(items)))


def _pays_for(payer: str, items: Phrase) -> Phrase:
    """ "Warranty pays for replacing the fan motor and one new fan motor"."""
    if payer == "shop":
        return say("pays.mixed.we", items=items)
    return say("pays.mixed", payer=say(f"payer.{payer}"), items=items)


def _work_name(entry: Entry, fact: Did) -> Phrase:
    known, unknown = tasks(fact.text)
    if unknown or not known:
        return say("what.quoted", text=told(entry, "text", inner(fact.text), "quoted"))
    return (told(entry, "text", " and ".join(task.told("gerund") for task in known)),)
