"""Each fault shows what the trade says it shows, on every unit it is possible on."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from blower_units import open_blower
from pydantic import TypeAdapter

from assistant.bench.changes import Change, change_unit
from assistant.bench.errors import BenchError
from assistant.bench.faults import (
    HEALTHY,
    apply,
    does_fit,
    fault_ids,
    shipped_catalogue,
)
from assistant.bench.kinds import KINDS
from assistant.bench.loading import unit_names
from assistant.bench.meter import METERS
from assistant.bench.observations import OBSERVERS, complaints, observe
from assistant.bench.stand import Stand
from assistant.flow.library import VOCABULARY, shipped
from assistant.flow.source import read_source
from assistant.quantity import OverLimit

WORDS = read_source(shipped("flows") / VOCABULARY).data
LIVE = {"supply", "control", "motor_lead", "capacitor", "frame"}
OUTSIDE = {
    *("gas_smell", "done_before", "site", "footing", "roof_edge", "training", "start_try"),
    *("repair", "cold_soak", "measured_twice"),
    *("trouble", "indoor_air", "outdoors"),  # which flow, before any unit is looked at
}
"""Observations that tell of the site, the technician or the work."""
CHANGE: TypeAdapter[Change] = TypeAdapter(Change)
NAMES = unit_names("blower")


def _stand(name: str, fault: str = HEALTHY, *, is_powered: bool = True) -> Stand:
    return Stand(apply(open_blower(name), fault), is_powered=is_powered)


def test_catalogue_is_whole() -> None:
    """Fifty-five faults and at least twelve pairs, each with a weight, a group and a complaint."""
    catalogue = shipped_catalogue()
    assert len(fault_ids("blower")) == 55
    assert len(fault_ids("blower", has_doubles=True)) >= 55 + 12
    assert {"very common": 8, "common": 4, "occasional": 2, "rare": 1} == catalogue.weights
    known = set(WORDS["observations"]["complaint"]["values"])
    for name, fault in catalogue.faults.items():
        assert set(fault.complaints) <= known, name
        assert catalogue.weight(name) == catalogue.weights[fault.frequency]
    for pair in catalogue.doubles:
        rarer = min(catalogue.weight(name) for name in pair)
        assert rarer / 100 == pytest.approx(catalogue.weight("+".join(pair)))


def test_a_healthy_unit_is_left_as_it_is() -> None:
    """No fault, no change; a fault changes a copy and never the unit it was given."""
    unit = open_blower("t_115")
    before = unit.model_dump()
    assert unit == apply(unit, HEALTHY)
    for fault in fault_ids("blower"):
        if does_fit(unit, fault):
            assert unit != apply(unit, fault), fault
    assert before == unit.model_dump()


def test_unknown_and_impossible_faults() -> None:
    """A mistyped fault gets the nearest id; one that needs another unit says which it is."""
    with pytest.raises(BenchError) as caught:
        apply(open_blower("t_115"), "capacitor_week")
    assert "capacitor_weak" in caught.value.hint
    with pytest.raises(BenchError, match="not possible on unit 't_115'"):
        apply(open_blower("t_115"), "dual_swapped")
    assert not does_fit(open_blower("one_tap_208"), "two_taps_live")
    assert does_fit(open_blower("one_tap_208"), "dual_swapped")


BAD_CHANGES = [
    ({"do": "set", "what": "motor.colour", "to": "red"}, "no 'motor.colour'"),
    ({"do": "set", "what": "motr.impedance", "to": 1}, "no 'motr.impedance'"),
    ({"do": "scale", "what": "capacitor.is_bulged", "by": 2}, "not a number"),
    ({"do": "append", "what": "supply.volts", "value": "x"}, "not a list"),
    ({"do": "set", "what": "supply.volts", "to": -5}, "makes no sense"),
    ({"do": "set", "what": "wiring.modes.cooling", "to": ["tap_medium_low"]}, "makes no sense"),
    ({"do": "short_branch", "role": "fault", "ohms": 1}, "no fault branch"),
]


@pytest.mark.parametrize(("change", "said"), BAD_CHANGES)
def test_a_change_that_does_not_fit_is_refused(change: dict[str, object], said: str) -> None:
    """A change with no such place, of the wrong kind, or with a senseless result, is an error."""
    with pytest.raises(BenchError, match=said):
        change_unit(open_blower("t_115"), (CHANGE.validate_python(change),))


Shows = Callable[[Stand, Stand], bool]
"""Given the healthy unit and the faulted one."""


def _dead(healthy: Stand, bad: Stand) -> bool:
    return healthy.running.rpm > 0 and bad.running.rpm == 0 and bad.running.amps < 0.01


def _stalled(healthy: Stand, bad: Stand) -> bool:
    return bad.running.rpm == 0 and bad.running.amps > 1.5 * healthy.running.amps


def _share(value: float, of: float) -> float:
    return value / of


SHOWS: dict[str, Shows] = {
    "capacitor_weak": lambda h, b: (
        (b.microfarads("capacitor_1", "capacitor_2") or 0) < 0.94 * h.unit.capacitor.marked_uf
        and 0.9 < _share(b.running.amps, h.running.amps) < 1.35
    ),
    "capacitor_open": lambda h, b: (
        _stalled(h, b)
        and b.microfarads("capacitor_1", "capacitor_2") == 0
        and b.pushed.rpm > 0.8 * h.running.rpm
    ),
    "capacitor_shorted": lambda h, b: (
        (b.ohms("capacitor_1", "capacitor_2") or 9) < 1
        and b.microfarads("capacitor_1", "capacitor_2") is None
        and b.running.amps > 1.5 * h.running.amps
    ),
    "capacitor_bulged": lambda _, b: observe(b, "capacitor_look") == "bulged",
    "capacitor_rating_low": lambda h, b: (
        b.unit.capacitor.marked_uf < h.unit.motor.plate.capacitor_uf
        and b.microfarads("capacitor_1", "capacitor_2")
        == pytest.approx(b.unit.capacitor.marked_uf, rel=0.06)
    ),
    "capacitor_rating_high": lambda h, b: (
        b.unit.capacitor.marked_uf > h.unit.motor.plate.capacitor_uf and b.running.winding_watts > 0
    ),
    "capacitor_volts_low": lambda _, b: (
        b.unit.capacitor.marked_volts < b.unit.motor.plate.capacitor_volts
    ),
    "dual_swapped": lambda h, b: b.running.amps > 1.5 * h.running.amps,
    "capacitor_lead_off": lambda h, b: (
        _stalled(h, b)
        and b.amps("cap_lead") < 0.01
        and b.microfarads("capacitor_1", "capacitor_2") == h.unit.capacitor.uf
        and b.microfarads("cap_lead", "cap_return") == 0
    ),
    "main_open": lambda _, b: b.ohms("common", "tap_high") is None and b.running.rpm == 0,
    "start_open": lambda h, b: (
        _stalled(h, b)
        and b.ohms("cap_lead", "common") is None
        and b.ohms("cap_lead", "tap_high") is None
        and b.ohms("common", "tap_high") is not None
    ),
    "tap_open": lambda h, b: (
        b.ohms("tap_low", "common") is None
        and b.ohms("tap_high", "common") == pytest.approx(h.ohms("tap_high", "common"))
        and b.running.rpm == 0
    ),
    "turns_shorted_main": lambda h, b: (
        b.running.amps > 1.2 * h.running.amps
        and b.running.rpm > 0.97 * h.running.rpm
        and 0 < (h.ohms("common", "tap_high") or 0) - (b.ohms("common", "tap_high") or 0)
    ),
    "turns_shorted_start": lambda h, b: (
        b.running.rpm < h.running.rpm
        and (b.ohms("cap_lead", "common") or 0) < 0.9 * (h.ohms("cap_lead", "common") or 0)
    ),
    "main_start_short": lambda h, b: (
        (b.ohms("cap_lead", "common") or 0) < 0.75 * (h.ohms("cap_lead", "common") or 0)
        and b.running.amps > 1.3 * h.running.amps
    ),
    "grounded": lambda _, b: (
        b.ohms("motor_leads", "frame") is not None and b.megohms() < 0.001 and b.does_breaker_trip
    ),
    "insulation_weak": lambda h, b: (
        0.5 <= b.megohms() <= 5 and h.megohms() >= 100 and b.ohms("common", "frame") is None
    ),
    "lead_broken": lambda h, b: (
        _dead(h, b) and observe(b, "lead_flex") == "jumps" and b.ohms("common", "tap_high") is None
    ),
    "overload_tripped": lambda h, b: (
        _dead(h, b)
        and observe(b, "shell_heat") == "shell_hot"
        and b.ohms("common", "tap_high") is None
    ),
    "overload_failed": lambda h, b: (
        _dead(h, b)
        and observe(b, "shell_heat") == "shell_cool"
        and b.ohms("common", "tap_high") is None
    ),
    "overload_weak": lambda h, b: observe(b, "run_watch") == "quits_cool" and not complaints(h),
    "bearings_seized": lambda h, b: _stalled(h, b) and observe(b, "shaft") == "stuck",
    "bearings_tight": lambda h, b: (
        observe(b, "shaft") == "drags" and b.running.amps > h.running.amps
    ),
    "bearings_worn": lambda h, b: (
        observe(b, "shaft_play") == "side_play" and b.running.amps > h.running.amps
    ),
    "wheel_loose": lambda h, b: (
        b.running.cfm == 0 and b.running.rpm > h.running.rpm and b.running.amps < h.running.amps
    ),
    "wheel_rubs": lambda h, b: (
        observe(b, "wheel") == "wheel_rubs" and b.running.rpm < h.running.rpm
    ),
    "wheel_unbalanced": lambda _, b: (
        observe(b, "wheel") == "wheel_unbalanced" and "noisy" in complaints(b)
    ),
    "wheel_dirty": lambda h, b: (
        b.running.static < h.running.static
        and b.running.amps < h.running.amps
        and observe(b, "air_at_grilles") == "air_weak"
    ),
    "rotation_wrong": lambda h, b: (
        observe(b, "rotation") == "wrong_way" and b.running.cfm < 0.7 * h.running.cfm
    ),
    "rotor_bars": lambda h, b: (
        b.running.rpm < 0.97 * h.running.rpm
        and b.ohms("common", "tap_high") == h.ohms("common", "tap_high")
    ),
    "motor_wrong": lambda _, b: b.unit.motor.plate.hp != b.unit.label.motor_hp,
    "no_line_volts": lambda h, b: _dead(h, b) and b.volts("line_1", "line_2") < 1,
    "low_volts": lambda _, b: b.volts("line_1", "line_2") < 0.9 * b.unit.label.motor_volts,
    "joint_high_resistance": lambda h, b: (
        b.volts("line_1", "relay_contact_in") > 0.03 * b.unit.supply.volts
        and h.volts("line_1", "relay_contact_in") < 0.5
    ),
    "voltage_tap_wrong": lambda h, b: (
        observe(b, "voltage_tap") == "tap_volts_wrong"
        and b.volts("line_1", "line_2") == pytest.approx(h.volts("line_1", "line_2"), rel=0.01)
        and b.volts("motor_supply_1", "motor_supply_2") < 0.9 * b.unit.label.motor_volts
    ),
    "leg_open": lambda h, b: (
        _dead(h, b) and b.volts("line_1", "line_2") < 2 and b.volts("line_1", "ground") > 100
    ),
    "transformer_dead": lambda h, b: (
        _dead(h, b)
        and b.volts("line_1", "line_2") > 100
        and b.volts("transformer_secondary_1", "transformer_secondary_2") < 1
    ),
    "control_fuse": lambda h, b: (
        _dead(h, b)
        and b.volts("transformer_secondary_1", "control_c") > 22
        and b.volts("fuse_out", "control_c") < 1
    ),
    "relay_coil_open": lambda h, b: (
        _dead(h, b)
        and b.volts("relay_coil_1", "relay_coil_2") > 22
        and b.ohms("relay_coil_1", "relay_coil_2") is None
        and observe(b, "relay_click") == "no_click"
    ),
    "relay_contacts_burnt": lambda h, b: (
        _dead(h, b)
        and observe(b, "relay_click") == "clicks"
        and b.volts("relay_contact_in", "relay_contact_out") > 100
    ),
    "relay_welded": lambda h, b: (
        observe(b, "blower_stops") == "keeps_running"
        and Stand(b.unit, is_calling=False).running.rpm > 0
        and Stand(h.unit, is_calling=False).running.rpm == 0
    ),
    "board_no_output": lambda h, b: (
        _dead(h, b)
        and b.volts("control_g", "control_c") > 22
        and b.volts("relay_coil_1", "relay_coil_2") < 1
        and Stand(b.unit, "heating").running.rpm > 0
    ),
    "call_missing": lambda h, b: (
        _dead(h, b)
        and b.volts("control_r", "control_c") > 22
        and b.volts("control_g", "control_c") < 1
    ),
    "control_volts_low": lambda _, b: (
        b.volts("relay_coil_1", "relay_coil_2") < 20 and observe(b, "relay_click") == "chatters"
    ),
    "safety_open": lambda h, b: _dead(h, b) and b.volts("safety_in", "safety_out") > 22,
    "tap_wrong": lambda _, b: observe(b, "tap_fit") == "tap_wrong",
    "two_taps_live": lambda h, b: (
        b.running.amps > 1.5 * h.running.amps and observe(b, "motor_look") == "two_taps"
    ),
    "tap_bare": lambda _, b: b.does_breaker_trip and observe(b, "motor_look") == "bare_tap",
    "capacitor_line_swapped": lambda _, b: (
        b.running.rpm == 0 and observe(b, "motor_look") == "leads_swapped"
    ),
    "filter_loaded": lambda h, b: (
        b.static("return_plenum", "blower_inlet") > 0.2 * b.running.static
        and b.running.amps < h.running.amps
    ),
    "coil_blocked": lambda h, b: (
        b.static("before_coil", "supply_plenum") > 0.4 * b.running.static
        and b.running.amps < h.running.amps
    ),
    "return_small": lambda h, b: (
        -b.static("return_plenum") > 0.5 * b.running.static and b.running.amps < h.running.amps
    ),
    "supply_blocked": lambda h, b: b.static("supply_plenum") > 2 * h.static("supply_plenum"),
    "duct_leak": lambda h, b: (
        b.running.static < h.running.static and b.running.amps > h.running.amps
    ),
    "panel_off": lambda h, b: b.running.amps > h.unit.motor.plate.amps,
}


def test_every_fault_has_its_signature_here() -> None:
    """No fault of the catalogue goes unchecked."""
    assert set(fault_ids("blower")) == set(SHOWS)


@pytest.mark.parametrize("fault", fault_ids("blower"))
@pytest.mark.parametrize("name", NAMES)
def test_a_fault_shows_what_the_trade_says(name: str, fault: str) -> None:
    """The meter, the eye and the hand tell of each fault what the fault catalogue says.

    Source: the trade's fault catalogue, common practice, no source.
    """
    unit = open_blower(name)
    if not does_fit(unit, fault):
        with pytest.raises(BenchError):
            apply(unit, fault)
        return
    assert SHOWS[fault](_stand(name), _stand(name, fault))


@pytest.mark.parametrize("name", NAMES)
def test_healthy_units_show_nothing(name: str) -> None:
    """A healthy unit gives no complaint, and no fault's signature fits it."""
    healthy = _stand(name)
    assert complaints(healthy) == ()
    shown = [
        fault
        for fault in SHOWS
        if does_fit(healthy.unit, fault) and SHOWS[fault](_stand(name), _stand(name))
    ]
    assert shown == []


def test_observations_and_meters_are_the_vocabulary_s() -> None:
    """Every observation and meter of the vocabulary is answered, and nothing else is."""
    told = frozenset[str]().union(*(kind.observers for kind in KINDS.values()))
    assert set(WORDS["observations"]) - told == OUTSIDE
    assert told <= set(WORDS["observations"])
    assert set(WORDS["meters"]) == set(METERS)
    for name, meter in METERS.items():
        said = WORDS["meters"][name]
        assert (float(said["percent"]), said["counts"]) == (meter.percent, meter.counts), name


@pytest.mark.parametrize("name", NAMES)
def test_observed_values_are_the_vocabulary_s(name: str) -> None:
    """Whatever is wrong, each observation gives a value the vocabulary has."""
    unit = open_blower(name)
    for fault in (HEALTHY, *fault_ids("blower", has_doubles=True)):
        if not does_fit(unit, fault):
            continue
        for calling in (True, False):
            stand = Stand(apply(unit, fault), is_calling=calling)
            for observation in OBSERVERS:
                value = observe(stand, observation)
                known = set(WORDS["observations"][observation]["values"])
                assert value in known or (observation == "complaint" and not value)


def test_looks_come_first_and_unknown_observations_are_refused() -> None:
    """What a unit's file says of its looks is what is seen."""
    unit = change_unit(
        open_blower("t_115"),
        (CHANGE.validate_python({"do": "set", "what": "looks.coil_look", "to": "coil_iced"}),),
    )
    assert observe(Stand(unit), "coil_look") == "coil_iced"
    with pytest.raises(BenchError) as caught:
        observe(Stand(unit), "coil_lok")
    assert "coil_look" in caught.value.hint


def test_nothing_is_live_with_the_disconnect_open() -> None:
    """With the power off every voltage is zero, whatever is wrong, and nothing turns."""
    assert _stand("t_115", is_powered=False).volts("known_live", "ground") > 100
    places = [p for p, w in WORDS["places"].items() if w["kind"] in LIVE and p != "known_live"]
    for name in NAMES:
        for fault in fault_ids("blower"):
            if does_fit(open_blower(name), fault):
                stand = _stand(name, fault, is_powered=False)
                assert stand.running.rpm == 0
                for place in places:
                    assert stand.volts(place, "ground") == pytest.approx(0, abs=0.01), place


ERRORS = [("ohms", 17.5, 0.3575), ("capacitance", 10.0, 0.12), ("clamp_amps", 0.8, 0.066)]


@pytest.mark.parametrize(("name", "value", "error"), ERRORS)
def test_a_meter_s_error(name: str, value: float, error: float) -> None:
    """Percent of the reading plus counts of the last digit: 0.9 percent and 2 counts on ohms.

    Source: common practice, no source; a clamp near 0.8 A is good to about 8 percent.
    """
    meter = METERS[name]
    one = next(r for r in meter.ranges if value <= r.limit)
    assert error == pytest.approx(meter.error(value, one))


def test_the_meter_s_error_stays_within_its_own() -> None:
    """Drawn readings differ, and stay inside the error the meter's maker allows."""
    chance, meter = np.random.default_rng(7), METERS["ohms"]
    shown = [meter.show(17.5, chance) for _ in range(300)]
    values = {float(r.value) for r in shown if not isinstance(r, OverLimit)}
    allowed = meter.error(17.6, meter.ranges[0]) + 0.05
    assert len(values) > 3
    assert max(abs(v - 17.6) for v in values) <= allowed
    again = np.random.default_rng(7)
    assert shown == [meter.show(17.5, again) for _ in range(300)]


def test_every_fault_runs_to_a_number() -> None:
    """A unit with any fault, stood up and run, draws a current that is a number."""
    unit = open_blower("t_115")
    for fault in fault_ids("blower"):
        if does_fit(unit, fault):
            assert math.isfinite(Stand(apply(unit, fault)).running.amps), fault
