"""The walk of a condenser fan: order of work, cautions of a contactor, limits of the trade."""

from decimal import Decimal

import pytest
from outdoor_walks import walk_with

from assistant.bench.walking import Case
from assistant.flow.conditions import first_conditions
from assistant.flow.judging import AtLeast, AtMost, NearZero, RuleModel, WithinVoltage
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.model import DoStep, JudgedStep, MeasureStep, QuantityKind
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.trade.control import CHATTER_VOLTS
from assistant.trade.supply import DROP_LIMIT_PERCENT, MOTOR_TOLERANCE_PERCENT, window_volts
from assistant.walk.state import State, Taken, Turn
from assistant.walk.weighing import weigh

DUAL, TWO_POLES, SINGLES = "outdoor_45_5_230", "outdoor_35_5_208", "outdoor_singles_230"
TWO_SPEED = "outdoor_two_speed_230"


@pytest.fixture(scope="module")
def flow() -> Flow:
    """Give the flow."""
    return open_flow("condenser-fan")


def rules(flow: Flow, step: str) -> tuple[RuleModel, ...]:
    """Give the rules of a step."""
    found = flow.steps[step]
    assert isinstance(found, JudgedStep)
    return found.judge


def outcome(flow: Flow, step: str, reading: Reading, **known: Quantity) -> str:
    """Give the outcome that decides a reading at a step."""
    values = {name: Taken(one, None) for name, one in known.items()}
    state = State(step, Turn.ANSWER, first_conditions(flow.vocabulary), values=values)
    deciding = weigh(flow, state, step, reading).deciding
    assert deciding is not None
    return deciding.outcome


def volts(value: str) -> Quantity:
    """Give volts."""
    return Quantity(Decimal(value), Unit.VOLT)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("0.4", "near_zero"),
        ("180.0", "low"),
        ("187.2", "unsure"),
        ("192.0", "in_band"),
        ("230.0", "in_band"),
        ("249.0", "in_band"),
        ("253.0", "unsure"),
        ("257.0", "high"),
    ],
)
@pytest.mark.parametrize("step", ["line_volts", "idle_volts", "slow_line"])
def test_the_window_of_a_208_230_label(flow: Flow, step: str, value: str, said: str) -> None:
    """187.2 to 253 volts is good on a label of 208-230.

    Source: NEMA MG 1-12.44, +-10 percent (standard); the window over both volts of a label is
    common practice, no source.
    """
    assert window_volts(208, 230) == pytest.approx((187.2, 253))
    rule = rules(flow, step)[0]
    assert isinstance(rule, WithinVoltage)
    assert float(rule.percent) == MOTOR_TOLERANCE_PERCENT
    known = {"unit_volts": volts("208"), "unit_volts_high": volts("230")}
    assert said == outcome(flow, step, volts(value), **known)


def test_limits_of_control_contact_and_feed(flow: Flow) -> None:
    """A coil under 20 V, a closed pole over 2 V, a feed that loses over 3 percent.

    Source: TRADE section 3: under 20 V at the coil chatters, about 0 V across a closed switch
    (common practice); drop over 3 percent, look for a joint (NEC note).
    """
    for step in ("y_volts", "coil_volts"):
        (least,) = [rule for rule in rules(flow, step) if isinstance(rule, AtLeast)]
        assert float(str(least.limit)) == CHATTER_VOLTS
    for step in ("pole1_volts", "pole2_volts", "slow_pole1", "pole1_drop", "pole2_drop"):
        (zero,) = rules(flow, step)
        assert isinstance(zero, NearZero)
        assert zero.limit == 2, step
    for step in ("feed_drop", "loaded_drop", "drop"):
        (most,) = rules(flow, step)
        assert isinstance(most, AtMost)
        assert float(str(most.limit)) == DROP_LIMIT_PERCENT


@pytest.mark.parametrize(
    ("value", "said"), [("19.5", "low"), ("20.0", "unsure"), ("21.0", "enough"), ("1.0", "zero")]
)
def test_control_volts_at_the_coil(flow: Flow, value: str, said: str) -> None:
    """Healthy is 22 to 28 V, under 20 V a coil chatters (common practice, no source)."""
    assert said == outcome(flow, "coil_volts", volts(value))


def test_three_leads_add_up(flow: Flow) -> None:
    """R-S is R-C and C-S together; well under it the windings touch.

    Source: TRADE section 2.
    """
    known = {
        "r_high": Quantity(Decimal("13.4"), Unit.OHM),
        "r_high_cap": Quantity(Decimal("67.0"), Unit.OHM),
    }
    for value, said in (("80.4", "agrees"), ("70.0", "low"), ("95.0", "high")):
        reading = Quantity(Decimal(value), Unit.OHM)
        assert said == outcome(flow, "r_common_cap", reading, **known)
    assert "over_limit" == outcome(flow, "r_common_cap", OverLimit(Unit.OHM), **known)


def test_a_live_test_begins_with_both_legs_named_live(flow: Flow) -> None:
    """Each live test of this flow is a hold point with the caution of the leg that stays live.

    Source: TRADE section 3, both leads stay live if one pole is switched (common practice).
    """
    own = {
        name: step
        for name, step in flow.steps.items()
        if isinstance(step, DoStep) and "live_work" in step.leaves and "/" not in name
    }
    assert {"dead_live_ready", "stuck_live_ready", "noise_live_ready", "slow_ready"} == set(own)
    for name, step in own.items():
        assert step.hold, name
        assert {"one_leg_live", "live_parts"} <= set(step.cautions), name
    assert "one leg" in flow.cautions["one_leg_live"].say


def test_no_contactor_is_pushed_in_and_no_safety_bridged(flow: Flow) -> None:
    """Neither is told to anyone; both are warned of."""
    contactor, safety = flow.steps["contactor"], flow.steps["safety_volts"]
    assert "Never push it in" in getattr(contactor, "help", "")
    assert "Never bridge" in getattr(safety, "help", "")
    texts = [getattr(s, "say", "") for s in flow.steps.values()]
    texts += [f.repair for f in flow.findings.values()]
    assert not [t for t in texts if "screwdriver" in t or "bypass" in t or "jumper" in t]


@pytest.mark.parametrize("complaint", ["fan_dead", "hums", "trips"])
def test_dead_work_comes_proven(flow: Flow, complaint: str) -> None:
    """Ohms and microfarads come only behind the lock, the proof and the bleed of every section."""
    gone = walk_with(flow, Case(DUAL, "healthy", complaint))
    proven = gone.steps.index("safe/proven_dead")
    bled = gone.steps.index("safe/bleed/stored_volts")
    ohms = [
        at
        for at, name in enumerate(gone.steps)
        if isinstance(step := flow.steps[name], MeasureStep)
        and step.quantity in {QuantityKind.RESISTANCE, QuantityKind.CAPACITANCE}
    ]
    assert proven < bled < min(ohms)
    assert () == gone.findings


def test_control_before_a_dead_motor_is_condemned(flow: Flow) -> None:
    """Both dead: contactor, call and poles are told before the unit is opened up."""
    gone = walk_with(flow, Case(TWO_POLES, "outdoor_pole_burnt", "dead"))
    assert ("pole_burnt",) == gone.findings
    assert "safe/sources" not in gone.steps[: gone.steps.index("pole2_volts")]


def test_a_tripped_breaker_gets_one_reset_after_the_frame(flow: Flow) -> None:
    """The motor is read to frame first; a breaker that was reset before gets none."""
    gone = walk_with(flow, Case(DUAL, "outdoor_no_line", "dead"))
    assert gone.steps.index("frame/frame_ohms") < gone.steps.index("live/power_on")
    again = walk_with(
        flow, Case(DUAL, "outdoor_no_line", "dead"), {"done_before": "breaker was reset"}
    )
    assert ("breaker_tripped", "trips_again") == again.findings
    assert "live/power_on" not in again.steps


def test_a_hot_motor_is_not_condemned(flow: Flow) -> None:
    """Open hot and closed cold is a tripped overload; what heated it is looked for.

    Source: TRADE section 2, let it cool 30 to 60 minutes and test again (common practice).
    """
    gone = walk_with(flow, Case(DUAL, "fan_overload_tripped", "fan_dead"))
    assert "overload_tripped" == gone.findings[0]
    assert "wait_cool" in gone.steps
    assert gone.steps.index("cap/fan_section") > gone.steps.index("r_high_cool")
    assert not {"overload_failed", "winding_or_overload_open"} & set(gone.findings)


def test_low_speed_is_looked_for_where_there_is_one(flow: Flow) -> None:
    """A fan open on its low speed only is found between its speed leads."""
    gone = walk_with(flow, Case(TWO_SPEED, "fan_low_speed_open", "fan_dead"))
    assert ("low_speed_open",) == gone.findings
    plain = walk_with(flow, Case(SINGLES, "healthy", "fan_dead"))
    assert "r_low" not in plain.steps


def test_a_new_motor_is_proven_by_volts_amps_and_rotation(flow: Flow) -> None:
    """After a motor its own capacitor is read, and its way of turning is watched."""
    gone = walk_with(flow, Case(DUAL, "fan_bearings_seized", "hums"))
    assert ("bearings_seized",) == gone.findings
    for step in ("new_motor_part/new_cap_uf", "motor_run_volts", "amps", "rotation_new"):
        assert step in gone.steps, step
    replacement = flow.findings["bearings_seized"].replacement
    assert replacement is not None
    for word in (
        "horsepower",
        "speed",
        "volts",
        "frame",
        "shaft",
        "rotation",
        "never chosen by amps",
    ):
        assert word in replacement.text.lower(), word


def test_a_compressor_that_hums_is_left_off(flow: Flow) -> None:
    """Where only the fan runs, the unit is locked out, said and confirmed."""
    words = {"compressor": "compressor hums"}
    gone = walk_with(flow, Case(DUAL, "healthy", "hums"), words)
    assert "compressor_over" in gone.steps
    assert "leave/stays_locked" in gone.steps
    assert () == gone.findings


def test_what_cannot_be_told_dead_is_told_under_load(flow: Flow) -> None:
    """A skipped herm section is cleared by C = I / (2 pi f V); a fan section stays untold.

    Source: TRADE section 1 (computed): near 0.8 A a clamp is too coarse for 6 percent.
    """
    herm = walk_with(flow, Case(DUAL, "healthy", "hums"), {"cap/herm_section": "skip"})
    worked = herm.state.values["herm_under_load"].reading
    assert isinstance(worked, Quantity)
    assert float(worked.value) == pytest.approx(45.2, abs=0.5)
    assert () == herm.findings
    words = {"cap/fan_section": "skip", "too_coarse": "leave it untold"}
    fan = walk_with(flow, Case(DUAL, "fan_cap_weak", "cuts_out"), words)
    assert "too_coarse" in fan.steps
    assert "cap_under_load" not in fan.state.values
    assert () == fan.findings


def test_leads_that_are_apart_are_read_to_frame(flow: Flow) -> None:
    """Whoever takes the leads apart for the windings reads each one to frame before power is back.

    Source: TRADE section 2, every lead to frame must read OL (common practice).
    """
    for complaint in ("fan_dead", "hums", "slow", "cuts_out"):
        gone = walk_with(flow, Case(SINGLES, "healthy", complaint))
        assert gone.steps.index("frame/frame_ohms") < gone.steps.index("live/power_on"), complaint


def test_a_compressor_is_not_blamed_before_its_capacitor(flow: Flow) -> None:
    """One that hums with its section never measured leads back to the section, dead and bled."""
    words = {"cap/herm_section": ("skip",)}
    gone = walk_with(flow, Case(DUAL, "herm_cap_weak", "hums"), words)
    assert "herm_first" in gone.steps
    assert ("herm_weak",) == gone.findings
