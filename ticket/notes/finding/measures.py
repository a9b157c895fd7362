"""Words for what is measured of a thing, by the dimensions it is measured in."""

MEASURES = {
    "length": "play runout run-out endplay end-play backlash travel stroke sag gap clearance wear worn oval ovality"
    " taper offset lash slack lift bore dia diameter od id thick thickness wide width deep depth long length high"
    " height float free slop bent warp stretch protrusion standout",
    "current": "draw current amps",
    "voltage": "voltage supply volts drop ripple",
    "resistance": "resistance",
    "pressure": "pressure press boost vac vacuum drop",
    "flow": "flow return delivery leakage",
    "volume": "return leakage leak-off leakoff capacity",
    "temperature": "temp temperature",
    "torque": "torque preload",
    "rotation": "speed",
    "force": "force effort preload",
    "share": "load wear soh soc duty",
}
"""Words for a measure, by what they are measured in. Common practice, no source."""
DIMENSIONS: dict[str, set[str]] = {}
for _dimension, _words in MEASURES.items():
    for _word in _words.split():
        DIMENSIONS.setdefault(_word, set()).add(_dimension)


SAID_TO_BE_READ = {
    dimension: frozenset(words.split())
    for dimension, words in {
        "torque": "torque torques preload breakaway break breaks broke drag rotating rotation rotates rolling turning"
        " turns resistance loose loosened let lets slips slipped came cracked moved moves undone undid starts friction"
        " found read reads reading measured residual only output clutch",
        "volume": "return returned returns leak leaks leaked leaking leakage leakoff leak-off bleed lost loss loses"
        " losing drained drains drain out came comes got recovered pulled took takes low short over down missing"
        " delivery delivered delivers delivering flow flows consumption burns burning burnt uses using spilled weeps"
        " drips dripped collects collected measured level pump pumps dosing dosed injector injectors nozzle output"
        " only made makes",
        "mass": "weight weighs weighed recovered pulled lost leaked out off imbalance unbalance balance unbalanced"
        " short low light heavy over got came tension preload pull pulls effort only found holds drag scale reads"
        " measured soot ash",
        "force": "pull pulls pulled effort force drag tension preload spring pedal lever holds held lets let go goes"
        " slips brake handbrake roller imbalance lift lifts opens moves only found reads measured push",
        "power": "draw draws drawing output power made makes dyno pulls consumption takes reads measured",
    }.items()
}
"""Words that say an amount was measured, of what things are mostly filled, tightened, loaded or rated with.

Common practice, no source. Of every other dimension a figure beside a thing is a reading without such a word.
"""


def is_length(words: list[str]) -> bool:
    """Whether the words name what is measured as a length and as nothing else, or a part that wears."""
    return any(DIMENSIONS.get(word) == {"length"} or word.removesuffix("s") in _WORN for word in words)


_WORN = frozenset("pad lining shoe rotor disc disk drum runout run-out".split())


STANDING = frozenset(
    "oil level coolant fluid water atf fuel def adblue electrolyte reservoir tank sump dipstick stick bottle res lube"
    " washer height ride pedal acid header expansion".split()
)
"""What stands so high below its mark. Common practice, no source."""


POUNDS = frozenset({"lb", "lbs", "pound", "pounds"})


def is_pressure(words: list[str]) -> bool:
    """``boost 24 lbs``: of a named pressure a pound is one on each square inch; of a force or a weight it is not."""
    said = {word for text in words for word in text.split(" ")}
    return bool(said & _PRESSED) and not said & _WEIGHED


_PRESSED = frozenset("pressure pressures press boost compression psi".split())
_WEIGHED = frozenset("force weight load spring pedal effort pull torque crush scale".split())
