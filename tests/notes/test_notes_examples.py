"""Whole invented jobs: every line reads as meant and is written back letter for letter."""

from pathlib import Path

import pytest

from support.facts import in_parts, said
from ticket.job.kinds import (
    Cause,
    Code,
    Did,
    Fact,
    Found,
    Later,
    Note,
    Offer,
    Proof,
    Ruled,
    Says,
    Told,
    Used,
)  # fmt: skip
from ticket.job.values import Answer, Due, Limits, Quantity, Ref, Run, Value
from ticket.notes.read import read
from ticket.notes.write import write

HERE = Path(__file__).parent
RATES = ("brakes", "electrical", "diagnosis", "engine", "hybrid", "service")
FAN_DRIVE = (HERE / "fan_drive_lines.txt").read_text(encoding="utf-8").splitlines()
EXAMPLES = [
    line for line in (HERE / "example_lines.txt").read_text(encoding="utf-8").splitlines() if not line.startswith("## ")
]
# Fields are written in the order of their declaration.
REORDERED = {
    "did: 1.6 h replace front pads and both front rotors, R&R LF caliper bracket, clean and lube RF slide pins; "
    "rate brakes; for 8": "did: 1.6 h replace front pads and both front rotors, R&R LF caliper bracket, clean and "
    "lube RF slide pins; for 8; rate brakes"
}


def one(line: str) -> Fact:
    (draft,) = read(line, rates=RATES)
    return draft.fact


def run(number: str, unit: str, limits: Limits | None = None, label: str = "") -> Run:
    return Run((Value(number, label),), unit, limits)


@pytest.mark.parametrize("line", [*FAN_DRIVE, *EXAMPLES])
def test_every_line_is_written_back_and_asks_nothing(line: str) -> None:
    (draft,) = read(line, rates=RATES)
    assert write(draft.fact, concern=draft.concern, shop_only=draft.shop_only) == REORDERED.get(line, line)
    assert draft.remarks == ()
    assert draft.line == line


def test_the_fan_drive_job_reads_as_meant() -> None:
    phone = Told(who="Ada Fenn", way="phone", address="555-0134", answers=(Answer("yes", (Ref(7),)),), total="228.40")
    meant: list[Fact] = [
        Says(text="fan roars all the time, message on the dash since Tuesday; worse on hills"),
        Code(code="P1A30", sub="7B", unit="fan control", status="stored"),
        Found(what="fan-drive reservoir level", run=run("-14", "mm", Limits(low="-3", high="0", source="maker"))),
        Found(
            what="engine oil level", run=run("+6", "mm", Limits(low="-5", high="0")), seen="smells of hydraulic fluid"
        ),
        Ruled(text="outside leak", reason="housing and hoses dry after 20 min at idle"),
        Cause(
            text="fluid passing the shaft seal between fan drive and engine", sure="likely", refs=(Ref(3), Ref(4))
        ),
        Offer(
            text="change engine oil, refill and bleed fan drive", refs=(Ref(3), Ref(4)), judgement="do now",
            estimate="228.40",
        ),
        phone,
        Did(hours="1.2", text="change engine oil, refill and bleed fan drive", refs=(Ref(7),)),
        Used(amount="0.9", unit="L", part="FD-46", text="fan-drive fluid", price="21.40"),
        Used(amount="5.2", unit="L", text="5W-30 engine oil", price="8.90"),
        Used(amount="1", unit="x", part="4410-77", text="drain washer", condition="new", price="1.85"),
        Proof(of=Ref(3), run=run("-1", "mm")),
        Proof(what="road test 12 km, fan quiet; codes read again, none stored"),
        Later(
            text="replace shaft seal", judgement="may wait", because="it may have seeped slowly over 160,000 km",
            risk="fan may stop again", due=Due(Quantity("1500", "km"), Quantity("2", "months")), estimate="640",
        ),
        Note(text="seal kit is a two-day order, K. knows the part number"),
    ]  # fmt: skip
    assert [in_parts(draft.fact) for draft in read("\n".join(FAN_DRIVE))] == [in_parts(fact) for fact in meant]
    assert [draft.shop_only for draft in read("\n".join(FAN_DRIVE))] == [False] * 15 + [True]


MEANT = {
    "proof: 3 now cyl 3 176 psi": Proof(of=Ref(3), run=run("176", "psi", None, "cyl 3")),
    "ruled: turbo; shaft play 0.03 mm (max 0.10 per maker), wheel spins free with no rub marks": Ruled(
        text="turbo", reason="shaft play 0.03 mm (max 0.10 per maker), wheel spins free with no rub marks"
    ),
    "code: none in any of the 9 control units": Code(code="none", unit="in any of the 9 control units"),
    "code: SPN 102 FMI 18 engine computer, active, 14 times": Code(
        code="SPN 102", sub="FMI 18", unit="engine computer", status="active", times="14 times"
    ),
    "told: Tam Ollery, Fernhollow Haulage, by email, yes; total 340.00": Told(
        who="Tam Ollery, Fernhollow Haulage", way="email", answers=(Answer("yes"),), total="340.00"
    ),
    "told: Hanne Vostry in person, yes; no 7, wants to wait until next month; total 148.00": Told(
        who="Hanne Vostry", way="in person", answers=(Answer("yes"), Answer("no", (Ref(7),))),
        words="wants to wait until next month", total="148.00",
    ),
    "told: Osk Brandell in person, yes to warranty repair": Told(
        who="Osk Brandell", way="in person", words="yes to warranty repair"
    ),
    "did: 1.5 h diagnosis; rate diagnosis": Did(hours="1.5", text="diagnosis", rate="diagnosis"),
    "used: 4.3 L OL-5 engine oil @ 8.20/L": Used(amount="4.3", unit="L", text="OL-5 engine oil", price="8.20"),
    "used: 2 x CL-0415 wiring clip, new @ 0.00; pay shop": Used(
        amount="2", unit="x", part="CL-0415", text="wiring clip", condition="new", price="0.00", pays="shop"
    ),
    "later: read the codes again; may wait; because the fault came and went before; in 500 mi or 3 weeks; est 0": Later(
        text="read the codes again", judgement="may wait", because="the fault came and went before",
        due=Due(Quantity("500", "mi"), Quantity("3", "weeks")), estimate="0",
    ),
    "later: replace crankshaft sensor; may wait; because no reading points to it; risk: engine may stop again; "
    "watch: engine stops again; est 210": Later(
        text="replace crankshaft sensor", judgement="may wait", because="no reading points to it",
        risk="engine may stop again", watch="engine stops again", estimate="210",
    ),
}  # fmt: skip


MEASURED = {
    "found: front pads LF inner 1.9, LF outer 4.2, RF inner 4.4, RF outer 4.5 mm (min 3.0 per maker)": [
        "pads, left front inner: 1.9 mm (min 3.0 per maker)", "pads, left front outer: 4.2 mm (min 3.0 per maker)",
        "pads, right front inner: 4.4 mm (min 3.0 per maker)", "pads, right front outer: 4.5 mm (min 3.0 per maker)",
    ],
    "found: rotor LF thickness 21.2 mm (min 22.0 per maker), deep grooves": [
        "rotor thickness, left front: 21.2 mm (min 22.0 per maker)", "seen: deep grooves",
    ],
    "found: compression cyl 178 175 92 180 psi (min 130 per maker)": [
        f"compression, cylinder {place}: {value} psi (min 130 per maker)"
        for place, value in enumerate((178, 175, 92, 180), 1)
    ],
    "found: leak-down cyl 3 62 % (max 20), air heard at intake": [
        "leak-down, cylinder 3: 62 % (max 20)", "seen: air heard at intake",
    ],
    "found: inverter temperature, after 10 km 91 degC (max 70)": [
        "inverter temperature: 91 degC [after 10 km] (max 70)",
    ],
    "found: charge air cooler pressure loss in 15 s 12 psi (max 5 per maker)": [
        "charge air cooler pressure loss: 12 psi [in 15 s] (max 5 per maker)",
    ],
}  # fmt: skip


@pytest.mark.parametrize(("line", "stated"), MEASURED.items())
def test_findings_of_the_examples_state_their_measurements(line: str, stated: list[str]) -> None:
    assert line in EXAMPLES
    assert said(one(line)) == stated


@pytest.mark.parametrize(("line", "fact"), MEANT.items())
def test_telling_lines_of_the_examples_read_as_meant(line: str, fact: Fact) -> None:
    assert line in EXAMPLES
    assert in_parts(one(line)) == in_parts(fact)
