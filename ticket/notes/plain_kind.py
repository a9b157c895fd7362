"""The kind of a line that names none: what the line plainly says it is, or a finding.

Only lines that can hardly be anything else are taken: a fault code with its state, hours beside an operation, a counted
part with a price, a contact with an answer, codes that were read again. A line in doubt is a finding, as it always was.
"""

import re
from collections.abc import Sequence

from ticket.notes.code import code_at
from ticket.notes.code_bytes import truck_bytes_at
from ticket.notes.code_tail import tail_of
from ticket.notes.hours import amounts, standing
from ticket.notes.phrases import means, phrase_at
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, tokens_of

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
_LIMITED = re.compile(r"\(|\b(?:min|max|spec|should|limit)\b|\bnow\b", re.I)
_CONTACTED = frozenset("called phoned rang texted emailed told spoke informed".split())
_LONGEST = 400
_FIRST_WORDS = 4


def plain_kind(body: Body) -> str:
    """The kind a body shows by itself; ``found`` where nothing is certain."""
    text = body.bare
    if len(text) > _LONGEST or not text.strip():
        return "found"
    if (_CODE.match(text) and _is_code(body)) or truck_bytes_at(text):
        return "code"
    if _NO_CODES.match(text):
        return "code"
    if _AGAIN.match(text):
        return "proof"
    if _COUNTED.match(text):
        return "used"
    tokens = tokens_of(text)
    if _is_contact(tokens):
        return "told"
    if _is_labour(tokens, text):
        return "did"
    return "found"


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
        bool(tail.fields.get("status")) or (hit.code.startswith("SPN") and bool(hit.sub) and "times" in tail.fields)
    )


def _is_contact(tokens: Sequence[Token]) -> bool:
    """``called Ada, she said yes``: reached by a way, and answered."""
    reached = any(token.low in _CONTACTED for token in tokens[:_FIRST_WORDS])
    return reached and any(
        phrase_at("answer", tokens, at) or phrase_at("no answer", tokens, at) for at in range(1, len(tokens))
    )


def _is_labour(tokens: Sequence[Token], text: str) -> bool:
    """Hours that stand as hours to bill, beside a word for an operation, on a line without limits."""
    if not any(means("operation", token.low) for token in tokens) or _LIMITED.search(text):
        return False
    found = [amount for amount in amounts(tokens) if amount.whole and not amount.doubt]
    return (
        len(found) == 1
        and standing(tokens, found[0]) in ("plain", "labour")
        and _at_an_end(tokens, found[0].first, found[0].behind)
    )


def _at_an_end(tokens: Sequence[Token], first: int, behind: int) -> bool:
    return first == 0 or behind == len(tokens)
