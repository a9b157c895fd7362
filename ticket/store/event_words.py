"""What a journal row did, in words that hold no customer's data."""

from ticket.job.codec import Json
from ticket.store.journal import Record
from ticket.store.phrasebook_rows import KEEP, LOOK
from ticket.store.stored_values import HEADER_FIELDS, SIDES, get
from ticket.store.transition import CORRECTED, STRUCK, FieldChange, changes_of


def in_words(record: Record) -> str:
    """One phrase, such as ``added 3 found, 4 cause``."""
    body = record.body
    if record.verb == "undo":
        return f"took back row {record.of}: {_changes(record)}"
    if record.verb == "redo":
        return f"did again row {record.of}: {_changes(record)}"
    if "changes" in body:
        return _changes(record)
    if record.verb == "add":
        return f"added {_births(body)}"
    if record.verb == "amend":
        return f"amended: {_corrected(body)}" if CORRECTED in body else f"amended: added {_births(body)}"
    return _other(record.verb, body)


def _other(verb: str, body: Json) -> str:
    simple = {
        "ticket.open": "opened", "sign": "signed", "shop.start": "database made", "look": "looked at customer data",
        "forget": "blanked words and customer data", "shop.key": "a key was made that signs for this shop",
        "shop.key.end": "a key was ended", "shop.restore": "a copy was put back",
        "keep": "kept the papers of a ticket that was signed before", "shop.trust": "another shop's key was taken in",
    }  # fmt: skip
    if verb in simple:
        return simple[verb]
    if verb == "shop.pin":
        return _pin(body)
    if verb == "shop.day":
        return f"a day began with {body['rows']} rows and {body['tickets']} tickets, {body['signed']} of them signed"
    if verb == "shop.load":
        return f"loaded with {len(body['births'])} entries, {body['status']}"
    if verb == "shop.person":
        return f"{body['name']} is {body['role']}"
    if verb == KEEP:
        count = len(body["entries"])
        return f"kept {count} entries of the phrasebook" if count > 1 else f"kept phrase {body['entries'][0]['no']}"
    if verb == LOOK:
        return f"took phrase {body['no']} back" if body["new"] == "back" else f"let phrase {body['no']} in"
    if verb == "shop.set":
        return f"set {body['key']} to {body['new']}"
    return f"tables brought from version {body['from']} to {body['to']}" if verb == "shop.migrate" else verb


def _pin(body: Json) -> str:
    if "wrong" in body:
        return f"a PIN was typed wrong {body['wrong']} times in a row"
    if body["how"] == "reset":
        return "all PINs were taken away without one being typed"
    return f"a PIN was set ({body['how']})" if body["set"] else "a PIN was taken away"


def _births(body: Json) -> str:
    return ", ".join(
        f"{birth['no']} {birth['kind']}" + (f" in place of {birth['replaces']}" if "replaces" in birth else "")
        for birth in body["births"]
    )


def _corrected(body: Json) -> str:
    both = [body[CORRECTED][side] for side in SIDES]
    fields = [field for field in HEADER_FIELDS if any(get(part, field) is not None for part in both)]
    return "corrected " + ", ".join(field.replace("/", " ").replace("_", " ") for field in fields)


def _changes(record: Record) -> str:
    return ", ".join(dict.fromkeys(map(_change, changes_of(record.body))))


_FIELDS = {"refs": "what it points at", "of": "what it measures again", "what": "text", "sure": "how sure"}
"""Fields whose names in documents are no words."""


def _change(change: FieldChange) -> str:
    no, new = change.no, change.new
    if change.slot:
        whose = (new or change.old)["reader"]
        return f"reworded a sentence for the {whose}" if new else f"took back a rewording for the {whose}"
    if not no:
        return f"status {new}" if change.f == "status" else f"changed {change.f.replace('/', ' ').replace('_', ' ')}"
    if change.f == STRUCK:
        return f"struck {no}" if new else f"put {no} back"
    if change.f == "concern":
        return f"moved {no} to {new}" if new else f"moved {no} out of its concern"
    if change.f == "shop_only":
        return f"kept {no} in the shop" if new else f"opened {no} to the customer"
    if change.f == "fact":
        return f"changed {no} to {new['kind']}"
    if change.f == "follow":
        return f"followed up {no}: {new['what']}" if new else f"followed up {no}: as before"
    return f"changed {no} ({_FIELDS.get(change.f, change.f)})"
