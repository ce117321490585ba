"""Running values against outside figures, and what physics asks of any motor."""

import csv
import dataclasses
import json
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from blower_units import open_blower
from running_recipes import PLACES, recipe

from assistant.bench.changes import Bridge, Point, change_unit
from assistant.bench.circuit import Element, solve_circuit
from assistant.bench.faults import apply, does_fit, fault_ids
from assistant.bench.loading import unit_names
from assistant.bench.machine import Machine, Running
from assistant.bench.rotor import Cage, synchronous_radians
from assistant.bench.unit import Unit
from assistant.trade.capacitor import under_load_uf

HERE = Path(__file__).parent


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open() as file:
        return list(csv.DictReader(file))


ROWS = _rows("running_values.csv")
CHECKS = [r for r in _rows("bench_check_values.csv") if r["quantity"].startswith("bench_")]


def _seen(unit: Unit, running: Running) -> dict[str, float]:
    """Give the columns of the figures from what the bench has."""
    amps = running.currents
    capacitor = amps.get("capacitor", 0.0)
    volts = capacitor * (1e6 / (2 * math.pi * unit.supply.hz * unit.capacitor.uf or 1))
    return {
        "rpm": running.rpm,
        "amps": running.amps,
        "watts": running.watts,
        "pf": running.power_factor,
        "cap_volts": volts,
        "cap_amps": capacitor if unit.capacitor.short_ohms is None else 0.0,
        "aux_amps": amps.get("AUX", 0.0),
        "main_amps": amps.get("MAIN", 0.0),
        "cfm": running.cfm,
        "esp": running.static,
        "start_torque": running.start_torque,
        "winding_W": running.winding_watts,
    }


def _tolerance(printed: str) -> float:
    """Give half of the last digit printed."""
    decimals = len(printed.partition(".")[2])
    return 0.5001 * 10.0**-decimals


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['motor']}-{r['fault']}" for r in ROWS])
def test_every_running_figure_is_met(changed: Callable[..., Unit], row: dict[str, str]) -> None:
    """Each figure of each row rounds to what is printed.

    Source: running_values.csv, an independent numpy solver whose network agrees with ngspice-39.
    """
    made = recipe(row["motor"], row["fault"])
    unit = changed(row["motor"], *made.changes)
    machine = Machine(unit, made.taps)
    running = machine.running
    if made.held_slip is not None:
        running = machine.at_speed(machine.synchronous_rpm * (1 - made.held_slip))
    seen = _seen(unit, running)
    off = {
        key: (row[key], round(value, 4))
        for key, value in seen.items()
        if row[key] and not math.isclose(float(row[key]), value, abs_tol=_tolerance(row[key]))
    }
    assert off == {}


def test_no_row_of_the_figures_is_left_out() -> None:
    """Both motors, 95 rows, each with a recipe of its own."""
    assert len(ROWS) == 95
    made = [(r["motor"], recipe(r["motor"], r["fault"])) for r in ROWS]
    assert all(made.count(one) <= 2 for one in made)


@pytest.mark.parametrize("row", CHECKS, ids=[r["id"] for r in CHECKS])
def test_check_values_at_a_given_slip(row: dict[str, str]) -> None:
    """Currents and volts at a fixed slip hold at the check value's own tolerance, and far below.

    Source: bench_check_values.csv C090 to C094, numpy and ngspice-39 .ac within 2e-5.
    """
    given = json.loads(row["inputs_json"])
    unit = open_blower({"A": "t_115", "B": "t_230"}[given["motor"]])
    machine = Machine(unit, (PLACES[given["motor"]][given["tap"]],))
    running = machine.at_speed(machine.synchronous_rpm * (1 - given["slip"]))
    seen = {
        "bench_line_amps": running.amps,
        "bench_cap_amps": running.currents["capacitor"],
        "bench_cap_volts": _seen(unit, running)["cap_volts"],
    }[row["quantity"]]
    assert float(row["expected"]) == pytest.approx(seen, rel=float(row["rel_tol"]))
    assert float(row["expected"]) == pytest.approx(seen, rel=3e-5)


def test_textbook_single_phase_motor() -> None:
    """One winding at 110 V: 3.60 A and, with 37 W of no-load loss, 147 W at the shaft.

    Source: check value C096, the quarter horsepower example of electric-machinery textbooks
    (from memory), recomputed.
    """
    row = next(r for r in _rows("bench_check_values.csv") if r["id"] == "C096")
    given = json.loads(row["inputs_json"])
    impedance = complex(given["r1"], given["x1"])
    solved = solve_circuit(
        (Element("main", "ground", "ground", impedance, (1, 0), given["volts"]),)
    )
    cage = Cage(
        given["xm"], given["r2"], given["x2"], synchronous_radians(given["poles"], given["hz"])
    )
    gap = cage.gap(np.array([given["slip"]]), *solved.ampere_turns)
    amps = abs(solved.currents(gap.induced[0])["main"])
    assert float(row["expected"]) == pytest.approx(amps, rel=float(row["rel_tol"]))
    shaft = (gap.forward[0] - gap.backward[0]) * (1 - given["slip"]) - 37
    assert shaft == pytest.approx(147, abs=1)


FITTING = [
    (name, fault)
    for name in unit_names("blower")
    for fault in ("healthy", *fault_ids("blower", has_doubles=True))
    if does_fit(open_blower(name), fault)
]


@pytest.mark.parametrize("name", unit_names("blower"))
def test_power_in_is_losses_and_shaft(name: str) -> None:
    """On every unit with every fault, line power is winding, wire and cage loss plus the shaft's.

    Source: conservation of energy.
    """
    for fault in (f for n, f in FITTING if n == name):
        unit = apply(open_blower(name), fault)
        for taps in unit.wiring.modes.values():
            machine = Machine(unit, taps)
            for running in (machine.running, machine.pushed, machine.at_speed(400.0)):
                out = running.shaft_watts + running.cage_watts
                out += running.winding_watts + running.wire_watts
                assert running.watts == pytest.approx(out, rel=1e-5, abs=0.01), (fault, taps)


@pytest.mark.parametrize("name", unit_names("blower"))
def test_shaft_power_goes_into_air_and_bearings(name: str) -> None:
    """Where a healthy motor settles, its torque is what wheel and bearings ask."""
    unit = open_blower(name)
    for taps in unit.wiring.modes.values():
        running = Machine(unit, taps).running
        blower, ratio = unit.blower, running.rpm / unit.blower.rpm
        share = running.cfm / blower.cfm / ratio
        horsepower = (blower.idle_hp + blower.flow_hp * share**2) * ratio**3
        asked = horsepower * 745.7 + unit.motor.bearings.running * running.rpm * math.pi / 30
        assert asked == pytest.approx(running.shaft_watts, rel=1e-4)


@pytest.mark.parametrize("name", unit_names("blower"))
def test_healthy_units_are_sound(name: str) -> None:
    """A shipped unit starts, turns with its arrow, stays under its plate's amps and volts."""
    unit = open_blower(name)
    for taps in unit.wiring.modes.values():
        running = Machine(unit, taps).running
        assert running.rpm > 800
        assert not running.is_backwards
        assert running.amps < unit.motor.plate.amps
        assert running.volts_between("capacitor_1", "capacitor_2") < unit.capacitor.marked_volts
        assert unit.capacitor.uf == pytest.approx(
            under_load_uf(
                running.currents["capacitor"],
                running.volts_between("capacitor_1", "capacitor_2"),
                unit.supply.hz,
            ),
            rel=1e-3,
        )


@pytest.mark.parametrize("name", unit_names("blower"))
def test_a_winding_cut_in_two_is_the_same_winding(name: str) -> None:
    """Cutting a winding and bridging the spot through a gigaohm changes no running figure."""
    unit = open_blower(name)
    bridge = Bridge(do="bridge", first=Point(role="main", at=0.37), second="frame", ohms=1e9)
    whole, cut = (Machine(u, ("tap_high",)).running for u in (unit, change_unit(unit, (bridge,))))
    for key in ("rpm", "amps", "watts", "cfm", "start_torque"):
        assert getattr(whole, key) == pytest.approx(getattr(cut, key), rel=1e-5)


def test_a_reversed_auxiliary_runs_backwards() -> None:
    """A motor with its auxiliary reversed starts as hard, against the arrow, with less air."""
    unit = open_blower("t_115")
    right, wrong = (
        Machine(u, ("tap_high",)).running for u in (unit, apply(unit, "rotation_wrong"))
    )
    assert right.start_torque == pytest.approx(-wrong.start_torque)
    assert wrong.is_backwards
    assert wrong.cfm < 0.7 * right.cfm


BREAKAWAY = [(0.99, True), (1.01, False)]


@pytest.mark.parametrize(("share", "does_start"), BREAKAWAY)
def test_starts_only_above_breakaway(share: float, does_start: bool) -> None:
    """Just under the torque at rest the shaft moves, just above it does not, and a push helps."""
    unit = open_blower("t_115")
    torque = Machine(unit, ("tap_low",)).start_torque
    bearings = unit.motor.bearings.model_copy(update={"breakaway": torque * share})
    motor = unit.motor.model_copy(update={"bearings": bearings})
    machine = Machine(unit.model_copy(update={"motor": motor}), ("tap_low",))
    assert does_start == (machine.running.rpm > 0)
    assert machine.pushed.rpm > 800


def test_frequency_moves_reactances_and_speed() -> None:
    """At 50 Hz the fields turn at 1000 rpm, at 60 Hz at 1200 (six poles).

    Source: 120 f / poles, identity.
    """
    unit = open_blower("t_115")
    slow = unit.model_copy(update={"supply": unit.supply.model_copy(update={"hz": 50.0})})
    assert Machine(unit, ("tap_high",)).synchronous_rpm == pytest.approx(1200)
    assert Machine(slow, ("tap_high",)).synchronous_rpm == pytest.approx(1000)


def test_a_record_of_running_is_frozen() -> None:
    """What was worked out once cannot be changed by whoever reads it."""
    running = Machine(open_blower("t_115"), ("tap_high",)).running
    with pytest.raises(dataclasses.FrozenInstanceError):
        running.amps = 0.0  # type: ignore[misc]
