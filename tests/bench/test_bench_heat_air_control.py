"""Heat in time, pressures along the air's way, and the 24 V circuit."""

import itertools

import pytest
from blower_units import open_blower

from assistant.bench.air import part_drops, static_pressures
from assistant.bench.control import Relay, control_state
from assistant.bench.faults import apply
from assistant.bench.loading import unit_names
from assistant.bench.stand import Stand
from assistant.bench.thermal import (
    Warming,
    after_waiting,
    closes_after_s,
    cooling,
    opens_after_s,
)
from assistant.bench.windings import is_overload_open

NAMES = unit_names("blower")


@pytest.mark.parametrize("name", NAMES)
def test_overload_opens_and_closes_as_the_trade_says(name: str) -> None:
    """It opens at 130 to 150 C, closes 20 to 60 K lower, after 5 to 45 minutes of standing.

    Source: common practice, no source.
    """
    unit = open_blower(name)
    overload = unit.motor.overload
    assert 130 <= overload.opens_c <= 150
    assert 20 <= overload.opens_c - overload.closes_c <= 60
    seconds = closes_after_s(unit)
    assert seconds is not None
    assert 5 * 60 <= seconds <= 45 * 60


@pytest.mark.parametrize("name", NAMES)
def test_a_stalled_motor_trips_and_a_healthy_one_does_not(name: str) -> None:
    """A locked rotor opens the overload within minutes; a healthy motor runs on for ever."""
    healthy, locked = (
        Stand(u) for u in (open_blower(name), apply(open_blower(name), "bearings_seized"))
    )
    assert opens_after_s(healthy.unit, healthy.running) is None
    seconds = opens_after_s(locked.unit, locked.running)
    assert seconds is not None
    assert 30 <= seconds <= 15 * 60


WARMING = Warming(25.0, 125.0, 600.0)
REACHED = [
    (25.0, 0.0),
    (75.0, 600 * 0.693147),
    (124.9, 600 * 6.907755),
    (125.0, None),
    (130.0, None),
]


@pytest.mark.parametrize(("celsius", "seconds"), REACHED)
def test_time_to_a_temperature(celsius: float, seconds: float | None) -> None:
    """Half way takes ln 2 time constants; the end and beyond are never reached.

    Source: first-order response, textbook.
    """
    reached = WARMING.seconds_to(celsius)
    if seconds is None:
        assert reached is None
    else:
        assert seconds == pytest.approx(reached, rel=1e-5)
        assert celsius == pytest.approx(WARMING.after(seconds))


def test_a_tripped_overload_closes_when_it_has_cooled() -> None:
    """Just before it has cooled it is open, just after it is closed and the motor runs again."""
    unit = apply(open_blower("t_115"), "overload_tripped")
    seconds = cooling(unit, unit.winding_c).seconds_to(unit.motor.overload.closes_c)
    assert seconds is not None
    before, after = (after_waiting(unit, seconds / 60 + late) for late in (-0.1, 0.1))
    assert is_overload_open(before)
    assert not is_overload_open(after)
    assert Stand(after).running.rpm > 0
    failed = after_waiting(apply(open_blower("t_115"), "overload_failed"), 120)
    assert is_overload_open(failed)


@pytest.mark.parametrize("name", NAMES)
def test_pressures_fall_along_the_way_of_the_air(name: str) -> None:
    """From room to blower inlet pressure falls, from the coil on it falls back to the room's.

    The total across the blower is the sum of all drops.
    """
    stand = Stand(open_blower(name))
    ports = static_pressures(stand.unit, stand.running.cfm)
    way = ["before_coil", "supply_plenum", "room", "return_plenum", "blower_inlet"]
    for first, second in itertools.pairwise(way):
        assert ports[first] > ports[second]
    assert stand.running.static == pytest.approx(stand.static("before_coil", "blower_inlet"))
    drops = part_drops(stand.unit, stand.running.cfm)
    assert sum(drops.values()) == pytest.approx(stand.running.static)


@pytest.mark.parametrize("name", NAMES)
def test_healthy_air_is_within_the_budget(name: str) -> None:
    """Filter at most a fifth, coil at most two fifths of the total, total near half an inch.

    Source: common practice, no source.
    """
    stand = Stand(open_blower(name))
    drops = part_drops(stand.unit, stand.running.cfm)
    assert drops["filter"] < 0.2 * stand.running.static
    assert drops["coil"] < 0.4 * stand.running.static
    assert stand.running.static == pytest.approx(0.5, abs=0.06)


@pytest.mark.parametrize("name", NAMES)
def test_healthy_controls_are_healthy(name: str) -> None:
    """22 to 28 V with the load on, about 0 across closed switches, the relay pulled in on a call.

    Source: common practice, no source.
    """
    unit = open_blower(name)
    calling = control_state(unit, "cooling", is_calling=True)
    resting = control_state(unit, "cooling", is_calling=False)
    for first in ("control_r", "control_g", "relay_coil_1"):
        assert 22 <= calling.volts_between(first, "control_c") <= 28
    assert calling.volts_between("safety_in", "safety_out") < 0.5
    assert calling.relay is Relay.PULLED_IN
    assert resting.relay is Relay.RESTS
    assert resting.volts_between("control_g", "control_c") < 0.5
    assert resting.volts_between("control_r", "control_g") > 22


COIL_VOLTS = [
    (9.9, Relay.RESTS),
    (10.1, Relay.CHATTERS),
    (19.9, Relay.CHATTERS),
    (20.1, Relay.PULLED_IN),
]


@pytest.mark.parametrize(("volts", "relay"), COIL_VOLTS)
def test_a_relay_by_its_coil_volts(volts: float, relay: Relay) -> None:
    """Under 10 V it lets go, under 20 V it chatters.

    Source: common practice, no source.
    """
    unit = open_blower("t_115")
    control = unit.control
    load = 1 / (1 / control.load_ohms + 1 / (control.coil_impedance + 0.35) + 1e-4)
    open_volts = volts * (1 + 0.35 / control.coil_impedance) * (load + 1.3) / load
    weak = unit.model_copy(
        update={"control": control.model_copy(update={"open_volts": open_volts})}
    )
    state = control_state(weak, "cooling", is_calling=True)
    assert volts == pytest.approx(state.volts["relay_coil_1"], abs=0.02)
    assert relay is state.relay
