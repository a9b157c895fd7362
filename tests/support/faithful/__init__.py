"""Is a told sentence faithful? An independent check of text against the entries it names, rule by rule.

It knows nothing of how a sentence came to be, and nothing of the program but its entries. The rules:

==== ==================================================================================================
F1   a source is named, living, and meant for this reader; absences and cautions come from closed lists
F2   every figure is typed in a source or worked out in a declared way, and told of what it was read of
F3   with the same digits, unit and sign
F4   count words count what is cited
F5   codes, part numbers, names, dates and quotes stand letter for letter
F6   sides are those typed; left and right mean nothing else
F7   a no stays a no, a yes a yes
F8   nothing is called fixed
F9   nothing is called a leak that was not
F10  only, just and merely are typed, or one member of a group differs
F11  all, every, none and never are typed, or the whole group is cited
F12  nothing is called safe or dangerous; what may happen may happen
F13  new, used and rebuilt are the part's recorded condition
F14  because and so join only what the entries join
F15  again, still, now and down from compare two entries of one thing under the same conditions
F16  we did only what was typed as work, test or finding
F17  what the customer said is a contact with that answer and scope
F18  replaced and fitted rest on labour of that kind
F19  a hedge is never lost, and nothing is both denied and suspected
F20  nobody is blamed
F21  verdicts are those computed
F22  an undecided reading is called so
F23  what must be told is told
F24  a sentence goes with the entry it rested on
F25  plain words for the customer
F26  a clean surface
F27  a rewording shows who wrote it
==== ==================================================================================================

Not seen by it: a limit told as a reading of the same digits and unit, and an invented name in small letters.
"""

from support.faithful.check import check
from support.faithful.finding import Finding, Flaw
from support.faithful.whole import check_removal, check_story

__all__ = ["Finding", "Flaw", "check", "check_removal", "check_story"]
