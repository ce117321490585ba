"""A 24 volt control on the bench shows what its circuit gives, checked against ngspice and Ohm."""

import csv
from pathlib import Path

import pytest

from assistant.bench.changes import SetValue, change_unit
from assistant.bench.control_system import ControlSystem
from assistant.bench.control_system_circuit import (
    CALLS,
    Pull,
    is_fuse_blown,
    low_side,
    pull,
    secondary_emf,
    solve_low,
)
from assistant.bench.control_system_ohms import in_series, ohms_between, parallel
from assistant.bench.control_system_stand import ControlStand
from assistant.bench.errors import BenchError
from assistant.bench.loading import open_unit, unit_names
from assistant.flow.model import QuantityKind
from assistant.trade.control import (
    CHATTER_VOLTS,
    CLASS_2_MAX_VA,
    CLASS_2_MAX_VOLTS,
    COIL_OHMS,
    HEALTHY_CONTROL_VOLTS,
    transformer_amps,
)

UNITS = unit_names("control")
VOLTS = Path(__file__).parent / "control_volts.csv"


def control(name: str, **changes: object) -> ControlSystem:
    """Give a shipped control with values set; `__` in a name stands for the dot of the way."""
    unit = open_unit(name)
    assert isinstance(unit, ControlSystem)
    ways = [
        SetValue.model_validate({"do": "set", "what": way.replace("__", "."), "to": value})
        for way, value in changes.items()
    ]
    return change_unit(unit, ways)


CASES: dict[str, dict[str, object]] = {
    "healthy": {},
    "joint": {"feed_ohms": 14.0},
    "overload": {"accessory_ohms": 9.2},
}


def figures() -> list[dict[str, str]]:
    """Give the rows of the reference table."""
    with VOLTS.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", [r for r in figures() if r["case"] in CASES], ids=str)
def test_the_circuit_gives_what_ngspice_gives(row: dict[str, str]) -> None:
    """Volts and amps of the furnace, healthy and faulted, agree with netlists written by hand."""
    stand = ControlStand(control("furnace_board_3a", **CASES[row["case"]]))
    kind = QuantityKind.CURRENT if row["unit"] == "A" else QuantityKind.VOLTAGE
    shown = stand.read(kind, row["place"], row["against"])
    assert float(row["value"]) == pytest.approx(shown, rel=1e-4)


def test_a_short_gives_the_amps_that_ngspice_gives_and_blows_the_fuse() -> None:
    """Nearly five amps through a 3 A fuse: it is found blown, and no volts stand behind it."""
    unit = control("furnace_board_3a", shorts__outdoor_cable=0.4)
    [row] = [row for row in figures() if row["case"] == "short"]
    emf = unit.transformer.open_volts
    low = solve_low(unit, "cooling", emf, is_calling=True, is_fuse_whole=True)
    assert float(row["value"]) == pytest.approx(low.amps, rel=1e-4)
    assert is_fuse_blown(unit)
    assert ControlStand(unit).volts("fuse_out", "control_c") == pytest.approx(0, abs=1e-6)
    assert ControlStand(unit).volts("transformer_secondary_1", "transformer_secondary_2") > 27


@pytest.mark.parametrize("name", UNITS)
def test_a_sound_unit_is_healthy_by_the_trade(name: str) -> None:
    """Sound: 22 to 28 V under load, amps within VA over 24 V, class 2, coils of usual ohms.

    Source: healthy 22-28 and the coils are common practice, no source; class 2 is NEC chapter 9
    table 11(A), at most 30 V and 100 VA; 40 VA is 1.67 A, identity.
    """
    unit = control(name)
    stand, low, high = ControlStand(unit), *HEALTHY_CONTROL_VOLTS
    for place in ("control_r", "relay_coil_1", "control_w"):
        assert low <= stand.volts(place, "control_c") <= high
    assert low <= stand.volts("contactor_coil_1", "contactor_coil_2") <= high
    assert stand.cooling.amps < transformer_amps(unit.plate.va, 24)
    assert secondary_emf(unit) <= CLASS_2_MAX_VOLTS
    assert unit.plate.va <= CLASS_2_MAX_VA
    for kind, part in (("fan_relay", unit.fan_relay), ("contactor", unit.contactor)):
        least, most = COIL_OHMS[kind]
        assert least <= part.coil.ohms <= most
    assert not is_fuse_blown(unit)


def test_forty_volt_amps_are_one_and_two_thirds_amps() -> None:
    """Source: identity, TRADE: 40 VA is 1.67 A."""
    assert pytest.approx(1.67, abs=0.005) == transformer_amps(40, 24)


@pytest.mark.parametrize("name", UNITS)
def test_across_a_closed_switch_about_nothing_across_the_open_one_all(name: str) -> None:
    """A closed switch shows about 0 V, the open one about 24 (common practice, no source)."""
    switches = {
        ("float_in", "float_out"): "float_switch__is_open",
        ("pressure_in", "pressure_out"): "outdoor__is_pressure_open",
        ("limit_in", "limit_out"): "heat__is_limit_open",
    }
    sound = ControlStand(control(name))
    tried = 0
    for (first, second), way in switches.items():
        if sound.has_place(first):
            tried += 1
            assert sound.volts(first, second) < 0.1
            assert 22 < ControlStand(control(name, **{way: True})).volts(first, second) < 28
    assert tried >= 1


def test_a_door_switch_takes_the_line_from_the_transformer() -> None:
    """Line volts stand across the open door switch and none at the primary."""
    stand = ControlStand(control("furnace_board_3a", door__is_open=True))
    assert stand.volts("door_in", "door_out") == pytest.approx(121)
    assert stand.volts("line_1", "line_2") == pytest.approx(121)
    assert stand.volts("transformer_primary_1", "transformer_primary_2") == pytest.approx(0)


@pytest.mark.parametrize(
    ("volts", "state"),
    [
        (9.9, Pull.RESTS),
        (10.0, Pull.CHATTERS),
        (CHATTER_VOLTS - 0.1, Pull.CHATTERS),
        (CHATTER_VOLTS, Pull.PULLED_IN),
    ],
)
def test_a_coil_chatters_under_twenty_volts(volts: float, state: Pull) -> None:
    """Under 20 V a coil chatters, under 10 it lets go (common practice, no source)."""
    assert state is pull(volts)


def test_a_primary_tap_for_another_line_scales_the_secondary() -> None:
    """202 V on a tap for 240 gives 202/240 of the volts (identity of the turns ratio)."""
    right, wrong = control("tap_208"), control("tap_208", transformer__tap=240)
    assert secondary_emf(wrong) == pytest.approx(secondary_emf(right) * 208 / 240)
    assert secondary_emf(wrong) == pytest.approx(28.2 * 202 / 240)
    assert (True, False) == (right.is_tap_right, wrong.is_tap_right)
    with pytest.raises(BenchError, match="no tap for 460"):
        control("tap_208", transformer__tap=460)


def test_without_a_call_only_what_always_hangs_on_r_draws() -> None:
    """Idle amps are board and thermostat alone, by Ohm's law."""
    unit = control("furnace_board_3a")
    low = low_side(unit, "cooling", is_calling=False)
    load = 1 / (1 / unit.board.load_ohms + 1 / (unit.thermostat.load_ohms + 2 * 0.5))
    by_ohm = secondary_emf(unit) / (3.0 + 0.05 * 3 + load)
    assert by_ohm == pytest.approx(low.amps, rel=1e-6)


def test_ohms_side_by_side_and_in_a_row() -> None:
    """Two of 30 in parallel are 15; a path with an opening has none."""
    assert parallel((30, None, 30)) == pytest.approx(15)
    assert parallel((None, None)) is None
    assert in_series(1, 2, 3) == pytest.approx(6)
    assert in_series(1, None) is None


@pytest.mark.parametrize(
    ("way", "whole", "piece"),
    [
        ("shorts__outdoor_cable", ("control_y", "control_c"), ("outdoor_lead", "control_c")),
        ("shorts__thermostat_cable", ("fuse_out", "control_c"), ("cable_r", "cable_c")),
        ("shorts__safety_wire", ("fuse_out", "control_c"), ("safety_lead", "frame")),
        ("shorts__board", ("fuse_out", "control_c"), ("board_r", "control_c")),
        ("shorts__heat_circuit", ("control_w", "control_c"), ("heat_lead", "control_c")),
    ],
)
def test_a_short_shows_at_the_terminal_and_at_its_own_piece(
    way: str, whole: tuple[str, str], piece: tuple[str, str]
) -> None:
    """Each spot reads under 2 ohms at its terminal and lifted, and no sound unit does.

    Source: under 2 ohm suspect is common practice, no source.
    """
    shorted, sound = control("air_handler_float", **{way: 0.5}), control("air_handler_float")
    for pair in (whole, piece):
        shown = ohms_between(shorted, *pair)
        assert shown is not None
        assert shown < 2
        healthy = ohms_between(sound, *reversed(pair))
        assert healthy is None or healthy > 2
    others = {("cable_r", "cable_c"), ("outdoor_lead", "control_c"), ("board_r", "control_c")}
    for pair in others - {piece}:
        shown = ohms_between(shorted, *pair)
        assert shown is None or shown > 2


def test_coils_read_their_ohms_and_open_ones_nothing() -> None:
    """A coil by itself: its dc ohms, or over limit."""
    coils = ("relay_coil_1", "relay_coil_2"), ("contactor_coil_1", "contactor_coil_2")
    sound = control("furnace_board_3a")
    assert [22, 11] == [ohms_between(sound, *pair) for pair in coils]
    for part, pair in zip(("fan_relay", "contactor"), coils, strict=True):
        broken = control("furnace_board_3a", **{f"{part}__coil__is_open": True})
        assert ohms_between(broken, *pair) is None
    assert ohms_between(sound, "cable_call", "control_c") is None


def test_a_lost_leg_shows_volts_to_ground_and_none_across() -> None:
    """An open neutral or leg: none across, the left leg to ground (TRADE, section 5)."""
    for name, to_ground in (("furnace_board_3a", 121), ("package_small", 121)):
        stand = ControlStand(control(name, line__has_leg_open=True))
        assert stand.volts("line_1", "line_2") == pytest.approx(0)
        assert stand.volts("line_1", "ground") == pytest.approx(to_ground)
        assert stand.volts("line_2", "ground") == pytest.approx(to_ground)


def test_an_opened_disconnect_leaves_nothing_live() -> None:
    """With the disconnect open every pair reads zero; the known source does not."""
    stand = ControlStand(control("tap_208"), is_powered=False)
    for pair in (("line_1", "line_2"), ("line_1", "ground"), ("fuse_out", "control_c")):
        assert stand.volts(*pair) == pytest.approx(0, abs=1e-6)
    assert stand.volts("known_live", "") == 120
    assert stand.read(QuantityKind.STORED_VOLTAGE, "capacitor_1", "capacitor_2") == 0


def test_what_a_control_cannot_show_is_said() -> None:
    """A quantity or an observation that a control does not have is refused by its name."""
    stand = ControlStand(control("tap_208"))
    with pytest.raises(BenchError, match="capacitance"):
        stand.read(QuantityKind.CAPACITANCE, "capacitor_1", "capacitor_2")
    with pytest.raises(BenchError, match="filter_look"):
        stand.observe("filter_look")


def test_the_looks_of_a_unit_file_come_first() -> None:
    """What a unit file says of its looks is what eyes find."""
    stand = ControlStand(control("tap_208", looks__wire_look="unit_wire_rubbed"))
    assert stand.observe("wire_look") == "unit_wire_rubbed"


def test_each_mode_calls_its_own() -> None:
    """Cooling closes G and Y, heating W: volts at a call stand only in its own mode."""
    assert {"cooling": ("g", "y"), "heating": ("w",)} == CALLS
    unit = control("furnace_board_3a")
    cooling, heating = (low_side(unit, mode, is_calling=True) for mode in CALLS)
    assert cooling.at("control_w") < 1
    assert cooling.at("control_y") > 22
    assert heating.at("control_y") < 1
    assert heating.at("control_w") > 22
