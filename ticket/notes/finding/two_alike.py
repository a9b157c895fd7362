"""Two of one thing that nobody tells apart: ``one front pad 2 mm other one 6``, ``batts one 12.6 other 11.4 V``.

Both were read, at the same place if one is named; which of the two is which is asked for.
"""

from itertools import pairwise

from ticket.notes.finding.stated import Reading, Walked

WHICH_OF_TWO = "Which of the two is this? Write its side, its number or its name in front of each value."
_OTHER = frozenset({"other", "other one", "the other", "the other one"})


def unsided(done: Walked) -> list[Reading]:
    """``front 5 5 rear 4 4``: two values of one list at the end they share; the readings nobody tells apart."""
    found: list[Reading] = []
    for one, other in pairwise(done.readings):
        alike = one.places == other.places and one.name == other.name and one.series == other.series != 0
        mates = [reading for reading in done.readings if reading.series == one.series and reading.places == one.places]
        if alike and len(mates) == len((one, other)) and {way for way, _ in one.places} in ({"end"}, {"axle"}):
            found += [one, other] if one.when == other.when and not (one.pair or other.pair) else []
    return found


def name_the_other(done: Walked) -> list[Reading]:
    """Give the other of two the name and the place of the one; the readings of which nobody knows which is which."""
    found: list[Reading] = []
    for one, other in pairwise(done.readings):
        said = [token.text for token in other.name if token not in one.name]
        behind = [token.text for token in one.name if token.text == "one"]
        plain = one.places == other.places or not other.places
        if one.part != other.part or not behind or not plain or " ".join(said).removesuffix(" one") not in _OTHER:
            continue
        name = tuple(token for token in one.name if token.text != "one")
        one.series = other.series = 1 + max(reading.series for reading in done.readings)
        for reading in (one, other):
            reading.name, reading.places = name, one.places
            reading.subject = tuple(t for t in one.subject if t.text != "one" and t.text not in _OTHER)
            reading.own = True
        found += [one, other]
    return found
