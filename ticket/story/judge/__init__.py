"""What a writer may say in place of a sentence: refused, not proved, or proved by the entries it rests on.

The judge does not know how a sentence was made; it sees words and entries. Refused is what contradicts a typed line:

==========  ========================================================================================
inside      what stays inside, an answer turned round, a good end where it ended badly or only waits, blame, frames
certainty   a hedge lost or put in, what may happen told as what did, what the customer said told as found
danger      something mild in a danger's place, another judgement, a ban told as allowed, a risk denied
figure      a figure, code or label in no source, another unit, count or number, figures that changed places, a bound
            told as a reading
verdict     a verdict word against the limits
side        a side where the other one was typed
state       a state said of another thing, or of both where one was typed otherwise
turned      the opposite of a typed word, another status or way, another order of time, cause and consequence swapped
work        work that is offered, deferred, refused or ruled out, that excludes the typed one, or typed of other things
denial      a *no* gone or come, what was ruled out told as so
==========  ========================================================================================

What is only not found in the typed lines is no ground to refuse: it is not proved, with its reason.
Proved is what draws each clause from one typed piece, in order (:mod:`ticket.story.judge.proved`). All else is not
proved: a person may keep it, and says so with a second key. Not seen: knowledge of the trade, two honest readings.
"""

from ticket.story.judge.answer import NOT_PROVED, PROVED, REFUSED, Answer, Finding
from ticket.story.judge.reworded import judge

__all__ = ["NOT_PROVED", "PROVED", "REFUSED", "Answer", "Finding", "judge"]
