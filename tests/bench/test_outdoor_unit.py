"""An outdoor unit shows what the trade says: supply, contactor, capacitor sections, fan."""

import math

import pytest
from outdoor_units import NAMES, changed_outdoor, open_outdoor, stand_of

from assistant.bench.errors import BenchError
from assistant.bench.kinds import kind_of
from assistant.bench.meter import METERS
from assistant.bench.outdoor import OUTDOOR
from assistant.bench.outdoor_looks import OutdoorLooks
from assistant.flow.model import QuantityKind
from assistant.trade.capacitor import series_uf, under_load_factor, under_load_uf
from assistant.trade.supply import window_volts
from assistant.trade.windings import resistance_at_temperature_ohms

ONE_POLE, TWO_POLES = "outdoor_45_5_230", "outdoor_35_5_208"
DUALS = [name for name in NAMES if open_outdoor(name).capacitor.is_dual]


def test_there_are_units_of_each_sort() -> None:
    """Dual 45/5 at 230 V, dual 35/5 at 208 V, singles, and a fan of two speeds stand here."""
    features = {name: OUTDOOR.features(open_outdoor(name)) for name in NAMES}
    assert len(NAMES) >= 4
    assert {"dual", "one_pole"} <= features["outdoor_45_5_230"]
    assert {"dual", "two_poles"} <= features["outdoor_35_5_208"]
    assert {"singles", "two_poles"} <= features["outdoor_singles_230"]
    assert {"dual", "two_speed"} <= features["outdoor_two_speed_230"]


@pytest.mark.parametrize("name", NAMES)
def test_a_sound_unit_runs_within_its_ratings(name: str) -> None:
    """Volts, amps, speed and the volts across both sections are within what is printed.

    Source: NEMA MG 1-12.44 for the volts (standard); amps at most full-load amps and volts across
    a capacitor at most its rating are common practice, no source.
    """
    stand, unit = stand_of(name), open_outdoor(name)
    plate = unit.motor.plate
    low, high = window_volts(unit.label.volts, unit.label.upper_volts)
    assert low < stand.volts("load_1", "load_2") < high
    assert 0.7 * plate.amps < stand.amps("line_lead") < plate.amps
    assert stand.fan.running.rpm == pytest.approx(plate.rpm, rel=0.03)
    assert stand.volts("capacitor_1", "capacitor_2") < unit.label.capacitor_volts
    assert stand.volts("dual_herm", "dual_common") < unit.label.capacitor_volts
    assert stand.complaints() == ()


def test_one_pole_keeps_a_leg_live() -> None:
    """At rest a contactor of one pole leaves motors and second leg live to ground, two poles none.

    Source: TRADE section 3, both leads stay live if one pole is switched (common practice).
    """
    one = stand_of(ONE_POLE, is_calling=False)
    half = open_outdoor(ONE_POLE).supply.volts / 2
    for place in ("load_1", "load_2", "common", "capacitor_1"):
        assert one.volts(place, "ground") == pytest.approx(half, rel=0.01), place
    assert one.volts("load_1", "load_2") == pytest.approx(0, abs=0.01)
    two = stand_of(TWO_POLES, is_calling=False)
    assert [two.volts(place, "ground") for place in ("load_1", "load_2", "common")] == [0, 0, 0]
    assert two.volts("line_1", "line_2") == pytest.approx(open_outdoor(TWO_POLES).supply.volts)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_live_with_the_disconnect_open(name: str) -> None:
    """Every pair and every place to ground reads zero once the disconnect is open."""
    stand = stand_of(name, is_calling=False, is_powered=False)
    places = ("line_1", "line_2", "load_1", "load_2", "capacitor_1", "common", "tap_high")
    for first in places:
        for second in (*places, "ground"):
            assert stand.volts(first, second) == 0, (first, second)
    assert stand.amps("line_lead") == stand.amps("comp_common_wire") == 0


def test_an_open_leg_has_volts_to_ground_and_none_across() -> None:
    """With one leg lost and the contactor in, both ends read to ground and nothing across.

    Source: the trade's fault catalogue, common practice, no source.
    """
    stand = stand_of(TWO_POLES, "outdoor_leg_open")
    assert stand.volts("line_1", "line_2") == pytest.approx(0, abs=1)
    assert stand.volts("line_1", "ground") == pytest.approx(104.5, abs=1)
    resting = stand_of(TWO_POLES, "outdoor_leg_open", is_calling=False)
    assert resting.volts("line_2", "ground") == 0


@pytest.mark.parametrize(
    ("fault", "pole"), [("outdoor_contacts_burnt", 1), ("outdoor_pole_burnt", 2)]
)
def test_a_burnt_pole_has_line_volts_across_it(fault: str, pole: int) -> None:
    """Across the closed pole about 0 V, across the open one line volts; one leg still gets through.

    Source: TRADE section 3, across a closed switch about 0 V (common practice, no source).
    """
    stand = stand_of(TWO_POLES, fault)
    other = 3 - pole
    assert stand.volts(f"line_{pole}", f"load_{pole}") == pytest.approx(209, abs=2)
    assert stand.volts(f"line_{other}", f"load_{other}") == pytest.approx(0, abs=0.1)
    assert stand.volts("load_1", "load_2") == pytest.approx(0, abs=0.1)
    assert stand.volts(f"load_{pole}", "ground") > 100
    assert stand.complaints() == ("dead",)


@pytest.mark.parametrize("name", DUALS)
def test_a_dual_reads_its_sections_and_both_in_a_row(name: str) -> None:
    """HERM-C is the large one, FAN-C the small one, HERM-FAN their series value.

    Source: TRADE section 1, 45 and 5 give 4.5 (identity).
    """
    stand, part = stand_of(name), open_outdoor(name).capacitor
    assert stand.read(QuantityKind.CAPACITANCE, "dual_fan", "dual_common") == part.uf
    assert stand.read(QuantityKind.CAPACITANCE, "dual_common", "dual_herm") == part.herm_uf
    ends = stand.read(QuantityKind.CAPACITANCE, "dual_herm", "dual_fan")
    assert ends == pytest.approx(series_uf((part.uf, part.herm_uf)))
    assert series_uf((45, 5)) == pytest.approx(4.5)


def test_failed_sections_show_by_all_pairs() -> None:
    """Open at C leaves HERM-FAN; a short reads no microfarads and no ohms; a sound part OL."""
    ohms, uf = QuantityKind.RESISTANCE, QuantityKind.CAPACITANCE
    broken = stand_of(ONE_POLE, "dual_common_open")
    assert (
        broken.read(uf, "dual_fan", "dual_common")
        == broken.read(uf, "dual_herm", "dual_common")
        == 0
    )
    assert broken.read(uf, "dual_herm", "dual_fan") == pytest.approx(4.502, abs=0.01)
    shorted = stand_of(ONE_POLE, "herm_cap_shorted")
    assert shorted.read(uf, "dual_herm", "dual_common") is None
    assert shorted.read(ohms, "dual_herm", "dual_common") == pytest.approx(0.3)
    assert shorted.read(uf, "dual_herm", "dual_fan") == 5.0
    assert shorted.read(ohms, "dual_herm", "dual_fan") is None
    assert stand_of(ONE_POLE).read(ohms, "dual_fan", "dual_common") is None
    assert stand_of(ONE_POLE).read(ohms, "cap_terminals", "cap_case") is None
    assert stand_of(ONE_POLE, "cap_grounded").read(ohms, "cap_case", "cap_terminals") == 4


@pytest.mark.parametrize("name", NAMES)
def test_microfarads_under_load(name: str) -> None:
    """Volts across and amps into a section give its microfarads: 2652.58 I / V at 60 Hz.

    Source: TRADE section 1 (computed two ways there); C = I / (2 pi f V).
    """
    assert under_load_factor(60) == pytest.approx(2652.58, abs=0.01)
    stand, part = stand_of(name), open_outdoor(name).capacitor
    fan = under_load_uf(stand.amps("cap_lead"), stand.volts("capacitor_1", "capacitor_2"), 60)
    assert fan == pytest.approx(part.uf, rel=0.01)
    herm = under_load_uf(stand.amps("herm_lead"), stand.volts("dual_herm", "dual_common"), 60)
    assert herm == pytest.approx(part.herm_uf, rel=1e-6)


def test_a_clamp_is_too_coarse_for_a_fan_section() -> None:
    """Near 0.8 A the clamp's own error is about 8 percent, more than a tolerance of 6.

    Source: TRADE section 1 (computed, common practice).
    """
    clamp = METERS["clamp_amps"]
    share = clamp.error(0.8, clamp.ranges[0]) / 0.8
    assert share == pytest.approx(0.0825, abs=0.005)
    amps = stand_of(ONE_POLE).amps("cap_lead")
    assert clamp.error(amps, clamp.ranges[0]) / amps > 0.06
    herm = stand_of(ONE_POLE).amps("herm_lead")
    assert clamp.error(herm, clamp.ranges[0]) / herm < 0.06


@pytest.mark.parametrize("name", NAMES)
def test_a_weak_section_barely_changes_amps(name: str) -> None:
    """At 70 percent: amps +4 to +12, speed -1 to -3 percent, starting torque nearly in proportion.

    Source: TRADE section 0, item 6 (computed on two motors there).
    """
    sound = stand_of(name).fan.running
    weak = OutdoorLooks(changed_outdoor(name, {"do": "scale", "what": "capacitor.uf", "by": 0.7}))
    running = weak.fan.running
    assert 1.04 <= running.amps / sound.amps <= 1.12
    assert 0.97 <= running.rpm / sound.rpm <= 0.99
    assert running.start_torque / sound.start_torque == pytest.approx(0.67, abs=0.05)


@pytest.mark.parametrize("name", NAMES)
def test_low_volts_do_not_raise_amps(name: str) -> None:
    """At 90 percent volts the fan's amps fall a little; starting torque falls with the square.

    Source: TRADE section 0, item 5 (computed there: -4 percent amps).
    """
    sound = stand_of(name).fan.running
    low = OutdoorLooks(changed_outdoor(name, {"do": "scale", "what": "supply.volts", "by": 0.9}))
    running = low.fan.running
    assert 0.94 < running.amps / sound.amps < 1.0
    assert running.start_torque / sound.start_torque == pytest.approx(0.81, abs=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_a_dirty_coil_loads_a_propeller(name: str) -> None:
    """A propeller that cannot move its air works harder, other than a forward-curved wheel.

    Source: handbook of fans, from memory.
    """
    sound, dirty = stand_of(name), stand_of(name, "condenser_dirty")
    assert dirty.fan.running.amps > 1.03 * sound.fan.running.amps
    assert dirty.fan.running.cfm < 0.6 * sound.fan.running.cfm
    assert dirty.observe("coil_look") == "coil_dirty"


@pytest.mark.parametrize("name", NAMES)
def test_three_leads_of_a_fan_add_up(name: str) -> None:
    """The largest of the three pairs is the sum of the other two, warm as the unit stands.

    Source: TRADE section 2, R-S = R-C + C-S.
    """
    stand = stand_of(name, is_powered=False)
    main, start = stand.ohms("common", "tap_high"), stand.ohms("tap_high", "cap_lead")
    whole = stand.ohms("common", "cap_lead")
    assert main is not None
    assert start is not None
    assert whole == pytest.approx(main + start, rel=0.01)
    assert stand.ohms("motor_leads", "frame") is None
    branches = {branch.role: branch.ohms for branch in open_outdoor(name).motor.branches}
    warm = resistance_at_temperature_ohms(branches["main"], 25.0, 35.0)
    assert main == pytest.approx(warm + branches["overload"], rel=0.01)


def test_places_that_a_unit_lacks() -> None:
    """A dual has three terminals and its fan three leads; singles have no C and a return lead."""
    dual, singles = stand_of(ONE_POLE), stand_of("outdoor_singles_230")
    has = ("dual_fan", "dual_herm", "dual_common", "cap_return", "tap_low", "load_1")
    assert [dual.has_place(one) for one in has] == [True, True, True, False, False, True]
    assert [singles.has_place(one) for one in has] == [False, False, False, True, False, True]
    assert stand_of("outdoor_two_speed_230").has_place("tap_low")


def test_control_volts_tell_call_safety_and_coil() -> None:
    """Healthy 22 to 28 V; no call, none at Y; a safety open, all of it across the safety.

    Source: TRADE section 3 (common practice, no source): under 20 V a coil chatters.
    """

    def seen(fault: str) -> tuple[float, float, float, str]:
        stand = stand_of(TWO_POLES, fault)
        return (
            round(stand.volts("outdoor_y", "outdoor_c"), 1),
            round(stand.volts("contactor_coil_1", "contactor_coil_2"), 1),
            round(stand.volts("safety_in", "safety_out"), 1),
            stand.observe("contactor_look"),
        )

    y, coil, safety, state = seen("healthy")
    assert 22 < coil == y < 28
    assert (safety, state) == (0, "pulls_in")
    assert seen("outdoor_no_call") == (0, 0, 0, "stays_out")
    assert seen("outdoor_safety_open") == (26.5, 0, 26.5, "stays_out")
    assert seen("outdoor_coil_open") == (26.5, 26.5, 0, "stays_out")
    low = seen("outdoor_control_low")
    assert low[1] < 20
    assert low[3] == "chatters"


def test_a_tripped_overload_closes_when_it_has_cooled() -> None:
    """It reads OL hot, closes within 5 to 45 minutes, and needs no repair then.

    Source: TRADE section 2 (common practice, no source).
    """
    faulted = stand_of(ONE_POLE, "fan_overload_tripped").unit
    kind = kind_of(faulted)
    assert kind.is_hot(faulted)
    assert kind.is_warm(faulted)
    early, late = kind.cooled(faulted, 5), kind.cooled(faulted, 45)
    assert OutdoorLooks(early, is_powered=False).ohms("common", "tap_high") is None
    assert OutdoorLooks(late, is_powered=False).ohms("common", "tap_high") is not None
    assert not kind.has_recovered(faulted, early)
    assert kind.has_recovered(faulted, late)


def test_a_crossed_dual_harms_both_motors() -> None:
    """The fan runs hot on the compressor's microfarads, and the compressor hums on the fan's."""
    stand = stand_of(ONE_POLE, "dual_crossed")
    assert stand.observe("capacitor_look") == "dual_crossed"
    assert stand.observe("compressor") == "compressor_hums"
    assert {"hums", "cuts_out"} <= set(stand.complaints())
    assert stand.amps("line_lead") > open_outdoor(ONE_POLE).motor.plate.amps


def test_what_an_outdoor_unit_cannot_tell_is_refused() -> None:
    """An observation of another kind is refused with the nearest one; looks come first."""
    with pytest.raises(BenchError) as caught:
        stand_of(ONE_POLE).observe("blad")
    assert "blade" in caught.value.hint
    unit = changed_outdoor(ONE_POLE, {"do": "set", "what": "looks.coil_look", "to": "coil_iced"})
    assert OutdoorLooks(unit).observe("coil_look") == "coil_iced"


def test_stored_energy_of_a_dual_is_a_hazard() -> None:
    """45 uF at 440 V holds 8.7 J.

    Source: TRADE section 1 (computed there), 0.5 C V^2 at the peak.
    """
    volts = 440 * math.sqrt(2)
    assert 45e-6 * volts**2 / 2 == pytest.approx(8.7, abs=0.05)
    assert stand_of(ONE_POLE).read(QuantityKind.STORED_VOLTAGE, "dual_herm", "dual_common") == 0
