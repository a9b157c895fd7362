"""What a writer may say in place of a sentence: refused, not proved, or proved by the entries it rests on.

The judge does not know how a sentence was made; it sees words and entries. Refused is what contradicts a typed line:

==========  ========================================================================================
inside      what stays inside, an answer turned round, outcomes nobody typed, *both* and *all*, blame, frames
certainty   a hedge lost or put in
danger      a danger word of the risk gone or weakened, another judgement
figure      a figure not typed, a limit told as a reading, a figure with another thing, side or way
verdict     a verdict word against the limits
side        a side not typed, or on a noun that was typed with another one
role        a thing told as what something does, a doing told as a thing
state       a state said of another thing
work        work nobody did, or that is still to do; a part nobody typed as its object
denial      a *no* gone or come
==========  ========================================================================================

Proved is what draws each clause from one typed piece, in order (:mod:`ticket.story.judge.proved`). All else is not
proved: a person may keep it, and says so with a second key. Not seen: knowledge of the trade, two honest readings.
"""

from ticket.story.judge.answer import NOT_PROVED, PROVED, REFUSED, Answer, Finding
from ticket.story.judge.reworded import judge

__all__ = ["NOT_PROVED", "PROVED", "REFUSED", "Answer", "Finding", "judge"]
