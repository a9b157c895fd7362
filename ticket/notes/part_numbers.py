"""Which tokens are part numbers: their shape, and what looks like one and is a size, a grade or a rating."""

import re

from ticket.job.regex import Regex
from ticket.notes.shapes import is_number

_LONGEST = 60
_NO_PART = Regex(
    r"[0-9]+W-?[0-9]+"  # viscosity
    r"|[0-9.,/]+-[a-z]{2,}|M[0-9.]+[xX-][0-9.xX]+"  # 12-volt, 10-pin, M8-1.25
    r"|R-?[0-9]{2,4}[a-z]{0,4}|(?:DOT|CK|CJ|CI|SN|SP|GL|API|GF|FA|PAG|POE|ATF|TO|NLGI|HID|HB|UN|EN|DIN|ISO|JIS|SAE|AGM|LED)-?[0-9]{1,4}[a-z]?"
    r"|[0-9.,/]+[x×][0-9.,x×/]+(?:mm|cm|in)?|[0-9]+(?:\.[0-9]+)?R[0-9]+(?:\.[0-9]+)?[A-Z]?"  # a seal, a tyre
    r"|[0-9.,]+(?:mm|ml|cm|rpm|psi|lbs?|kg|watts?|w|v|k|a|amps?|ah|cca|ft|oz|hp)"
    r"|[0-9]{3}/[0-9]{2}.*|LT[0-9]{3}.*|[0-9]+-[0-9]+/[0-9]+"
    r"|(?:[4-9]|10|12)-(?:24|28|32|36|40)|(?:0|5|10|15|20)-(?:16|20|30|40|50)",  # tyres, inches, thread
    re.A | re.I,
)

_LETTERED = Regex(r"(?!(?:PAG|POE|SAE|VG|HV|HD|PG|IP|OD|ID|CO|AW|EP)-)[A-Z]{2,4}-[0-9]{2}", re.A)
"""``NQ-70``: capitals in front of two digits, and no grade, class or protocol."""
_ENDED = Regex(
    r"[0-9]{3,}-(?!(?:AMP|AH|PIN|WAY|VDC|VAC|CCA|MM|CM|IN|FT|LB|PSI|RPM|OHM|ML|CC|KG|HP|ST|ND|RD|TH)\b)[A-Z]{2,3}", re.A
)
"""``8821-FF``: capitals behind the digits, and no unit or form."""


def is_part_number(token: str) -> bool:
    """A token that can only be a part number: digits with a dash, or many digits; no number, size or viscosity."""
    digits = sum(char in "0123456789" for char in token)
    shaped = ("-" in token and digits >= 2) or (len(token) >= 6 and digits >= 4)
    if not shaped or len(token) > _LONGEST or "/" in token or not token.isascii():
        return False
    return not (is_number(token) or (_NO_PART.fullmatch(token) and not _ENDED.fullmatch(token)))


def stands_out(token: str) -> bool:
    """A part number that shows as one in the middle of words too: three digits at least."""
    digits = sum(char.isdecimal() for char in token)
    return is_part_number(token) and (digits >= 3 or _LETTERED.fullmatch(token) is not None)
