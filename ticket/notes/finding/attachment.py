"""Which words, positions and conditions belong to which reading: one walk from left to right, part by part.

A part is what stands between commas and semicolons. A reading is stated only if every number of its part is
explained; else the whole part is left over, with a question.
"""

import itertools

from ticket.notes.finding.comma_part import Part
from ticket.notes.finding.naming import is_small
from ticket.notes.finding.part_order import WHERE
from ticket.notes.finding.preamble import is_preamble
from ticket.notes.finding.stated import Progress, Walked
from ticket.notes.finding.tokens import Line, Token


def walk(line: Line) -> Walked:
    """Attach everything on a parsed line."""
    walk = Progress(line)
    parts = _parts(line.tokens)
    for at, (part, clause) in enumerate(parts):
        walk.done.parts.append(part)
        if at == 0 and len(parts) > 1 and clause == parts[1][1] and is_preamble(part, parts[1][0]):
            continue
        if clause != walk.clause:
            walk.stack, walk.topic, walk.topic_words, walk.topic_when, walk.lead = {}, False, (), [], []
            walk.carried, walk.head = walk.subject, ()
        walk.clause = clause
        Part(walk, part, len(walk.done.parts) - 1).run()
    return walk.done


def _parts(tokens: list[Token]) -> list[tuple[list[Token], int]]:
    """Comma parts; a comma between numbers or positions of one list does not part."""
    parts: list[tuple[list[Token], int]] = [([], 0)]
    clause = 0
    for at, token in enumerate(tokens):
        if token.letter == ";":
            clause += 1
            parts.append(([], clause))
        elif token.letter == "," and not _lists(tokens, at):
            parts.append(([], clause))
        else:
            parts[-1][0].append(token)
    return [part for part in parts if part[0]]


def _lists(tokens: list[Token], at: int) -> bool:
    """A comma between bare numbers that a later unit closes, or between positions."""
    if not 0 < at < len(tokens) - 1:
        return False
    before, after = tokens[at - 1], tokens[at + 1]
    if before.letter == after.letter == "p":
        # "35 mm axle 2, pin 1 sensor 6 ohm": a place behind a value ends its part where words follow the next one
        begun = next((i + 1 for i in range(at - 1, max(-1, at - 12), -1) if tokens[i].letter in ",;"), max(0, at - 12))
        valued = any(token.letter == "q" for token in tokens[begun:at])
        behind = at >= 2 and tokens[at - 2].letter == "q" and valued and _values_between(tokens[begun:at]) > 1
        if valued and at + 2 < len(tokens) and tokens[at + 2].letter in "qi":
            return False  # "3 mm on the inside edge, LHR 4": the next place has a value of its own
        return not behind and not (valued and at + 2 < len(tokens) and tokens[at + 2].letter in "wn:cC")
    if before.letter != "q" or after.letter != "q":
        return False
    if not before.amount.bare or bool(before.amount.to) != bool(after.amount.to):
        return False  # a range behind a figure bounds it
    return not _names_one(tokens, at)


def _names_one(tokens: list[Token], at: int) -> bool:
    """``open at connector 7, 0 V``, ``42 on 3, 0 the rest``: behind one thing a small number says which it is."""
    number, other, word = tokens[at - 1].amount, tokens[at + 1].amount, tokens[at - 2] if at > 1 else None
    if word is None or not is_small(number) or [one.letter for one in tokens[at + 2 : at + 4]] == [",", "q"]:
        return False  # a list of three
    if word.letter in "@kP" or word.text in WHERE:
        return True
    named = at > 2 and (tokens[at - 3].letter in "w@kP")
    return word.letter == "w" and named and not other.bare and not word.text.endswith("s")


def _values_between(tokens: list[Token]) -> int:
    """How many values stand with a position right behind each: ``4mm inner 6 outer, RH 7`` begins anew at RH."""
    return sum(one.letter == "q" and other.letter == "p" for one, other in itertools.pairwise(tokens))
