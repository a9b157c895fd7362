"""The kind of a line that names none: what the line plainly says it is, or a finding.

Only lines that can hardly be anything else are taken: a fault code with its state, hours beside an operation, a counted
part with a price, a contact with an answer, codes that were read again. A line in doubt is a finding, as it always was.
"""

import re

from ticket.notes.code import code_at
from ticket.notes.code_bytes import truck_bytes_at
from ticket.notes.code_tail import tail_of
from ticket.notes.kind_signs import is_contact, is_labour, is_part, waits
from ticket.notes.spans import Body
from ticket.notes.tokens import tokens_of

_CODE = re.compile(
    r"\s*(?:dtc\s?:?\s*)?(?:[PCBU][0-3][0-9A-F]{3}(?![0-9A-Z])|SPN\s?(?:[/\-]\s?FMI\s?)?[:#=]?\s?[0-9]"
    r"|(?:FMI|SA|source(?: address)?)\s?[:#=]?\s?[0-9]{1,3}[\s,;/]{1,3}(?:SPN|FMI)\b)",
    re.I,
)
_AGAIN = re.compile(
    r"\s*(?:re-?read codes|codes? (?:re-?)?(?:read|scanned|checked) again|codes? re-?(?:read|checked|scanned)"
    r"|re-?scan(?:ned)?(?: codes| all modules)?)\b.*\b(?:none|no codes?|clear|no faults?)\b",
    re.I,
)
_NO_CODES = re.compile(
    r"\s*no (?:fault |trouble |stored |active )?(?:codes?|dtcs?)(?: (?:stored|found|present|set|active))?[.\s]*\Z", re.I
)
_COUNTED = re.compile(r"\s*[0-9]{1,3} ?[xX×] +\S.*@ ?[$£€]? ?[0-9.]")
_RETEST = re.compile(
    r"\s*(?:re-?test(?:ed)?\b(?=.*[0-9])|re-?check(?:ed)?\b(?=.*[0-9])(?=.*\bnow\b)(?=.*\bwas\b))", re.I
)
_SHOWN = re.compile(
    r"\s*(?:[A-Z]{2,5}|(?i:panel|scan(?:ned|ner)?|scan tool|tool|dash|reader))"
    r"(?: (?i:shows?|says|has|reads|gives|gave))?\s?:? +(?=[PCBUpcbu][0-3][0-9A-Fa-f]{3}|(?i:spn) ?[0-9])"
)
_LONGEST = 400


def plain_kind(body: Body) -> str:
    """The kind a body shows by itself; ``found`` where nothing is certain."""
    text = body.bare
    if len(text) > _LONGEST or not text.strip():
        return "found"
    shown = _SHOWN.match(text)
    if shown:
        if _is_code(body.cut(shown.end())):
            return "code"
    elif (_CODE.match(text) and _is_code(body)) or truck_bytes_at(text):
        return "code"
    if _NO_CODES.match(text):
        return "code"
    if _AGAIN.match(text):
        return "proof"
    if _COUNTED.match(text):
        return "used"
    tokens = tokens_of(text)
    if is_contact(tokens):
        return "told"
    if _RETEST.match(text):
        return "proof"
    if waits(body, tokens):
        return "later"
    if is_labour(tokens, text):
        return "did"
    return "used" if is_part(body, tokens) else "found"


def _is_code(body: Body) -> bool:
    """Alone, with its FMI, or with a state; ``P0420 set after road test, 5.2 V`` is told by a person."""
    hit = code_at(body.bare, 0, led=False)
    if hit is None:
        return False
    rest = body.cut(hit.end)
    if not rest.raw.strip(" .,;"):
        return not hit.code.startswith("SPN") or bool(hit.sub)
    tail = tail_of(rest)
    other = [token for token in tokens_of(rest.bare) if token.kind in ("number", "money") and not token.text.isdigit()]
    return not other and (
        bool(tail.fields.get("status"))
        or ((not hit.code.startswith("SPN") or bool(hit.sub)) and "times" in tail.fields)
    )
