"""What was done: by its name, behind its thing, with its parts, and without a charge."""

import pytest
from story_jobs import sentences, told_of


def did(*lines: str) -> list[str]:
    return sentences(told_of("says: noise\n" + "\n".join(lines)), "did")


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["cause: worn shoes; sure", "did: 0.7 h brake check"], ["We did a brake check."]),
        (["did: 1 h full service, oil and filter, cabin filter"],
         ["We did the full service: oil and filter, cabin filter."]),
        (["did: 0.4 h both batteries", "used: 2 x 31-850 battery 850 CCA, new @ 187.00"],
         ["We fitted both batteries.", "This took two new batteries 850 CCA."]),
        (["did: 1.6 h block heater, coolant back in", "used: 1 x 66-031 block heater, new @ 92.00"],
         ["We fitted the block heater and put the coolant back.", "This took one new block heater."]),
        (["did: 1.1 h L outer tie rod end, toe set", "used: 1 x 51-207 outer tie rod end, new @ 64.20"],
         ["We fitted the left outer tie rod end and set the toe.", "This took one new outer tie rod end."]),
        (["did: 0.6 h refit thermostat housing, new gasket; no charge"],
         ["We put the thermostat housing back, with a new gasket.", "There is no charge for this work."]),
        (["did: 0.5 h block heater, coolant back in"], ["Block heater, coolant back in."]),
        (["used: 6.6 L 5W-30 @ 7.90"], ["We used 6.6 liters of 5W-30 oil."]),
    ],
)  # fmt: skip
def test_work_is_told(lines: list[str], told: list[str]) -> None:
    assert did(*lines) == told


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("driveshaft runout 1.6 mm (max 0.5), dent 30 cm ahead of u-joint",
         "Driveshaft runout 1.6 mm (no more than 0.5 mm is allowed: too much), dent 30 cm ahead of u-joint."),
        ("rotor right 24.6 mm scored, left 25.4 mm (min 25.0)", "24.6 mm is too thin; at least 25.0 mm is needed."),
        ("shoe lining LR 1.2 mm RR 2.6 mm (min 1.6)", "left rear 1.2 mm (too thin); right rear 2.6 mm"),
        ("battery 505 CCA, was 530 in Aug (min 440)", "505 cold cranking amps is within limits."),
    ],
)  # fmt: skip
def test_a_verdict_stands_with_its_figure_in_the_word_of_its_thing(line: str, told: str) -> None:
    assert any(told in one for one in sentences(told_of(f"says: noise\nfound: {line}"), "found"))
