"""Words and orders that the walk over one comma part asks for."""

from ticket.notes.finding.tokens import Amount

PRONOUNS = frozenset(
    {
        "it",
        "that",
        "thats",
        "that's",
        "this",
        "these",
        "they",
        "them",
        "its",
        "it's",
        "and",
        "but",
        "so",
        "is",
        "are",
        "the",
    }
)
"""Words that name nothing of their own: the subject goes on."""
ONES = frozenset({"one", "ones"})
"""Beside a position they stand for the thing named before: ``right one less than 1/32``."""
SYSTEMS = frozenset({"charging"})
"""Conditions that are measured as a thing of their own where another thing was read before them."""
EDGES = frozenset({"edge", "edges", "shoulder", "side", "sides", "corner", "end", "band"})
WHOLE_TOPICS = frozenset({"total", "cross", "diff", "difference", "average", "avg", "spare", "sum"})

COMPARING = frozenset(
    "imbalance unbalance balance difference diff differential cross variation spread split delta apart".split()
)
"""What compares the sides is of both of them."""

NOT_LIMITS = "These limits were not understood. Write min 22.0, max 0.05, or 22.0 to 24.0 behind each reading."


WHICH_PLACE = "Which value belongs to which position?"
FINER = frozenset({"depth", "level", "valve"})
"""Places within a place: they go on with the one before whatever is measured there."""
CORNERS = ("axle", "end", "side", "depth", "level")
COARSE_FIRST = ("axle", "end", "bank", "side")


def before_clash(start: dict[str, str], directions: list[str]) -> dict[str, str]:
    """The positions that still hold: those coarser than the first direction that is said again."""
    order = [*(d for d in COARSE_FIRST if d in start), *(d for d in start if d not in COARSE_FIRST)]
    kept: dict[str, str] = {}
    for direction in order:
        if direction in directions:
            break
        kept[direction] = start[direction]
    return kept


STATES = frozenset(
    "on off wet dry open closed unplugged plugged connected disconnected running stopped engaged "
    "released speed load idle "
    "locked unlocked asleep awake charged lit up down raised lowered in out loaded unloaded".split()
)


DOINGS = frozenset(
    "got gets get took takes take gives gave give tests tested reads read shows showed show drops dropped dropping"
    " falls fell goes go went going came comes coming up down back sat sits sitting held holds holding hold stuck"
    " pulls pulled pulling draws drew drawing does doing did runs ran running makes made opens opened opening closes"
    " closed closing shuts shut shutting rises rose climbs climbed settles settled kicks kicked cuts cut lifts lifted"
    " lowers lowered raises raised starts started stops stopped moves moved swings swung peaks peaked hits hit reached"
    " reaches measures measured sags sagged recovers recovered drags dragged spins spun turns turned builds built let"
    " cranks cranked bleeds bled decays decayed creeps crept sinks sank recovers loses"
    " lets drifts drifted slows slowed only still just then now it its it's and but at to in out on off"
    " of the a is are was were has have had".split()
)
"""Words for what a thing does or is: they name no thing of their own, so the one named before goes on."""


SETTING = frozenset(
    "set reset aired filled pumped inflated adjusted adj let topped raised dropped lowered brought shimmed trimmed"
    " torqued tightened charged turned wound backed opened closed screwed all up down back to".split()
)
"""Words for what was done to a value that was just read: ``aired to 100`` tells the new one."""
COLOURS = frozenset(
    "red white blue yellow green brown black orange pink violet grey gray purple brn blk blu grn yel wht org gry u v w"
    " first second third".split()
)
"""Words for one wire, phase or one of several like things of the thing named before."""


CIRCUIT_STATES = frozenset({"open circuit", "open", "disconnected", "unplugged", "dry", "static"})
"""States that a place may be told to be in instead of a figure."""


SAYING_HOW = frozenset("at @ with w/ while during under in".split())
"""Words that open a condition of all that stands before it; a bare state is of the last value alone."""


def is_list(amounts: list[Amount]) -> bool:
    """``120 125 60 122 psi``: bare numbers closed by one unit, or all bare."""
    if len(amounts) < 2:
        return False
    bare = [amount.bare or amount.shape == "32nds" for amount in amounts]
    same = {amount.dimension for amount in amounts if amount.dimension}
    if (
        all(amount.shape == amounts[0].shape for amount in amounts)
        and len(same) == 1
        and not any(a.bare for a in amounts)
    ):
        return True
    return all(bare[:-1]) and len(amounts) > 2
