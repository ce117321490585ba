"""A ducted unit on the bench: pressures, heat, ice, and what each fault makes of them."""

import importlib
from typing import Any

import pytest

from assistant.bench.air import part_drops, wheel_load
from assistant.bench.changes import Scale, SetValue, change_unit
from assistant.bench.ducted import DUCTED
from assistant.bench.ducted_looks import DuctedStand
from assistant.bench.ducted_stand import ICE_DROPS
from assistant.bench.ducted_unit import DuctedUnit
from assistant.bench.errors import BenchError
from assistant.bench.faults import HEALTHY, apply, does_fit, fault_ids, shipped_catalogue
from assistant.bench.loading import open_unit, unit_names
from assistant.bench.rig import Rig
from assistant.flow.model import QuantityKind
from assistant.trade import heat, static_pressure
from assistant.trade.catalogue import FORMULAS

psychrolib: Any = importlib.import_module("psychrolib")
coolprop: Any = importlib.import_module("CoolProp.CoolProp")

UNITS = unit_names("ducted")
ELECTRIC, GAS = "ducted_3t_electric_230", "ducted_2_5t_gas_115"
HIGH, COOLING_ONLY = "ducted_5t_electric_5000ft", "ducted_2t_cooling_115"
PARTS = ("grille", "return_duct", "filter", "coil", "trunk", "supply")


def unit_of(name: str) -> DuctedUnit:
    """Give a shipped ducted unit."""
    unit = open_unit(name)
    assert isinstance(unit, DuctedUnit)
    return unit


def stand_of(name: str, fault: str = HEALTHY) -> DuctedStand:
    """Give a shipped unit with a fault, the fan called."""
    return DuctedStand(apply(unit_of(name), fault))


def total(stand: DuctedStand) -> float:
    """Give the total that a technician works out of two holes."""
    return static_pressure.total_external_inwc(
        stand.static("before_coil"), stand.static("blower_inlet")
    )


@pytest.mark.parametrize("name", UNITS)
def test_a_sound_unit_keeps_the_budget(name: str) -> None:
    """A sound unit is within its plate, 350 to 450 cfm a ton, filter under 20 %, coil under 40 %.

    Source: TRADE section 4, budget and cfm a ton: common practice, no source.
    """
    stand = stand_of(name)
    unit, whole = stand.ducted, total(stand)
    assert whole <= unit.label.static_max * 1.02
    assert 350 <= stand.running.cfm / unit.cooling.tons <= 450
    filter_drop = stand.static("return_plenum", "blower_inlet")
    coil_drop = stand.static("before_coil", "supply_plenum")
    assert not static_pressure.is_suspect("filter", filter_drop, whole)
    assert not static_pressure.is_suspect("coil", coil_drop, whole)
    assert stand.complaints() == ()


@pytest.mark.parametrize("name", UNITS)
def test_the_ports_add_up(name: str) -> None:
    """Return, filter, coil and supply are the whole total; grille and trunk are parts of theirs."""
    stand = stand_of(name)
    drops = part_drops(stand.unit, stand.running.cfm)
    assert pytest.approx(total(stand)) == sum(drops.values())
    assert pytest.approx(drops["grille"]) == -stand.static("behind_grille")
    assert pytest.approx(drops["trunk"]) == stand.static("supply_plenum", "trunk_end")
    assert set(PARTS) == set(drops)


def test_thin_air_takes_less_pressure_and_power() -> None:
    """At 5000 ft the same flow costs 0.832 of the pressure and of the torque.

    Source: TRADE section 4, density ratio .832 (verified by psychrolib and CoolProp below).
    """
    high = unit_of(HIGH)
    low = high.model_copy(update={"altitude_ft": 0.0})
    thin, thick = part_drops(high, 1500), part_drops(low, 1500)
    psychrolib.SetUnitSystem(psychrolib.IP)
    at_height, at_sea = (psychrolib.GetStandardAtmPressure(feet) for feet in (5000, 0))
    ratio = psychrolib.GetDryAirDensity(70, at_height) / psychrolib.GetDryAirDensity(70, at_sea)
    pascals, kelvin = 101_325.0, 294.26
    real = coolprop.PropsSI("D", "T", kelvin, "P", pascals * ratio, "Air") / coolprop.PropsSI(
        "D", "T", kelvin, "P", pascals, "Air"
    )
    assert pytest.approx(0.832, abs=5e-4) == ratio
    assert pytest.approx(ratio, rel=1e-3) == real
    for part in PARTS:
        assert pytest.approx(ratio, rel=1e-4) == thin[part] / thick[part]
    torque = wheel_load(high).nm_per_rpm2 / wheel_load(low).nm_per_rpm2
    assert pytest.approx(ratio, rel=1e-4) == torque
    assert pytest.approx(wheel_load(low).cfm_per_rpm) == wheel_load(high).cfm_per_rpm


@pytest.mark.parametrize("name", [ELECTRIC, HIGH])
def test_the_air_gains_what_the_strips_give(name: str) -> None:
    """Volts times amps comes out as dry air's enthalpy, within 1 %.

    Source: psychrolib, density at the altitude's pressure and enthalpy; 3412.14 Btu a kWh.
    """
    stand = stand_of(name)
    volts = stand.read(QuantityKind.VOLTAGE, "line_1", "line_2")
    amps = stand.read(QuantityKind.CURRENT, "heater_lead", "")
    warm = stand.read(QuantityKind.TEMPERATURE, "supply_air", "")
    cold = stand.read(QuantityKind.TEMPERATURE, "return_air", "")
    assert volts
    assert amps
    assert warm
    assert cold
    psychrolib.SetUnitSystem(psychrolib.IP)
    pressure = psychrolib.GetStandardAtmPressure(stand.ducted.altitude_ft)
    pounds = 60 * stand.running.cfm * psychrolib.GetDryAirDensity(70.0, pressure)
    gained = psychrolib.GetDryAirEnthalpy(warm) - psychrolib.GetDryAirEnthalpy(cold)
    assert pytest.approx(volts * amps * 3.41214, rel=0.01) == pounds * gained
    told = FORMULAS["electric_heat_airflow"].function(
        volts, amps, warm, cold, stand.ducted.altitude_ft
    )
    assert pytest.approx(stand.running.cfm, rel=1e-6) == told


def test_a_furnace_heats_on_its_own_speed() -> None:
    """The rise of gas tells the air of the heating tap, and stays within the plate's range."""
    stand = stand_of(GAS)
    unit = stand.ducted
    assert stand.heating.cfm < stand.running.cfm
    warm, cold = stand.supply_f, unit.room_f
    assert unit.heater.rise_min_f < heat.rise_f(warm, cold) < unit.heater.rise_max_f
    told = FORMULAS["furnace_airflow"].function(60, 80, warm, cold, 0.0)
    assert pytest.approx(stand.heating.cfm, rel=1e-6) == told


def test_without_power_or_heat_nothing_warms() -> None:
    """A unit that is off has room air everywhere and no amps; one without heat has no lead."""
    off = DuctedStand(unit_of(ELECTRIC), is_powered=False)
    assert off.read(QuantityKind.CURRENT, "heater_lead", "") == 0
    for place in ("return_air", "supply_air", "coil_air_in", "coil_air_out"):
        assert off.read(QuantityKind.TEMPERATURE, place, "") == off.ducted.room_f
    assert not stand_of(COOLING_ONLY).has_place("heater_lead")
    assert stand_of(ELECTRIC).has_place("heater_lead")
    assert not stand_of(COOLING_ONLY).has_place("tap_medium")


@pytest.mark.parametrize(
    ("way", "parts"),
    [("duct.leak", ("trunk", "supply")), ("duct.return_leak", ("grille", "return_duct"))],
)
def test_a_gap_relieves_its_own_side(way: str, parts: tuple[str, ...]) -> None:
    """Half the flow through a gap leaves a quarter of that side's drop (square law, handbook)."""
    unit = unit_of(ELECTRIC)
    gap = change_unit(unit, [SetValue(do="set", what=way, to=0.5)])
    whole, rest = part_drops(unit, 1000), part_drops(gap, 1000)
    for part in PARTS:
        share = 0.25 if part in parts else 1.0
        assert pytest.approx(share) == rest[part] / whole[part]


def test_ice_goes_with_a_thaw_and_its_cause_stays() -> None:
    """Ice makes four of the coil's drop; once thawed the loaded filter behind it is left."""
    rig = Rig(unit_of(ELECTRIC), "air_ice_by_filter", shipped_catalogue())
    assert "ice_seen" == rig.stand.observe("ice_look")
    iced = rig.stand
    assert isinstance(iced, DuctedStand)
    assert pytest.approx(ICE_DROPS * iced.ducted.duct.coil) == iced.unit.duct.coil
    rig.alter("thaw")
    assert "ice_gone" == rig.stand.observe("thaw")
    assert "no_ice" == rig.stand.observe("ice_look")
    assert "filter_dirty" == rig.stand.observe("filter_look")
    assert not rig.is_right
    rig.stand_as(is_powered=True, is_calling=True, minutes_off=0)
    assert "ice_seen" == rig.stand.observe("ice_look")


SEEN = [
    ("air_filter_loaded", "filter_look", "filter_dirty"),
    ("air_filter_dense", "filter_look", "filter_clean"),
    ("air_coil_dirty", "coil_look", "coil_dirty"),
    ("air_ice_by_charge", "coil_look", "coil_iced"),
    ("air_grille_blocked", "grille_look", "grille_blocked"),
    ("air_grille_small", "grille_look", "grilles_clear"),
    ("air_dampers_shut", "registers_look", "registers_shut"),
    ("air_supply_crushed", "duct_runs", "supply_crushed"),
    ("air_duct_off", "duct_runs", "supply_off"),
    ("air_return_leak", "duct_runs", "return_leaks"),
    ("air_panel_off", "panels_on", "panel_missing"),
    ("air_wheel_dirty", "wheel", "wheel_dirty"),
    ("air_tap_low", "tap_fit", "tap_wrong"),
    ("air_tap_low", "run_state", "runs"),
    ("air_tap_high", "tap_fit", "tap_wrong"),
    ("air_rotation_wrong", "rotation", "wrong_way"),
    ("air_motor_slow", "run_state", "runs_slow"),
    ("air_motor_hums", "run_state", "hums_only"),
    ("air_blower_dead", "run_state", "dead_still"),
]


@pytest.mark.parametrize("name", UNITS)
@pytest.mark.parametrize(("fault", "about", "value"), SEEN)
def test_what_eyes_tell_of_each_fault(name: str, fault: str, about: str, value: str) -> None:
    """Each fault is seen where it sits, on each unit that can have it."""
    if does_fit(unit_of(name), fault):
        assert value == stand_of(name, fault).observe(about)


HELD_BACK = (
    "air_filter_loaded",
    "air_filter_dense",
    "air_coil_dirty",
    "air_grille_blocked",
    "air_grille_small",
    "air_return_small",
    "air_dampers_shut",
    "air_supply_crushed",
    "air_trunk_small",
)
NOT_HELD = ("air_wheel_dirty", "air_tap_low", "air_rotation_wrong", "air_panel_off", "air_duct_off")


@pytest.mark.parametrize("name", UNITS)
@pytest.mark.parametrize("fault", HELD_BACK)
def test_what_holds_the_air_back_raises_the_total(name: str, fault: str) -> None:
    """A restriction raises the total over the plate, takes air and lowers the amps.

    Source: TRADE section 0, belief 10: a restriction lowers the amps of a forward-curved blower.
    """
    sound, bad = stand_of(name), stand_of(name, fault)
    assert total(bad) > 1.2 * bad.ducted.label.static_max
    assert bad.running.cfm < 0.95 * sound.running.cfm
    assert bad.running.amps < sound.running.amps


@pytest.mark.parametrize("name", UNITS)
@pytest.mark.parametrize("fault", NOT_HELD)
def test_what_does_not_push_leaves_the_total_low(name: str, fault: str) -> None:
    """A dirty wheel, a low tap, wrong rotation, an open panel or duct: the total is low."""
    if does_fit(unit_of(name), fault):
        assert total(stand_of(name, fault)) < total(stand_of(name))


@pytest.mark.parametrize("name", UNITS)
def test_a_low_charge_cools_little_at_the_right_air(name: str) -> None:
    """Under 14 degrees of drop at a sound airflow; a sound unit has 16 to 22 (common practice)."""
    sound, low = stand_of(name), stand_of(name, "air_charge_low")
    assert 16 <= sound.ducted.room_f - sound.off_coil_f <= 22
    assert low.ducted.room_f - low.off_coil_f < 14
    assert low.running.cfm == sound.running.cfm
    assert low.complaints() == ("hot_rooms",)


def test_what_the_bench_does_not_know_is_said() -> None:
    """An observation of another kind is refused, with the nearest name."""
    with pytest.raises(BenchError, match="cannot tell 'grille_looks'"):
        stand_of(ELECTRIC).observe("grille_looks")
    unit = unit_of(ELECTRIC)
    looks = unit.model_copy(update={"looks": {"filter_look": "filter_dirty"}})
    assert "filter_dirty" == DuctedStand(looks).observe("filter_look")


def test_a_loud_unit_is_complained_of() -> None:
    """A return that pulls hard is heard; the plainest complaint comes first."""
    unit = change_unit(unit_of(ELECTRIC), [Scale(do="scale", what="duct.return_duct", by=5)])
    assert "noisy_air" in DuctedStand(unit).complaints()
    assert "iced" == stand_of(ELECTRIC, "air_ice_by_coil").observe("complaint")
    assert "still_there" == stand_of(ELECTRIC, "air_charge_low").observe("complaint_now")
    assert "gone" == stand_of(ELECTRIC).observe("complaint_now")


def test_the_plate_prints_what_is_there() -> None:
    """Input, rise and sizes are read off; what a unit lacks is not printed."""
    gas, cool = unit_of(GAS), unit_of(COOLING_ONLY)
    assert 60 == DUCTED.printed(gas, "furnace_input")
    assert 35 == DUCTED.printed(gas, "rise_least")
    assert 65 == DUCTED.printed(gas, "rise_most")
    assert DUCTED.printed(cool, "furnace_input") is None
    assert DUCTED.printed(cool, "rise_most") is None
    assert 5 == DUCTED.printed(unit_of(HIGH), "tons")
    assert 5000 == DUCTED.printed(unit_of(HIGH), "altitude")
    assert "gas_heat" == DuctedStand(gas).observe("heat_kind")


def test_each_fault_is_said_by_the_flow_s_complaints() -> None:
    """Every fault is told by one of the flow's own complaints, and changes its unit."""
    known = {"weak_air", "iced", "noisy_air", "hot_rooms"}
    for name in fault_ids("ducted"):
        fault = shipped_catalogue().faults[name]
        assert set(fault.complaints) <= known, name
        for unit in UNITS:
            if does_fit(unit_of(unit), name):
                assert apply(unit_of(unit), name) != unit_of(unit)
