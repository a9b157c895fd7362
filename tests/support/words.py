"""The invented workshop the random tickets come from: things, readings, work, parts. Nothing here is real."""

from typing import NamedTuple

PEOPLE = ("Bo Karst", "Lis Omar", "Tarn Wedd")
CUSTOMERS = ("Ada Fenn", "Runa Vask", "Ivo Tammel", "Fernhollow Haulage")
VEHICLES = ("2019 Corvane Petrel 1.6", "2014 Halmer Dray 8t", "2021 Ostrel Mote EV", "old grey van")
COMPLAINTS = (
    "fan roars all the time, message on the dash since Tuesday; worse on hills",
    "grinding from the front when braking, since last weekend",
    "battery light flickers at idle with the headlights on",
    "shakes at idle and the engine light flashes; worse when cold",
    "60,000 km service is due; nothing wrong noticed",
    "wipers stop half way in heavy rain",
    "cust states heater blows cold, 2nd time this winter",
)
CODES = (
    ("P0562", "16", "engine computer"), ("P0303", "", "engine computer"), ("P0480", "1F", "engine computer"),
    ("P1A30", "7B", "fan control"), ("C1234", "", ""), ("SPN 102", "FMI 18", "engine computer"),
)  # fmt: skip
THINGS = (
    "fan motor", "radiator hose", "coolant pump", "washer pump", "cabin blower", "ignition coil", "headlamp plug",
    "battery cable", "window switch", "exhaust clamp", "fuel filter", "brake hose", "door latch", "thermostat",
)  # fmt: skip
FAULTS = ("seized", "torn", "loose", "corroded", "cracked", "worn", "stuck")
STATES = (
    "dry after 20 min at idle", "torn at its bead, clamp loose", "green with corrosion", "no leaks", "not charging",
    "clean, contacts tight", "smells of fuel", "seems loose", "slightly swollen near the clamp", "no damage", "ok",
)  # fmt: skip
OUTCOMES = (
    "fan quiet", "battery light off", "no grinding, no pull", "idle smooth", "no warning", "engine did not stall",
    "codes read again, none stored", "noise is still there",
)  # fmt: skip
REASONS = (
    "turns freely by hand",
    "clicks and its contact drop is normal",
    "no bubbles in the coolant",
    "it has voltage",
)
BECAUSE = ("it may have seeped slowly over 160,000 km", "hose is still dry", "rear pads are still above their limit")
RISKS = ("fan may stop again", "hose may burst and engine may overheat", "car may slide on a wet road")
WATCHES = ("you hear a scraping noise", "needle climbs or you smell coolant", "")
VERBS = ("replace", "clean", "repair", "check", "adjust", "fit new", "R&R", "secure", "frobnicate", "repl")
PARTS = ("4410-77", "PX-2207", "RT-5518", "CL-0415", "HG-3301", "OF-118")
FLUIDS = (("L", "OL-5", "engine oil"), ("qt", "CL-18", "coolant"), ("L", "FD-46", "fan-drive fluid"))

CORNERS = ("LF", "RF", "LR", "RR")


class Gauge(NamedTuple):
    """A kind of reading: least and most in the last digit, decimals, and the bracket as (field, text) pairs."""

    what: str
    unit: str
    least: int
    most: int
    decimals: int
    limits: tuple[tuple[str, str], ...]
    labels: tuple[str, ...] = ()


GAUGES = (
    Gauge("pads", "mm", 8, 120, 1, (("low", "3.0"), ("source", "maker")), CORNERS),
    Gauge("tire tread", "mm", 8, 90, 1, (("low", "1.6"), ("source", "law")), CORNERS),
    Gauge("rotor thickness", "mm", 205, 240, 1, (("low", "22.0"),), ("LF", "RF")),
    Gauge("tire pressure", "psi", 18, 40, 0, (("low", "30"), ("high", "36")), CORNERS),
    Gauge("compression", "psi", 80, 190, 0, (("low", "130"), ("spread", "25"), ("spread_unit", "%")), ("cyl",)),
    Gauge("battery rest voltage", "V", 112, 132, 1, (("low", "12.4"),)),
    Gauge("voltage drop, starter cable", "V", 0, 210, 2, (("high", "0.2"),)),
    Gauge("voltage at battery, engine running", "V", 120, 150, 1, (("low", "13.8"), ("high", "14.8"))),
    Gauge("coolant level", "mm", -20, 6, 0, (("low", "-10"), ("high", "0"))),
    Gauge("fuel pressure, idle", "psi", 35, 70, 0, (("low", "50"), ("high", "60"))),
    Gauge("fan current, high speed", "A", 120, 240, 1, (("low", "15.0"), ("high", "21.0"))),
    Gauge("inverter temperature, after 10 km", "degC", 40, 110, 0, (("high", "70"),)),
    Gauge("cable insulation", "MOhm", 2, 40, 1, (("low", "1.0"),)),
    Gauge("belt deflection", "mm", 85, 108, 1, (("nominal", "9.6"), ("tol", "0.2"))),
    Gauge("idle speed, hot", "rpm", 600, 950, 0, ()),
)

HOSTILE = (
    "\x1b[31mred\x1b[0m [bold]x[/bold] <script>alert(1)</script>",
    "=1+1; DROP TABLE entry; --",
    "“quoted” ‘twice’ \"and\" 'again'",
    "a\u202eb\u200bc\u00ad\ufeff \U0001f527 \ufffd",
    "never always all none not no because safe leak fixed 12 V $5 P0300-11 2026-03-02 14:10",
    "x" * 300,
    "1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1",
    "; because ; risk: in 5 km ; from 1",
    "٣ مم − ½ ² Ⅻ １２Ｖ",
    "line one\nline two\n\n# line three",
)
