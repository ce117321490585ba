"""Each fault of an outdoor unit shows what the trade says, on every unit it is possible on."""

from collections.abc import Callable

import pytest
from outdoor_units import NAMES, open_outdoor, stand_of

from assistant.bench.errors import BenchError
from assistant.bench.faults import FAULTS, HEALTHY, apply, does_fit, fault_ids, load_catalogue
from assistant.bench.outdoor import OUTDOOR
from assistant.bench.outdoor_looks import OBSERVERS, OutdoorLooks
from assistant.flow.library import VOCABULARY, shipped
from assistant.flow.model import QuantityKind
from assistant.flow.source import read_source
from assistant.trade.supply import window_min_volts

WORDS = read_source(shipped("flows") / VOCABULARY).data
CATALOGUE = load_catalogue(FAULTS / "outdoor.yaml")
FAULT_IDS = tuple(CATALOGUE.faults)
Shows = Callable[[OutdoorLooks, OutdoorLooks], bool]


def _uf(stand: OutdoorLooks, first: str = "capacitor_1", second: str = "capacitor_2") -> float:
    found = stand.read(QuantityKind.CAPACITANCE, first, second)
    return -1.0 if found is None else found


def _herm(stand: OutdoorLooks) -> float:
    return _uf(stand, "dual_herm", "dual_common")


def _across(stand: OutdoorLooks, pole: int) -> float:
    return stand.volts(f"line_{pole}", f"load_{pole}")


def _dead(stand: OutdoorLooks) -> bool:
    return stand.observe("run_state") == "dead_still"


SHOWS: dict[str, Shows] = {
    "fan_cap_weak": lambda h, b: 0 < _uf(b) < 0.94 * b.unit.capacitor.marked_uf < _uf(h),
    "fan_cap_open": lambda _h, b: _uf(b) == 0 and b.observe("run_state") == "hums_only",
    "fan_cap_shorted": lambda _h, b: (b.ohms("capacitor_1", "capacitor_2") or 9) < 1,
    "fan_cap_bulged": lambda _h, b: b.observe("capacitor_look") == "bulged",
    "fan_cap_rating_low": lambda _h, b: b.unit.capacitor.marked_uf < b.unit.label.fan_uf,
    "fan_cap_rating_high": lambda _h, b: b.unit.capacitor.marked_uf > b.unit.label.fan_uf,
    "fan_cap_volts_low": lambda _h, b: (
        b.unit.capacitor.marked_volts < b.volts("capacitor_1", "capacitor_2")
    ),
    "fan_cap_start_type": lambda _h, b: b.observe("capacitor_duty") == "start_duty",
    "fan_cap_high": lambda _h, b: _uf(b) > 1.06 * b.unit.capacitor.marked_uf,
    "herm_cap_weak": lambda _h, b: 0 < _herm(b) < 0.94 * b.unit.capacitor.herm_marked_uf,
    "herm_cap_open": lambda _h, b: _herm(b) == 0 and b.observe("compressor") == "compressor_hums",
    "herm_cap_shorted": lambda _h, b: (b.ohms("dual_herm", "dual_common") or 9) < 1,
    "herm_cap_rating_low": lambda _h, b: b.unit.capacitor.herm_marked_uf < b.unit.label.herm_uf,
    "herm_cap_rating_high": lambda _h, b: b.unit.capacitor.herm_marked_uf > b.unit.label.herm_uf,
    "dual_common_open": lambda h, b: (
        _uf(b) == _herm(b) == 0
        and _uf(b, "dual_herm", "dual_fan") == _uf(h, "dual_herm", "dual_fan")
    ),
    "cap_grounded": lambda _h, b: b.does_breaker_trip and b.ohms("cap_terminals", "cap_case") == 4,
    "cap_terminal_burnt": lambda _h, b: b.observe("capacitor_look") == "cap_burnt",
    "fan_cap_lead_off": lambda h, b: b.amps("cap_lead") < 0.01 and _uf(b) == _uf(h),
    "dual_crossed": lambda _h, b: b.observe("capacitor_look") == "dual_crossed",
    "fan_main_open": lambda _h, b: b.ohms("common", "tap_high") is None and not b.fan.running.rpm,
    "fan_start_open": lambda _h, b: (
        b.ohms("tap_high", "cap_lead") is None and b.ohms("common", "tap_high") is not None
    ),
    "fan_low_speed_open": lambda _h, b: (
        b.ohms("common", "tap_low") is None and b.ohms("common", "tap_high") is not None
    ),
    "fan_turns_shorted": lambda _h, b: b.amps("line_lead") > 1.1 * b.unit.motor.plate.amps,
    "fan_windings_touch": lambda _h, b: (
        (b.ohms("common", "cap_lead") or 0)
        < 0.9 * ((b.ohms("common", "tap_high") or 0) + (b.ohms("tap_high", "cap_lead") or 0))
    ),
    "fan_grounded": lambda _h, b: (
        b.ohms("motor_leads", "frame") is not None and b.does_breaker_trip
    ),
    "fan_lead_broken": lambda _h, b: b.observe("lead_flex") == "jumps" and _dead(b),
    "fan_overload_tripped": lambda _h, b: b.observe("shell_heat") == "shell_hot" and _dead(b),
    "fan_overload_failed": lambda _h, b: b.observe("shell_heat") == "shell_cool" and _dead(b),
    "fan_overload_weak": lambda _h, b: b.observe("run_watch") == "quits_cool",
    "fan_bearings_seized": lambda _h, b: b.observe("shaft") == "stuck",
    "fan_bearings_tight": lambda h, b: (
        b.observe("shaft") == "drags" and b.fan.running.rpm < h.fan.running.rpm
    ),
    "fan_bearings_worn": lambda _h, b: b.observe("shaft_play") == "side_play",
    "fan_rotation_wrong": lambda _h, b: b.observe("rotation") == "wrong_way",
    "fan_motor_wrong": lambda _h, b: b.observe("motor_look") == "wrong_motor",
    "blade_loose": lambda h, b: (
        b.observe("blade") == "blade_loose" and b.amps("line_lead") < h.amps("line_lead")
    ),
    "blade_rubs": lambda h, b: (
        b.observe("blade") == "blade_rubs" and b.amps("line_lead") > h.amps("line_lead")
    ),
    "blade_unbalanced": lambda _h, b: b.observe("blade") == "blade_bent",
    "condenser_dirty": lambda _h, b: b.observe("coil_look") == "coil_dirty",
    "outdoor_no_line": lambda _h, b: b.volts("line_1", "line_2") == 0,
    "outdoor_leg_open": lambda _h, b: (
        b.volts("line_1", "line_2") < 1 and b.volts("line_1", "ground") > 90
    ),
    "outdoor_low_volts": lambda _h, b: (
        b.volts("line_1", "line_2") < window_min_volts(b.unit.label.volts)
    ),
    "outdoor_joint": lambda h, b: b.volts("line_1", "line_2") < 0.97 * h.volts("line_1", "line_2"),
    "outdoor_coil_open": lambda _h, b: (
        b.volts("contactor_coil_1", "contactor_coil_2") > 20
        and b.observe("contactor_look") == "stays_out"
        and b.ohms("contactor_coil_1", "contactor_coil_2") is None
    ),
    "outdoor_contacts_burnt": lambda _h, b: _across(b, 1) > 100,
    "outdoor_pole_burnt": lambda _h, b: _across(b, 2) > 100 and _across(b, 1) < 1,
    "outdoor_contacts_pitted": lambda _h, b: 10 < _across(b, 1) < 80,
    "outdoor_contacts_welded": lambda _h, b: b.observe("outdoor_stops") == "keeps_running",
    "outdoor_no_call": lambda _h, b: b.volts("outdoor_y", "outdoor_c") == 0,
    "outdoor_control_low": lambda _h, b: 10 < b.volts("outdoor_y", "outdoor_c") < 20,
    "outdoor_safety_open": lambda _h, b: b.volts("safety_in", "safety_out") > 20,
}
"""What each fault shows, against the same unit without it (the trade's fault catalogue, common
practice, no source)."""


def test_the_catalogue_is_whole() -> None:
    """Every fault has a signature here, a complaint of the vocabulary, and an id of its own."""
    assert set(FAULT_IDS) == set(SHOWS)
    known = set(WORDS["observations"]["complaint"]["values"])
    for name, fault in CATALOGUE.faults.items():
        assert set(fault.complaints) <= known, name
    assert fault_ids("outdoor") == FAULT_IDS
    others = [load_catalogue(file) for file in FAULTS.glob("*.yaml") if file.stem != "outdoor"]
    assert not set(FAULT_IDS) & {name for other in others for name in other.faults}


@pytest.mark.parametrize("fault", FAULT_IDS)
@pytest.mark.parametrize("name", NAMES)
def test_a_fault_shows_what_the_trade_says(name: str, fault: str) -> None:
    """Meter, eye and hand tell of each fault what the fault catalogue says.

    Source: the trade's fault catalogue, common practice, no source.
    """
    unit = open_outdoor(name)
    if not does_fit(unit, fault):
        with pytest.raises(BenchError):
            apply(unit, fault)
        return
    assert SHOWS[fault](stand_of(name), stand_of(name, fault))


@pytest.mark.parametrize("name", NAMES)
def test_a_sound_unit_shows_no_fault(name: str) -> None:
    """No fault's signature fits a sound unit."""
    unit = open_outdoor(name)
    shown = [
        fault
        for fault in FAULT_IDS
        if does_fit(unit, fault) and SHOWS[fault](stand_of(name), stand_of(name))
    ]
    assert shown == []


@pytest.mark.parametrize("name", NAMES)
def test_observed_values_are_the_vocabulary_s(name: str) -> None:
    """Whatever is wrong, each observation gives a value the vocabulary has."""
    assert frozenset(OBSERVERS) == OUTDOOR.observers <= set(WORDS["observations"])
    unit = open_outdoor(name)
    for fault in (HEALTHY, *FAULT_IDS):
        if not does_fit(unit, fault):
            continue
        for is_calling in (True, False):
            stand = stand_of(name, fault, is_calling=is_calling)
            for observation in OBSERVERS:
                value = stand.observe(observation)
                known = set(WORDS["observations"][observation]["values"])
                assert value in known or (observation == "complaint" and not value)
            assert set(stand.complaints()) <= set(WORDS["observations"]["complaint"]["values"])


@pytest.mark.parametrize("name", NAMES)
def test_what_stops_it_or_is_heard_is_noticed(name: str) -> None:
    """A dead, humming, tripping, noisy or never stopping unit is complained of by itself."""
    unit = open_outdoor(name)
    plain = {
        "fan_cap_open": "hums",
        "fan_main_open": "fan_dead",
        "outdoor_no_call": "dead",
        "fan_grounded": "trips",
        "fan_bearings_worn": "noisy",
        "condenser_dirty": "weak_air",
        "outdoor_contacts_welded": "never_stops",
        "fan_overload_weak": "cuts_out",
        "fan_cap_shorted": "slow",
    }
    for fault, complaint in plain.items():
        assert does_fit(unit, fault)
        assert complaint in stand_of(name, fault).complaints(), fault
