"""The written forms of one fault as patterns: shapes only, no meaning.

All classes are ASCII and every repeat is bounded, so that a match costs the same in a text of any length.
"""

import re

from ticket.job.regex import Regex

HEX = "[0-9A-Fa-f]"
PAIR = HEX + "{2}"
END = r"(?![0-9A-Za-z])"  # what follows does not belong to the token
DASH = "\\-\u2010-\u2015\u2212"
GAP = r"[ \t]{0,4}"

# Only the end of the text, a stop or a column's gap may follow: "P0300 14" has a sub-code, "P0300 14 times" has none.
CLOSED = rf"(?={GAP}(?:[,;:.)\]|\r\n]|\Z)|\t|[ ]{{2}})"
_UNIT = r"(?:rpm|psi|kpa|bar|km|mi|mm|miles?|volts?|v|hz|ohms?|hours?|hrs?|h|lbs?|times|x)"

PREFIX = Regex(
    rf"{GAP}(?:(?:(?:fault|trouble|error|stored|pending)[ \t]{{1,4}})?(?:dtcs?|codes?|faults?){GAP}[:#]?{GAP})?",
    re.I | re.A,
)

_BODY = rf"([PCBU])([0-3O](?:{HEX}|O){{3}})"
SHAPE = Regex(_BODY, re.I | re.A)
# A letter set apart ("P 0420", "P-0420") must not be a label in front of a measured value.
APART = Regex(rf"([PCBU])[ {DASH}]([0-3]{HEX}{{3}}){END}(?!{GAP}{_UNIT}{END})", re.I | re.A)
# The older decimal form stands beside its P-code and is checked against it.
DECIMAL = Regex(rf"([0-9]{{5}}){GAP}[ {DASH}/]{GAP}(?=P[01O])", re.I | re.A)

_SUB_WORD = r"(?:sub[- ]?code|sub[- ]?type|sub|symptom(?:[ ]byte)?|ftb|ft|(?:failure|fault)[ ]type(?:[ ]byte)?|type)"
SUB_WORDED = Regex(rf"{GAP}[,;({DASH}]?{GAP}{_SUB_WORD}{GAP}[:=#]?{GAP}(?:0x)?({PAIR}){END}\)?", re.I | re.A)
SUB_HEX = Regex(rf"{GAP}[{DASH}:/ ]{GAP}0x({PAIR}){END}", re.I | re.A)
SUB_TIGHT = Regex(rf"[{DASH}:._]({PAIR}){END}(?!\.[0-9])(?!{GAP}{_UNIT}{END})", re.I | re.A)
SUB_SLASH = Regex(rf"/({PAIR}){END}(?!/)", re.A)
SUB_SPACED = Regex(rf"{GAP}[ \t{DASH}:]{GAP}({PAIR}){END}{CLOSED}(?!{GAP}{_UNIT}{END})", re.I | re.A)
# A pair of digit and letter is no number, so words may follow; 5A and 8C may be amperes and degrees.
SUB_MIXED = Regex(rf"[ \t]{{1,4}}([0-9][BDEF]){END}", re.A)
# "1Ch" is a pair in hexadecimal, and "P0171,1C" a row of a list; of figures alone neither is sure.
SUB_MARKED = Regex(rf"{GAP}[ ,;:{DASH}]{GAP}({PAIR})h{END}", re.I | re.A)
SUB_COMMA = Regex(rf",([ ]?)({PAIR}){END}(?!{GAP}{_UNIT}{END})", re.I | re.A)
AMONG_PAIRS = Regex(rf"(?<![0-9A-Za-z]){PAIR}[ ,]{{1,2}}(?={PAIR}{END})", re.A)
SUB_BRACKET = Regex(rf"{GAP}[(\[]({PAIR})[)\]]", re.A)

RAW_0X = Regex(rf"0x({PAIR}{PAIR}(?:{PAIR}){{0,2}}){END}", re.I | re.A)
RAW_0X_PAIRS = Regex(rf"0x{PAIR}(?:[ ,]{{1,2}}0x{PAIR}){{1,3}}{END}", re.I | re.A)
RAW_PAIRS = Regex(rf"{PAIR}(?:[ ]{PAIR}){{1,3}}{END}(?![ ]{PAIR}{END})", re.A)

_LINK = rf"{GAP}[:=#{DASH}]?{GAP}"
SOURCE = rf"(?:(?:sa|source(?:[ ]address)?){_LINK}([0-9]{{1,3}}){GAP}[,;/]?{GAP})?"
TRUCK = Regex(
    rf"{SOURCE}SPN{_LINK}([0-9]{{1,7}}){END}(?:{GAP}[,;/:.({DASH}]?{GAP}FMI{_LINK}([0-9]{{1,4}}){END}\)?)?", re.I | re.A
)
TRUCK_BACK = Regex(
    rf"{SOURCE}FMI{_LINK}([0-9]{{1,4}}){GAP}[,;/:.{DASH}]?{GAP}SPN{_LINK}([0-9]{{1,7}}){END}", re.I | re.A
)
TRUCK_TAIL = Regex(rf"{GAP}[,/:. {DASH}]{GAP}([0-9]{{1,2}}){END}{CLOSED}", re.A)
STOP = Regex(CLOSED, re.A)

# From here on: forms that only stand alone in a field for a code.
NONE = Regex(
    r"(?:none|no (?:fault|trouble )?codes?|no (?:faults?|dtcs?))(?: (?:stored|found|present|set|active))?[.!]?\Z", re.I
)
PACKED = Regex(
    rf"(?:((?:DM1|DM2|J1939|truck)){GAP}[:=]?{GAP})?((?:0x)?{PAIR}(?:[ ,]{{0,2}}(?:0x)?{PAIR}){{3}})\Z", re.I | re.A
)
LABELLED = Regex(rf"{GAP}(?:DM1|DM2|J1939|truck){GAP}[:=]?{GAP}(?={PAIR}[ ,]|0x)", re.I | re.A)
TRUCK_BARE = Regex(r"([0-9]{1,6})[:/\-]([0-9]{1,2})\Z", re.A)
TAIL_STATUS = Regex(
    rf"{GAP}[,;({DASH}]?{GAP}((?:status(?:[ ]byte)?|stat|st){_LINK})?(?:0x)?({PAIR}){END}\)?(?!{GAP}{_UNIT}{END})",
    re.I | re.A,
)
_COUNTED = r"([0-9]{1,5})"
TAIL_COUNT = Regex(
    rf"{GAP}[,;(]?{GAP}(?:(?:oc|count(?:er)?|cnt|occurrences?){_LINK}{_COUNTED}|x{GAP}{_COUNTED}|{_COUNTED}{GAP}(?:x|times)){END}\)?",
    re.I | re.A,
)
GLUED = Regex(rf"[{DASH}:._/][0-9A-Za-z]{{1,8}}{END}", re.A)
BARE_HEX = Regex(rf"(?=[0-9]*[A-F])(?=[A-F]*[0-9])((?:{PAIR}){{2,4}})(?:[ ]({PAIR}))?\Z", re.I | re.A)
NEAR_SECOND = Regex(rf"[PCBU][4-9]{HEX}{{3}}{END}", re.I | re.A)
NEAR_LENGTH = Regex(r"[A-Z][0-9][0-9A-Z]{2,9}\Z", re.I | re.A)
NEAR_TRUCK = Regex(rf"{SOURCE}SPN{_LINK}[0-9]", re.I | re.A)
OLD_TRUCK = Regex(r"(?:MID|PID|SID)[ :#]?[0-9]", re.I | re.A)
FLASH = Regex(r"(?=[A-Z]{0,2}[\-. ]?[0-9])[0-9A-Z][0-9A-Z\-.]{0,7}\Z", re.I | re.A)
