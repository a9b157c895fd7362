"""One comma part of a finding: which words, positions and conditions belong to which of its values."""

from dataclasses import replace
from itertools import pairwise

from ticket.notes.finding.bounds_in_words import says_what_is_wanted
from ticket.notes.finding.lexicon import is_state
from ticket.notes.finding.names_behind import WHICH_NAME, named_behind
from ticket.notes.finding.part_names import (
    ends_a_list,
    goes_on,
    is_another_thing,
    is_new,
    is_of_another,
    is_of_fluid,
    other_end_of,
    said_behind,
    unnamed,
)
from ticket.notes.finding.part_order import (
    WHERE,
    are_both_sides,
    beside_the_one,
    close_by_place,
    closes_states,
    conditions_lead,
    follows_and,
    in_another_unit,
    is_aside,
    is_at_another_place,
    is_of_the_next,
    is_postfix,
    is_put_to,
    is_set_to,
    list_behind,
    name_behind,
    name_by_rating,
    names_next,
    now_follows,
    place_all,
    place_kept,
    places_end_early,
    run_from,
    run_of_places,
    said_again,
    series_of,
    set_changed,
    set_older,
    stacked,
    take_moments,
    told_how,
    with_thing,
    words_stand_behind,
)
from ticket.notes.finding.part_words import (
    COARSE_FIRST,
    EDGES,
    NOT_LIMITS,
    ONES,
    PRONOUNS,
    SAYING_HOW,
    STATES,
    WHICH_PLACE,
    WHOLE_TOPICS,
    is_list,
)
from ticket.notes.finding.stated import PlacedLimits, Progress, Reading, is_moment, is_told, is_whole_state
from ticket.notes.finding.tokens import GivenLimits, Places, Token


class Part:
    """The walk over one comma part."""

    def __init__(self, walk: Progress, tokens: list[Token], index: int) -> None:
        name_by_rating(tokens)
        self.walk, self.tokens, self.index = walk, tokens, index
        self.subject_before = (*walk.subject, *walk.topic_words)
        self.made: list[Reading] = []
        self.words: list[Token] = []
        self.places: list[Places] = []
        self.joined_places = False
        self.when: list[Token] = []
        self.reference = False
        self.change = False
        self.same_thing = False  # the words of the next value only say what the thing before does
        self.moment: Token | None = None  # the word (was, now) that says which end of a change comes next
        self.others: Token | None = None
        self.the_one = False  # "right one": the thing before at another place
        self.lead: list[Token] = []  # conditions in front of the first value, for all of the part
        self.reversed = False  # "14.2 V now, was 12.4": the older value stands behind
        self.passing = False  # the change was watched: only its end is held against limits
        self.announced = False  # a limit word stands here that no rule took
        self.blocked = False  # a preposition stands right before the next number
        self.conditions_lead = conditions_lead(tokens)
        self.at = 0
        self.base: dict[str, str] | None = None  # the positions in front of the first value
        self.postfix = is_postfix(tokens)
        if not self.postfix and places_end_early(tokens):
            self._doubt(WHICH_PLACE)
        self.words_behind = words_stand_behind(tokens)
        self.behind, unsure = named_behind(tokens) or ([], False)  # values led by the words of the one before
        if unsure:
            self._doubt(WHICH_NAME)
        self.waiting: list[Reading] = []  # readings that positions or words behind them may still name

    # ------------------------------------------------------------------ the walk
    def run(self) -> None:
        """Walk the part from left to right and add what it states to the walk."""
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            match token.letter:
                case "p":
                    self._positions()
                case "q":
                    self._values()
                case "C":
                    self._condition(token)
                    self.at += 1
                case "L":
                    self._limits(token)
                    self.at += 1
                case _:
                    self._other(token)
                    self.at += 1
        self._finish()

    def _other(self, token: Token) -> None:
        if token.letter in "vr":
            self._moment(token)
        elif token.letter in "xX":
            self.walk.done.left.append(replace(token, letter="x"))
            self._doubt(NOT_LIMITS if token.letter == "X" else "A number here can be read in more than one way.")
        elif token.letter == "H":
            self.walk.heading.append(token)
        elif token.letter == ":":
            self._heading()
        elif token.letter in "?lhsd":
            self.announced = self.announced or token.letter != "?"
            self.walk.done.unsure += [token] if token.letter == "?" else []
            self.words.append(token)
        elif token.letter == "P":
            self.blocked = True
            self.words.append(token)
            return
        elif token.letter == "e":
            self._rest(token)
        elif token.letter == "@" and self.tokens[self.at + 1 : self.at + 2] and self.tokens[self.at + 1].letter == "C":
            return  # "both at 25 C ambient": the condition holds its own marker or needs none
        elif token.text in EDGES and self.at and self.tokens[self.at - 1].letter == "p":
            return  # "inner edge", "left side": said by the position
        elif token.text == "or" and [one.letter for one in self.tokens[max(0, self.at - 1) : self.at + 2]] == list(
            "pwp"
        ):
            self._doubt(WHICH_PLACE)  # "front or rear pads 3 mm"
        elif token.letter in "wnyuzlhsdbBtoigk@c":
            self.words.append(token)
            self.blocked = bool(self.made) and names_next(self.tokens, self.at)
            return
        self.blocked = False

    def _rest(self, token: Token) -> None:
        """``others``, ``both``: what comes is of everything else, at no place named before."""
        self.walk.stack, self.walk.topic, self.others = {}, False, token
        if self.made and not self._amount_follows() and not any(one.letter == "p" for one in self.tokens):
            both = token.text in ("both", "all", "each")  # "headlamp R 12.9 V, grounds 0.08 V both": on no side
            kept = [pair for pair in self.made[-1].places if both and pair[0] != "side"]
            self.made[-1].places = tuple(kept)  # "1.8 mm RR, 0.9 the rest"

    def _heading(self) -> None:
        """``Generator: leg A 121 V, leg B 113 V``: the words in front of a colon name all behind it."""
        if self.words and not self.made and any(token.letter == "q" for token in self.tokens):
            self.walk.head = tuple(word for word in self.words if word.letter in "wn")

    def _moment(self, token: Token) -> None:
        """A word that says which end of a change comes next, or that what comes is none of today's readings."""
        self.moment = token if token.text in ("was", "were", "now") else None
        if token.letter == "v":
            self.reference = True
        else:
            self.change = True
            self.passing = token.text not in ("now", "then") and token.text[:1].isalpha()

    def _condition(self, token: Token) -> None:
        before = {one.letter for one in self.tokens[: self.at]}
        if "L" in before and not any(one.letter == "q" for one in self.tokens):
            return  # it belongs to the limits, which hold it themselves
        led = self.tokens[self.at - 1] if self.at else token
        told = any(one.held for reading in self.made[-1:] for one in reading.when)
        if told and led.letter == "L" and isinstance(led.held, GivenLimits) and token.text in led.held.when:
            return  # "12.4 kohm at 20 C, book 9.5 to 10.5 at 25 C"
        leads = not self.made and self._amount_follows()
        first = next((i for i, one in enumerate(self.tokens) if one.letter == "p"), -1)
        ahead = led.letter == "C" and self.at > 0  # "after 10 min at 50 km/h LF 64 C, RF 118"
        self.walk.lead = [*(self.walk.lead if ahead else []), token] if leads and self.at < first else []
        self.conditions_lead = self.conditions_lead or (leads and not self.words and not self.places)
        leading = self.conditions_lead and is_of_the_next(self.tokens, self.at)
        leading = leading or said_again(self.tokens, self.at, self.made)
        if self.made and not (self._amount_follows() and (self.words or leading)):
            own = self.made[-1]
            every = [*self.walk.done.readings, *self.made]
            alone = [own] if own.pair else list_behind(every)
            mates = own.series and not own.pair
            shared = [one for one in every if one.series == own.series and not one.when] if mates else alone
            shared = shared if own in shared else [own]
            for reading in shared if self._amount_follows() else self._closed_by(token, shared):
                reading.when.append(token)
                reading.own = True
        elif self.made and self._amount_follows():
            self.lead = []
            self.when.append(token)
        elif self._amount_follows():
            self.lead.append(token)
        elif self.words and self.walk.done.readings and is_of_fluid(self.words, token):
            self.words = []
            for reading in (one for one in self.walk.done.readings if one.part == self.walk.done.readings[-1].part):
                reading.when.append(token)
        elif self.walk.done.readings and not self.words and "x" not in {one.letter for one in self.tokens}:
            for reading in said_behind(self.walk, self.others, token):
                reading.when.append(token)
        elif not self.walk.done.readings and not self.words and token.letter == "C":
            self.walk.heading.append(token)  # "At 104 °C coolant, fan command 92 %"
        else:
            self.when.append(token)

    def _closed_by(self, token: Token, shared: list[Reading]) -> list[Reading]:
        """The readings that a condition at the end of the part is for: its list, or all that the part reads."""
        own = self.made[-1]
        apart = own.pair or any(one.when for one in self.made)
        led = token.held or token.text.split(" ")[0] in SAYING_HOW or is_whole_state(token)
        ends = token.text.split(" ")[0] in ("after", "before", "since", "once") and not own.places
        if len(self.made) > 1 and not apart and not ends and (led or own.series or own.places):
            return list(
                self.made
            )  # "LO 3.4 bar HI 9.8 bar at idle": how both were taken; "shut 0.6 V, open 3.9" is not
        said = token.held or token.text.split(" ")[0] in ("with", "w/", "while")
        mate = self.walk.done.readings[-1:] if said and follows_and(self.walk, self.tokens) else []
        return [*shared, *(one for one in mate if not one.when and one.amount.dimension == own.amount.dimension)]

    def _amount_follows(self) -> bool:
        return any(token.letter == "q" for token in self.tokens[self.at + 1 :])

    def _limits(self, token: Token) -> None:
        given = token.held
        assert isinstance(given, GivenLimits)  # noqa: S101
        alone = not any(one.letter == "q" for one in self.tokens)
        naming = [t.text for t in self.words if not all(says_what_is_wanted(word) for word in t.text.split())]
        own = given.own or (tuple(naming) if naming and not self.made and alone else ())
        if alone and not self.made and not naming:
            self.words = []
        if alone and not self.made:
            given = replace(given, at=tuple(pair for one in self.tokens if one.letter == "p" for pair in one.held))
        if own and not given.own:
            given = replace(given, own=own)
            self.words = []
        every = [
            one.text for one in self.tokens if one.letter in "ew" and one.text in ("both", "all", "each", "either")
        ]
        if alone and every and not given.when:
            given = replace(given, when=every[0])
        alone = alone or (closes_states(self.made, given) and token is self.tokens[-1])
        self.walk.done.limits.append(PlacedLimits(token, given, self.index, self.walk.clause, alone))

    # ------------------------------------------------------------------ positions
    def _positions(self) -> None:
        run, joined, self.at = run_from(self.tokens, self.at)
        going_on = (self.made and not self.postfix) or not self.walk.stack or not self.subject_before
        if not going_on and is_at_another_place(self.tokens, run, {token.text for token in self.subject_before}):
            self.walk.stack, self.base = {}, {} if self.made else None
        elif self.postfix and self.made and self.base is not None:
            self.walk.stack = dict(self.base)  # "68.06 top 68.03 mid": each value has a place of its own
        places = stacked(self.walk, run)
        if self.postfix and self.waiting:
            self._place_behind(places, joined=joined)
            return
        self.places, self.joined_places = places, joined
        if self.made and not self._amount_follows_at(self.at):
            if place_all(self.made, run):
                self.places = []

    def _amount_follows_at(self, at: int) -> bool:
        return any(token.letter == "q" for token in self.tokens[at:])

    def _place_behind(self, places: list[Places], *, joined: bool) -> None:
        group, self.waiting = self.waiting, []
        if joined and len(group) == 1 and len(places) > 1:
            _, places = run_of_places([group[0].token], places, each=False)  # "2.0 ohm pin 1 to pin 3"
        if len(group) > len("qq") and self.tokens[self.at : self.at + 1] and self.tokens[self.at].letter == "w":
            return  # "410 180 395 402 F RR drags": something else is said of that place
        if len(places) == 1:
            apart = len({one.name for one in group}) > 1  # "1/2 in left on the ends 1 in middle"
            for reading in group[-1:] if apart else group:
                reading.places, reading.own = places[0], True
        elif len(places) == len(group):
            for reading, place in zip(group, places, strict=True):
                reading.places, reading.own = place, True
        else:
            self._doubt(WHICH_PLACE)

    # ------------------------------------------------------------------ values
    def _values(self) -> None:
        self.base = dict(self.walk.stack) if self.base is None else self.base
        run, joins = self._run_of_values()
        if self.announced:
            self._doubt(NOT_LIMITS)
        if self.blocked:
            self.blocked = False
            # a time, a distance or a speed behind a preposition is told, not measured: it spoils nothing beside it
            spoils = [not is_told(token.amount) for token in run]
            self.walk.done.left += [replace(t, letter="x") if bad else t for t, bad in zip(run, spoils, strict=True)]
            return
        if is_set_to(self.words, changed=self.change) and self._was_read(run):
            told = self.words[-1].text in ("to", "set", "reset")  # "was 6.5 mm, set to 1.5"
            self.moment = self.moment or (replace(self.words[0], end=self.words[-1].end) if told else None)
            self.words, self.change, self.passing = [], True, False
        if not self.made and is_put_to(self.walk, run[0]):
            self.walk.done.left += [replace(token, letter="x") for token in run]
            return
        if self.reference and (now_follows(self.walk, self.tokens, self.at) or self._was_before(run)):
            self.reference = False
            self.reversed = bool(self.walk.done.readings) and not self.made
        if self.reference:
            self.reference, self.moment = False, None
            self.walk.done.left += run
            self.words = []
            return
        amounts = [token.amount for token in run]
        if len(run) > 1 and not (joins or self.places or amounts[-2].bare) and amounts[-1].bare:
            self.walk.done.left.append(replace(run.pop(), letter="x"))  # "ring 100 teeth 2 damaged"
            amounts.pop()
        if (
            len(run) > 1
            and not joins
            and len(self.places) < 2
            and not (is_list(amounts) or are_both_sides(self.places, amounts))
        ):
            loose = [token for token in run[:-1] if token.amount.bare and token.amount.shape == "whole"]
            self.walk.done.left += [replace(token, letter="x") for token in loose]
            for token in run:
                if token not in loose:
                    self._state([token])
            return
        self._state(run)

    def _was_before(self, run: list[Token]) -> bool:
        """``158 psi after rings, was 92``: of the thing that was just read, in a part of its own, its older value."""
        return self.moment is not None and not self.words and self._was_read(run)

    def _was_read(self, run: list[Token]) -> bool:
        """A reading that this one value may be another moment of stands in the part before."""
        last = self.walk.done.readings[-1:]
        if not last or self.made or len(run) > 1 or self.places or last[0].clause != self.walk.clause:
            return False
        return run[0].amount.bare or run[0].amount.dimension == last[0].amount.dimension

    def _run_of_values(self) -> tuple[list[Token], str]:
        run = [self.tokens[self.at]]
        joins = ""
        at = self.at + 1
        while at < len(self.tokens):
            token = self.tokens[at]
            following = self.tokens[at + 1] if at + 1 < len(self.tokens) else None
            if token.letter == "q" and is_aside(run[-1].amount, token.amount):
                break
            if token.letter == "q" and not self.reference:
                run.append(token)
                at += 1
            elif token.letter in "/j," and following is not None and following.letter == "q":
                joins += token.letter
                run.append(following)
                at += 2
            elif token.text == "or" and following is not None and following.letter == "q":
                self._doubt("Which of these two was it?")
                run.append(following)
                at += 2
            elif token.letter == "r" and following is not None and following.letter == "q" and len(run) == 1:
                self.at = at
                return run, joins
            else:
                break
        self.at = at
        return run, joins

    def _state(self, run: list[Token]) -> None:
        places = self.places
        if len(places) > 1 and len(run) == 1 and self.joined_places:
            each = self.at > 1 and self.tokens[self.at - 2].letter == "e"
            run, places = run_of_places(run, places, each=each)
        elif len(places) > 1 and len(places) != len(run):
            self._doubt(f"{len(places)} positions and {len(run)} values stand here: which belongs to which?")
            self.walk.done.left += run
            self.places = []
            return
        self.words, moments = take_moments(self.words, self.tokens[self.at :], self.walk)
        self.when += moments
        subject, own_words = self._named(run)
        self.change = self.change and not (
            own_words and not self.same_thing and not self.made and is_new(self.walk, subject)
        )
        if (not own_words or self.same_thing) and self.walk.topic_when:
            self.walk.lead = self.walk.lead or (list(self.walk.topic_when) if places else [])
            self.lead, self.walk.topic_when = [*self.walk.topic_when, *self.lead], []
        self.change = self.change and not (own_words and is_of_another(self.made, run[0], subject))
        place = places[0] if len(places) == 1 else ()
        if place and self.the_one and self.walk.done.readings:
            place, self.the_one = beside_the_one(place, self.walk.done.readings[-1]), False
        going_on = self.same_thing
        self.same_thing = False
        if not place and not places and self.walk.stack and self._place_goes_on(own_words and not going_on, subject):
            place = place_kept(self.walk.stack, subject, own_words=own_words)
        in_list = len(run) > 1 or places or self._goes_with(run)
        series = series_of(self.walk, self.made, subject, placed=bool(self.places)) if in_list else 0
        if self.made and self._goes_with(run):
            self.made[-1].series = series
        before = (self.made or self.walk.done.readings)[-1:]
        listed = series != 0 and before != [] and before[0].series == series
        listed = listed or (self.postfix and before != [] and not own_words and before[0].name == subject)
        newer = self._newer(run)
        if self.walk.lead and not self.when and listed:
            self.when = list(self.walk.lead)  # "hot cyl 1 111, cyl 2 64": said once, in front of the list
        wheres = places if len(places) > 1 else [place] * len(run)
        self._make(run, wheres, subject, series, newer, own_words=own_words)
        self.change, self.reversed, self.moment = False, False, None
        self.words, self.when, self.places = [], [], []

    def _make(
        self,
        run: list[Token],
        wheres: list[Places],
        subject: tuple[Token, ...],
        series: int,
        newer: list[Reading],
        *,
        own_words: bool,
    ) -> None:
        """Add the readings of a run, each at its place."""
        for i, (token, where) in enumerate(zip(run, wheres, strict=False)):
            own = bool(own_words or where or self.when or self.lead or len(run) > 1)
            pair = "after" if self.change else ""
            reading = Reading(
                token,
                token.amount,
                where,
                subject,
                subject,
                [*(one for one in self.lead if not (self.made and is_moment(one))), *self.when, *self.walk.heading],
                self.index,
                self.walk.clause,
                series,
                own=own,
                pair=pair,
            )
            before = (self.made or self.walk.done.readings)[-1:]
            if newer:
                set_older(newer[i], reading)
            if self.change and before:
                set_changed(before[0], reading, passing=self.passing)
            if self.moment is not None:
                reading.when.append(replace(self.moment, letter="C", held=()))
            self.made.append(reading)
            self.waiting.append(reading)

    def _newer(self, run: list[Token]) -> list[Reading]:
        """The readings of today that older values behind "was" belong to, one for each."""
        newer = self.walk.done.readings[-len(run) :] if self.reversed else []
        if newer and (len(newer) != len(run) or len({one.name for one in newer}) > 1):
            self._doubt("Which of the values before is each of these the older one of?")
            return []
        return newer

    def _named(self, run: list[Token]) -> tuple[tuple[Token, ...], bool]:
        """The words that name the next value, and whether they are its own."""
        if self.others is not None:
            words, self.others = (*self.walk.subject, self.others, *self.words), None
            self.walk.subject = self.walk.subject or tuple(self.words)
            return words, True
        if self.words and all(token.text in PRONOUNS or (self.places and token.text in ONES) for token in self.words):
            self.the_one = any(token.text in ONES for token in self.words)
            self.words = []
        if not self.words:
            return unnamed(self.walk, run, self.made, self.lead, self.when), False
        words = tuple(self.words)
        if self.made and run[0] in self.behind:
            self.made[-1].subject, self.made[-1].own = (*self.made[-1].subject, *words), True
            return self.made[0].name, False
        if self.walk.topic_words and not self.made and self._says_how(words):
            # "wiper motor current, low speed, glass wet 9.6 A": the part before names it, this one says how
            how = replace(words[0], letter="C", end=words[-1].end, held=())
            self.when, self.walk.topic_when = [*self.walk.topic_when, how, *self.when], []
            self.walk.subject = self.walk.topic_words
            return self.walk.subject, False
        if self.made and len(words) > 1 and not self.made[-1].own and self.made[-1].part == self.index:
            # "45% SOC CCA 210": the first word of a gap belongs to a value that has none of its own
            last = self.made[-1]
            last.subject, last.own, words = (words[0],), True, words[1:]
        if self.walk.topic_words and not any(token.letter == "w" for token in words):
            self.walk.subject = (*self.walk.topic_words, *words)  # "MAF signal, C104 pin 3, 0.96 V"
            return self.walk.subject, True
        texts = {token.text for token in self.walk.subject}
        # "oil pressure 20 psi; cold pressure axle 1 3 bar": another one
        carried = self.walk.subject is self.walk.carried
        other = run[-1].amount.dimension == "temperature" and in_another_unit(self.walk, run, anywhere=True)
        another = not self.made and is_another_thing(self.walk, words)
        if self.walk.subject and not carried and not other and not another and texts.issuperset(t.text for t in words):
            return self.walk.subject, True
        if self.made and self.words_behind:
            return self._given_back(words)
        if self.walk.subject and WHOLE_TOPICS & {token.text for token in words}:
            self.walk.stack = {}
            kept = tuple(t for t in self.walk.subject if t.text not in WHOLE_TOPICS)
            return (*kept, *words), True
        if (other_end := other_end_of(self.walk, words)) is not None:
            self.walk.subject = other_end
            return other_end, True
        self.same_thing = goes_on(self.walk, self.made, words)
        headed = () if any(token in words for token in self.walk.head) else self.walk.head
        self.walk.subject = with_thing(self.walk, words) if self.same_thing else (*headed, *words)
        return self.walk.subject, True

    def _goes_with(self, run: list[Token]) -> bool:
        """It is in a list with others that have their names behind them."""
        alike = {one.amount.dimension for one in (*self.behind, *run)}
        return run[0] in self.behind and len(alike) == 1

    def _given_back(self, words: tuple[Token, ...]) -> tuple[tuple[Token, ...], bool]:
        """``12.6 V battery 8.9 V starter``: the words behind a value are its own."""
        last = self.made[-1]
        last.subject, last.own = (*last.subject, *words), True
        return (), False

    def _says_how(self, words: tuple[Token, ...]) -> bool:
        """Words that end in a state name no thing: headlights on, high speed, windows closed."""
        ends = {words[-1].text, *(token.text.split(" ")[-1] for token in (*self.when, *self.lead) if not token.held)}
        return not ends.isdisjoint(STATES)

    def _place_goes_on(self, own_words: bool, subject: tuple[Token, ...]) -> bool:
        """A position said once as a topic goes on over a comma; one of a list does not."""
        if self.made:
            return self.made[-1].places != () and not own_words and len(self.made) < 2
        behind = self.tokens[self.at :]
        led = any(a.text in WHERE and b.letter == "w" for a, b in pairwise(behind))
        elsewhere = self.words_behind and led and bool(self.walk.done.readings)
        if own_words and ends_a_list(self.walk, subject):
            return False  # "headlight left 11.4 V, right 12.6, batt 13.8"
        return self.walk.topic and not elsewhere  # "0 V at pin 7, 24.8 at the fuse"

    # ------------------------------------------------------------------ the end of the part
    def _finish(self) -> None:
        walk = self.walk
        if self.made and self.words:
            last = self.made[-1]
            if self.words_behind or not last.subject:
                name_behind(walk, self.made, self.words, words_lead=self.words_behind)
                if not walk.subject:
                    walk.subject = last.subject
            else:
                last.subject = (*last.subject, *self.words)
        elif self.words and not self.made and told_how(self.walk, self.tokens):
            return
        elif self.words and not self.made:
            letters = {token.letter for token in self.tokens}
            limits = [token.held for token in self.tokens if token.letter == "L"]
            named = all(given.amounts == (given.nominal,) for given in limits)  # "bolts 120 Nm said, found 190"
            if letters & set("wn") and named:
                topic = tuple(token for token in self.words if token.letter in "wn")
                fresh = not any(r.clause == walk.clause for r in walk.done.readings)
                if fresh and walk.topic_words and topic and self._says_how(topic):
                    how = replace(topic[0], letter="C", end=topic[-1].end, held=())
                    walk.topic_when = [*walk.topic_when, how, *self.when]
                    return
                walk.subject = (*walk.topic_words, *topic) if fresh else topic or walk.subject
                walk.topic_words = walk.subject if fresh else ()
                walk.topic_when = [*walk.topic_when, *self.when] if fresh else []
        if self.made and self.when:
            self.made[-1].when += self.when
        self._keep_places()
        walk.done.readings += self.made

    def _keep_places(self) -> None:
        """The positions that go on into the next part, or that close the line."""
        walk = self.walk
        last = all(one.letter != "q" or one.start <= self.tokens[-1].start for one in walk.line.tokens)
        if last and not self.made and not self.words and self.joined_places and len(self.places) > 1:
            close_by_place(walk, tuple(pair for place in self.places for pair in place))  # "60 ohm, pins 6 and 14"
        elif not self.made and self.places and len(self.places) == 1 and not self.postfix:
            walk.topic = not (self.words and walk.done.readings and all(is_state(one.text) for one in self.words))
            if not self.words and self.index == len(walk.done.parts) - 1:
                close_by_place(walk, self.places[0])
        elif self.made:
            listed = len({one.places for one in self.made if one.places}) > 1
            walk.topic = not listed and not self.postfix and any(one.places for one in self.made)
            if self.postfix:
                coarse = {way: word for way, word in walk.stack.items() if way in COARSE_FIRST}
                walk.stack = coarse | (self.base or {})  # "1.25 oz LF outer, 0.5 oz inner"
            elif listed:
                ends = {dict(one.places).get("end") for one in self.made}
                both = ends.pop() if len(ends) == 1 else None
                walk.stack = {"end": both} if both else {}  # "front pads LH 4 ..., RH 7": RH is at the front too

    def _doubt(self, text: str) -> None:
        self.walk.done.doubts.setdefault(self.index, text)
