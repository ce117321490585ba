"""A compressor on the bench: what its terminals read, when it starts, what it draws."""

from itertools import pairwise

import pytest
from compressor_units import UNITS, open_compressor, stood

from assistant.bench.compressor import COMPRESSOR, CompressorOnBench, cooled
from assistant.bench.compressor_unit import NUMBERED
from assistant.bench.errors import BenchError
from assistant.bench.faults import does_fit, fault_ids, shipped_catalogue
from assistant.flow.model import QuantityKind
from assistant.trade.windings import resistance_at_temperature_ohms

FAULTS = fault_ids("compressor")


@pytest.mark.parametrize("name", UNITS)
def test_three_terminals_follow_sum_and_order(name: str) -> None:
    """R-S is R-C and C-S together and the highest, C-R the lowest (S, trade press)."""
    stand = stood(name, is_powered=False)
    run, start = stand.ohms("comp_c", "comp_r"), stand.ohms("comp_c", "comp_s")
    both = stand.ohms("comp_r", "comp_s")
    assert run is not None
    assert start is not None
    assert both is not None
    # the overload lies in both paths to C and in none from R to S: 0.02 ohm twice
    assert pytest.approx(run + start - 0.04) == both
    assert [run, start, both] == sorted([run, start, both])


@pytest.mark.parametrize(
    ("fault", "pattern"),
    [
        # C-R, C-S, R-S; True: reads. "C-R and C-S OL with R-S readable: internal overload" (S)
        ("comp_overload_tripped", (False, False, True)),
        ("comp_overload_failed", (False, False, True)),
        ("comp_run_open", (False, True, False)),
        ("comp_start_open", (True, False, False)),
        ("comp_stuck", (True, True, True)),
    ],
)
@pytest.mark.parametrize("name", UNITS)
def test_each_open_path_has_its_own_pattern(
    name: str, fault: str, pattern: tuple[bool, bool, bool]
) -> None:
    """An open overload parts C from both windings; an open winding leaves the other one."""
    stand = stood(name, fault, is_powered=False)
    pairs = (("comp_c", "comp_r"), ("comp_c", "comp_s"), ("comp_r", "comp_s"))
    assert pattern == tuple(stand.ohms(*pair) is not None for pair in pairs)


@pytest.mark.parametrize("name", ["comp_unmarked_115", "comp_unmarked_230"])
def test_pins_without_letters_read_as_the_terminals_they_are(name: str) -> None:
    """Pin numbers stand for C, S and R in the unit's own order; the letters cannot be probed."""
    stand = stood(name, is_powered=False)
    letters = stand.unit.compressor.letters
    for first, second in pairwise((*range(3), 0)):
        assert stand.ohms(letters[first], letters[second]) == stand.ohms(
            NUMBERED[first], NUMBERED[second]
        )
    assert not stand.has_place("comp_c")
    assert stand.has_place("comp_terminal_1")


def test_warm_windings_read_more() -> None:
    """Copper goes with 235 C (IEC 60034-1, clause from memory): 120 C against 25 C."""
    warm = stood("comp_table_230", "comp_overload_tripped", is_powered=False)
    expected = resistance_at_temperature_ohms(1.9 + 4.4, 25, 120)
    assert pytest.approx(expected) == warm.ohms("comp_r", "comp_s")


def test_only_a_grounded_one_reads_to_the_shell() -> None:
    """Every pin reads OL to the shell unless a winding touches it."""
    sound = stood("comp_dual_230", is_powered=False)
    grounded = stood("comp_dual_230", "comp_grounded", is_powered=False)
    assert sound.ohms("comp_terminals", "comp_shell") is None
    assert sound.read(QuantityKind.INSULATION, "comp_terminals", "comp_shell") == 600
    # half the run winding and the overload in front of 0.6 ohm, warmed from 25 to 30 C
    least = 0.6 + 0.45 * (235 + 30) / 260
    assert pytest.approx(least, abs=0.03) == grounded.ohms("comp_terminals", "comp_shell")


@pytest.mark.parametrize("name", UNITS)
def test_a_sound_one_runs_near_its_rated_load(name: str) -> None:
    """Running amps lie under RLA and over half of it; volts inside NEMA MG 1-12.44."""
    stand = stood(name)
    plate = stand.unit.compressor.plate
    assert stand.running.motion == "runs"
    assert 0.55 < stand.running.amps / plate.rated_load_amps < 1
    low, high = plate.volts * 0.9, (plate.upper_volts or plate.volts) * 1.1
    assert low < stand.running.load_volts < high
    assert stand.complaints() == ()


@pytest.mark.parametrize(("share", "motion"), [(0.84, "locked"), (0.87, "runs"), (1.0, "runs")])
def test_it_starts_from_85_percent_of_its_volts(share: float, motion: str) -> None:
    """Under 85 percent it stays locked (common practice, no source); the feed takes some."""
    unit = open_compressor("comp_table_230")
    supply = unit.supply.model_copy(update={"volts": 230 * share, "source_ohms": 0.01})
    changed = unit.model_copy(update={"supply": supply})
    assert motion == CompressorOnBench(changed).running.motion


@pytest.mark.parametrize("name", UNITS)
def test_a_stuck_one_draws_its_locked_amps(name: str) -> None:
    """At the volts of its terminals it draws LRA in their share (identity)."""
    stand = stood(name, "comp_stuck")
    plate = stand.unit.compressor.plate
    expected = plate.locked_rotor_amps * stand.running.load_volts / plate.volts
    assert pytest.approx(expected) == stand.running.amps


@pytest.mark.parametrize(
    ("fault", "least", "most"),
    [
        ("comp_run_open", 0.0, 0.1),  # only the capacitor's current
        ("comp_start_open", 0.8, 1.0),
        ("comp_cap_open", 0.8, 1.0),
        ("comp_cap_shorted", 1.2, 1.5),
    ],
)
def test_what_it_draws_while_it_hums(fault: str, least: float, most: float) -> None:
    """The amps of a hum, over LRA at the volts there (common practice, no source)."""
    stand = stood("comp_table_230", fault)
    plate = stand.unit.compressor.plate
    locked = plate.locked_rotor_amps * stand.running.load_volts / plate.volts
    assert stand.observe("run_state") == "hums_only"
    assert least < stand.running.amps / locked < most


def test_a_bad_joint_only_shows_under_load() -> None:
    """Volts are good idle and low while it tries; low supply is low both ways."""
    joint, low = (
        [stood("comp_dual_230", fault, is_calling=calls).volts("line_1", "line_2") for calls in on]
        for fault, on in (("comp_joint", (False, True)), ("comp_low_volts", (False, True)))
    )
    assert joint[0] > 208 * 0.9 > joint[1]
    assert 208 * 0.9 > low[0] > low[1]


def test_a_pitted_contact_drops_volts_and_an_open_one_all_of_them() -> None:
    """What the line side has and the load side lacks stands across the contact."""
    pitted, burnt = (
        stood("comp_dual_230", "comp_contacts_drop"),
        stood("comp_dual_230", "comp_contacts_open"),
    )
    assert pitted.volts("contactor_in", "contactor_out") == pytest.approx(
        pitted.volts("line_1", "line_2") - pitted.volts("load_1", "load_2")
    )
    assert pitted.volts("contactor_in", "contactor_out") > 2
    assert burnt.volts("load_1", "load_2") == 0
    assert burnt.volts("contactor_in", "contactor_out") == burnt.volts("line_1", "line_2")


@pytest.mark.parametrize(
    ("fault", "coil", "across", "look"),
    [
        ("healthy", 25.5, 0.0, "pulls_in"),
        ("comp_call_missing", 0.0, 0.0, "stays_out"),
        ("comp_pressure_open", 0.0, 25.5, "stays_out"),
        ("comp_coil_open", 25.5, 0.0, "stays_out"),
        ("comp_control_low", 16.0, 0.0, "chatters"),
    ],
)
def test_the_call_reaches_the_coil_or_not(
    fault: str, coil: float, across: float, look: str
) -> None:
    """About 0 across a closed switch, about 24 across the open one; under 20 it chatters (CP)."""
    stand = stood("comp_dual_230", fault)
    assert coil == stand.volts("contactor_coil_1", "contactor_coil_2")
    assert across == stand.volts("pressure_in", "pressure_out")
    assert look == stand.observe("contactor_look")


def test_start_gear_is_needed_where_it_is_fitted() -> None:
    """Without its help it hums; with a coil that never opens the contact it draws too much."""
    for fault in ("comp_start_cap_open", "comp_relay_contact_open"):
        assert stood("comp_gear_208", fault).observe("run_state") == "hums_only"
    stays_in = stood("comp_gear_208", "comp_relay_coil_open")
    assert stays_in.observe("run_state") == "runs"
    assert stays_in.running.amps > 13.5
    assert stays_in.ohms("start_relay_coil_1", "start_relay_coil_2") is None


def test_nothing_is_live_with_the_disconnect_open() -> None:
    """Proven dead: every pair of the unit reads zero; the known live source does not."""
    stand = stood("comp_dual_230", is_powered=False)
    pairs = (("line_1", "line_2"), ("line_1", "ground"), ("line_2", "ground"), ("load_1", "load_2"))
    assert [0.0] * 4 == [stand.volts(*pair) for pair in pairs]
    assert stand.volts("known_live", "") == 120


@pytest.mark.parametrize("name", UNITS)
def test_a_tripped_overload_closes_only_after_an_hour_and_more(name: str) -> None:
    """It may take hours to close (S); a failed one never does."""
    tripped = open_compressor(name, "comp_overload_tripped")
    assert cooled(tripped, 60).compressor.overload == "tripped"
    assert cooled(tripped, 180).compressor.overload == "closed"
    assert cooled(tripped, 0) == tripped
    failed = open_compressor(name, "comp_overload_failed")
    assert cooled(failed, 600).compressor.overload == "failed"
    assert COMPRESSOR.has_recovered(tripped, cooled(tripped, 180))
    assert not COMPRESSOR.has_recovered(tripped, cooled(tripped, 60))
    assert COMPRESSOR.is_warm(tripped)


def test_shell_and_air_are_read_in_degrees_f() -> None:
    """30 C air is 86 F; a shell without a history is as cold as the air."""
    cold = stood("comp_dual_230", is_powered=False)
    hot = stood("comp_dual_230", "comp_overload_tripped", is_powered=False)
    assert cold.temperature_f("comp_shell") == cold.temperature_f("outdoor_air") == 86
    # 70 percent of the windings' 90 K above the air (common practice, no source)
    assert pytest.approx(86 + 0.7 * 90 * 1.8) == hot.temperature_f("comp_shell")


UNSEEN = {"comp_insulation_weak", "comp_cap_weak", "comp_cap_bulged", "comp_cap_wrong"}
"""What need not show on the day: it trips now and then, or start gear starts it all the same."""


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_is_possible_and_does_what_is_said_of_it(fault: str) -> None:
    """It fits a unit, changes it, and one of its complaints is what the customer would notice."""
    said = set(shipped_catalogue().faults[fault].complaints)
    units = [name for name in UNITS if does_fit(open_compressor(name), fault)]
    assert units
    for name in units:
        stand = stood(name, fault)
        assert stand.unit != open_compressor(name)
        assert fault in UNSEEN or said & set(stand.complaints())


def test_an_unknown_look_is_refused_with_the_nearest() -> None:
    """What the bench cannot see is no answer."""
    with pytest.raises(BenchError, match="contactor_lock") as caught:
        stood("comp_dual_230").observe("contactor_lock")
    assert "contactor_look" in caught.value.hint
