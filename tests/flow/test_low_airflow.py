"""The walk of low airflow: order of work, limits of the trade, findings, what is handed over."""

from decimal import Decimal

import pytest
from outdoor_walks import Gone, walk_with

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases, figures, mark_walk, weight_of
from assistant.bench.running import Runner
from assistant.bench.walking import Case
from assistant.flow.conditions import first_conditions
from assistant.flow.judging import AtLeast, AtMost, Within
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.model import JudgedStep, MeasureStep, QuantityKind, SpokenStep, WorkOutStep
from assistant.quantity import Quantity, Unit
from assistant.trade import duct, static_pressure
from assistant.walk.state import State, Taken, Turn
from assistant.walk.weighing import weigh

ELECTRIC, GAS = "ducted_3t_electric_230", "ducted_2_5t_gas_115"
HIGH, COOLING_ONLY = "ducted_5t_electric_5000ft", "ducted_2t_cooling_115"


@pytest.fixture(scope="module")
def flow() -> Flow:
    """Give the flow."""
    return open_flow("low-airflow")


@pytest.fixture(scope="module")
def ground(flow: Flow) -> Ground:
    """Give the flow on its units."""
    return lay_ground(flow)


def walked(unit: str, fault: str, complaint: str, **words: str) -> Gone:
    """Walk a case, with other words at some steps."""
    return walk_with("low-airflow", Case(unit, fault, complaint), words)


def outcome(flow: Flow, step: str, reading: Quantity, **known: Quantity) -> str:
    """Give the outcome that decides a reading at a step."""
    values = {name: Taken(one, None) for name, one in known.items()}
    state = State(step, Turn.ANSWER, first_conditions(flow.vocabulary), values=values)
    deciding = weigh(flow, state, step, reading).deciding
    assert deciding is not None
    return deciding.outcome


def inches(value: str) -> Quantity:
    """Give inches of water."""
    return Quantity(Decimal(value), Unit.IN_WC)


def spoken(flow: Flow, step: str) -> SpokenStep:
    """Give a step that says something."""
    found = flow.steps[step]
    assert isinstance(found, SpokenStep)
    return found


def limit_of(flow: Flow, step: str, kind: type[AtMost] | type[AtLeast]) -> float:
    """Give the limit of a step's rule."""
    found = flow.steps[step]
    assert isinstance(found, JudgedStep)
    (rule,) = [one for one in found.judge if isinstance(one, kind)]
    return float(str(rule.limit))


def test_every_fault_is_found_and_told_from_the_others(ground: Ground) -> None:
    """On each unit each fault ends in one repair, or is sent to the flow that has it."""
    cases = list(fault_cases(ground, [None]))
    marks = [
        mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in Runner(ground).run(cases)
    ]
    found = figures(marks)
    assert (1.0, 1.0, 0.0) == (found.detected, found.isolated_to_one, found.wrong)
    assert set(ground.faults) == {mark.walked.case.fault for mark in marks}


@pytest.mark.parametrize(
    ("value", "most", "said"),
    [
        ("0.46", "0.5", "low_enough"),
        ("0.50", "0.5", "unsure"),
        ("0.51", "0.5", "unsure"),
        ("0.55", "0.5", "high"),
        ("0.62", "0.8", "low_enough"),
        ("0.88", "0.8", "high"),
    ],
)
def test_the_plate_s_static_governs(flow: Flow, value: str, most: str, said: str) -> None:
    """The total is judged by the plate: 0.5 on one unit, 0.8 on another.

    Source: TRADE section 4: the nameplate maximum governs (often 0.5, some 0.8).
    """
    assert said == outcome(flow, "total_static", inches(value), static_max=inches(most))


def test_a_plate_without_a_static_counts_as_half_an_inch(flow: Flow) -> None:
    """The default is 0.5, in the judging and in the words.

    Source: TRADE section 4, common practice, no source.
    """
    for step in ("total_static_usual", "total_again_usual"):
        assert limit_of(flow, step, AtMost) == static_pressure.BUDGET_TOTAL_INWC
    assert "zero point five" in spoken(flow, "static_max").help
    gone = walked(ELECTRIC, "air_return_small", "weak_air", static_max="not printed")
    assert "return_small" == gone.findings[0]


def test_shares_of_the_trade(flow: Flow) -> None:
    """A filter well over a fifth and a coil well over two fifths of the total are suspects.

    Source: TRADE section 4: filter over 20 %, coil over 40 % (common practice, no source). A sound
    one reads a little more with three readings' errors on top, so the walk acts from 25 and 50.
    """
    suspect = static_pressure.SUSPECT_SHARE_PERCENT
    assert suspect["filter"] < limit_of(flow, "filter_share", AtMost) <= suspect["filter"] + 5
    assert suspect["coil"] < limit_of(flow, "coil_share", AtMost) <= suspect["coil"] + 10


def test_airflow_and_sizes_of_the_trade(flow: Flow) -> None:
    """350 cfm a ton at least, 400 nominal, 500 fpm at a grille, 14 to 24 degrees of cooling drop.

    Source: TRADE section 4; 350 minimum California Title 24; the rest common practice, no source.
    """
    assert limit_of(flow, "per_ton", AtLeast) == duct.CFM_PER_TON[0]
    for step in ("grille_wants", "trunk_wants"):
        found = flow.steps[step]
        assert isinstance(found, WorkOutStep)
        assert found.given["per_ton_cfm"] == Decimal(int(duct.NOMINAL_CFM_PER_TON))
    passes = flow.steps["grille_passes"]
    assert isinstance(passes, WorkOutStep)
    assert passes.given["face_fpm"] == Decimal(int(duct.FACE_VELOCITY_FPM["return_grille"][1]))
    again = flow.steps["drop_again"]
    assert isinstance(again, JudgedStep)
    (drop,) = again.judge
    assert isinstance(drop, Within)
    assert (Decimal(14), Decimal(24)) == (drop.low, drop.high)
    assert limit_of(flow, "cooling_drop", AtLeast) == 14


def statics(flow: Flow, gone: Gone) -> list[int]:
    """Give at which turns a pressure was read."""
    return [
        at
        for at, name in enumerate(gone.steps)
        if isinstance(step := flow.steps[name], MeasureStep)
        and step.quantity is QuantityKind.STATIC_PRESSURE
    ]


@pytest.mark.parametrize("fault", ["air_ice_by_filter", "air_ice_by_coil", "air_ice_by_charge"])
@pytest.mark.parametrize("unit", [ELECTRIC, GAS, HIGH, COOLING_ONLY])
def test_ice_is_thawed_before_a_pressure_is_read(flow: Flow, unit: str, fault: str) -> None:
    """Where there is ice, no pressure is read before the thaw; still frozen waits again."""
    for complaint in ("iced", "weak_air", "hot_rooms"):
        gone = walked(unit, fault, complaint)
        assert "thaw" in gone.steps
        assert all(gone.steps.index("thaw") < at for at in statics(flow, gone))
    words = {"thaw": ("still frozen",)}
    again = walk_with("low-airflow", Case(unit, fault, "iced"), words)
    assert 2 == again.steps.count("thaw")


def test_holes_come_after_their_caution_and_only_with_the_fan_off(flow: Flow) -> None:
    """What must never be drilled into is said and answered before the hold point of the holes."""
    gone = walked(ELECTRIC, "air_return_small", "weak_air")
    told = next(at for at, text in enumerate(gone.said) if "Never drill into" in text)
    asked = next(at for at, text in enumerate(gone.said) if "Open or drill the test holes" in text)
    assert told <= asked
    caution = flow.cautions["test_holes"].say
    for word in ("coil", "refrigerant line", "wire", "heat exchanger", "Edges cut", "wheel"):
        assert word in caution
    assert "Fan off" in spoken(flow, "holes").say


def test_looks_come_before_holes_and_the_wheel_last(flow: Flow) -> None:
    """A dirty wheel is seen only proven dead, after the looks and the pressures."""
    gone = walked(ELECTRIC, "air_wheel_dirty", "weak_air")
    order = [gone.steps.index(name) for name in ("panels_look", "run", "filter_look", "tap_fit")]
    order += [gone.steps.index(name) for name in ("sp_inlet", "safe/proven_dead", "wheel")]
    assert sorted(order) == order
    assert spoken(flow, "wheel").needs == {"power": "off"}


@pytest.mark.parametrize(
    "state", ["runs slow", "it hums", "it is dead", "it trips"], ids=lambda words: words
)
def test_a_sick_motor_goes_to_its_own_walk(state: str) -> None:
    """A motor that does not run as it should is sent on with nothing touched."""
    gone = walked(ELECTRIC, "healthy", "weak_air", run=state)
    assert "sent" == gone.state.outcome
    assert "Next comes: blower psc." in gone.said[-1]
    assert () == gone.findings


@pytest.mark.parametrize("unit", [ELECTRIC, GAS, HIGH, COOLING_ONLY])
@pytest.mark.parametrize(
    ("fault", "complaint"),
    [("air_charge_low", "hot_rooms"), ("air_ice_by_charge", "iced")],
)
def test_the_refrigerant_side_is_handed_over(unit: str, fault: str, complaint: str) -> None:
    """With the air right, ice or too little cooling is for a licensed person: the walk stops."""
    gone = walked(unit, fault, complaint)
    assert ("refrigerant_side",) == gone.findings
    assert "stopped" == gone.state.outcome


@pytest.mark.parametrize("fault", ["air_ice_by_filter", "air_ice_by_coil"])
@pytest.mark.parametrize("unit", [ELECTRIC, GAS, HIGH, COOLING_ONLY])
def test_ice_with_a_cause_in_the_air_is_never_blamed_on_refrigerant(unit: str, fault: str) -> None:
    """Where the air was at fault and repaired, the refrigerant side is not named."""
    for complaint in ("iced", "weak_air"):
        assert "refrigerant_side" not in walked(unit, fault, complaint).findings


@pytest.mark.parametrize("seen", ["flame moves", "monoxide alarm"])
def test_a_moving_flame_or_an_alarm_ends_the_walk(seen: str) -> None:
    """A cracked heat exchanger or carbon monoxide stops the walk for a licensed person."""
    gone = walked(GAS, "air_ice_by_charge", "iced", flame_look=seen)
    assert ("heat_exchanger",) == gone.findings
    assert "stopped" == gone.state.outcome


def test_a_rise_beyond_the_plate_is_no_proof_of_air(flow: Flow) -> None:
    """Only a rise within the plate's range clears the air; over it the wheel is looked at."""
    known = {
        "rise_least": Quantity(Decimal(35), Unit.DEG_F),
        "rise_most": Quantity(Decimal(65), Unit.DEG_F),
    }
    for value, said in (("44.0", "in_band"), ("72.0", "high"), ("25.0", "low"), ("65.0", "unsure")):
        reading = Quantity(Decimal(value), Unit.DEG_F)
        assert said == outcome(flow, "rise_judged", reading, **known)
    gone = walked(GAS, "air_ice_by_charge", "iced", supply_temp="one hundred fifty")
    assert gone.steps.index("supply_temp") < gone.steps.index("wheel")


def test_a_filter_that_was_not_seen_is_not_called_dense() -> None:
    """Where the filter was skipped, its drop names the filter and leaves both causes."""
    for fault in ("air_filter_loaded", "air_filter_dense"):
        gone = walked(ELECTRIC, fault, "weak_air", filter_look="skip")
        assert "filter_either" == gone.findings[0], gone.steps


def test_what_replaces_is_said_with_its_number() -> None:
    """The round size a trunk needs is the formula's for the air the coil wants.

    0.08 in. w.c. a hundred feet: common practice, no source.
    """
    gone = walked(ELECTRIC, "air_trunk_small", "weak_air")
    assert "trunk_small" == gone.findings[0]
    size = gone.state.values["trunk_size"].reading
    assert isinstance(size, Quantity)
    assert pytest.approx(duct.round_diameter_in(1200, 0.08), rel=1e-3) == float(size.value)
    text = next(one for one in gone.said if "Supply trunk, too small" in one)
    assert "fifteen point three" in text
    assert "twelve hundred" in text or "one thousand two hundred" in text


def test_a_faster_tap_stays_within_full_load() -> None:
    """After a tap change the amps are read; over the label the tap goes back, dead again first."""
    good = walked(ELECTRIC, "air_tap_low", "weak_air")
    assert ("tap_wrong",) == good.findings
    assert good.steps.index("fix") < good.steps.index("amps") < good.steps.index("inlet_again")
    assert good.steps.index("safe_fix/proven_dead") < good.steps.index("fix")
    over = walk_with(
        "low-airflow", Case(ELECTRIC, "air_tap_low", "weak_air"), {"amps": ("3.4 amps",)}
    )
    assert ("tap_wrong", "tap_overloads") == over.findings
    first = over.steps.index("amps")
    assert "safe_fix/proven_dead" in over.steps[first:]


@pytest.mark.parametrize("unit", [ELECTRIC, GAS, HIGH, COOLING_ONLY])
@pytest.mark.parametrize(
    "fault", ["air_filter_loaded", "air_coil_dirty", "air_wheel_dirty", "air_return_small"]
)
def test_every_repair_is_proven_by_static_air_and_drop(unit: str, fault: str) -> None:
    """After the repair both pressures, the air and the temperatures are read again."""
    gone = walked(unit, fault, "weak_air")
    assert "found" == gone.state.outcome
    tail = gone.steps[max(at for at, name in enumerate(gone.steps) if name in {"fix", "fix_air"}) :]
    for name in ("inlet_again", "before_coil_again", "air_again", "in_again", "out_again", "gone"):
        assert name in tail
    assert "total_static" in gone.state.values


@pytest.mark.parametrize("unit", [ELECTRIC, GAS, HIGH, COOLING_ONLY])
@pytest.mark.parametrize(
    ("first", "second", "found"),
    [
        ("air_filter_loaded", "air_wheel_dirty", {"filter_loaded", "wheel_dirty"}),
        ("air_coil_dirty", "air_tap_low", {"coil_dirty", "tap_wrong"}),
        ("air_return_small", "air_filter_dense", {"return_small", "filter_dense"}),
        ("air_dampers_shut", "air_duct_off", {"dampers_shut", "duct_off"}),
    ],
)
def test_a_second_cause_behind_the_first_is_found(
    unit: str, first: str, second: str, found: set[str]
) -> None:
    """What proves the first repair shows the second fault, and the walk goes on to it."""
    gone = walked(unit, f"{first}+{second}", "weak_air")
    assert found == set(gone.findings)
    assert "found" == gone.state.outcome


@pytest.mark.parametrize("seen", ["runs slow", "it hums", "it is dead"])
def test_a_motor_that_does_not_come_back_is_left_locked(seen: str) -> None:
    """A blower that runs otherwise after the power was off is named and left locked out."""
    gone = walked(ELECTRIC, "air_wheel_dirty", "weak_air", run_again=seen)
    assert ("wheel_dirty", "motor_not_right") == gone.findings
    assert "leave/stays_locked" in gone.steps
