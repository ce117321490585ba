"""Ohms of every lead pair against two outside solvers, and what any resistive network must do."""

import csv
import itertools
import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from blower_units import open_blower
from hypothesis import given
from hypothesis import strategies as st

from assistant.bench.loading import unit_names
from assistant.bench.meter import METERS
from assistant.bench.motor import FRAME
from assistant.bench.network import ResistiveNetwork, Resistor
from assistant.bench.stand import Stand
from assistant.bench.thermal import after_waiting
from assistant.bench.unit import Unit
from assistant.quantity import OverLimit, Quantity
from assistant.quantity import Unit as Measure

HERE = Path(__file__).parent
LEADS = {
    "A": ["WHT", "BLK", "BLU", "RED", "BRN", "BRNWHT", "FRAME"],
    "B": ["PUR", "BLK", "BLU", "ORG", "RED", "BRN", "BRNWHT", "FRAME"],
}
MAIN, AUX = {"role": "main", "at": 0.5}, {"role": "auxiliary", "at": 0.5}
FAULTS: dict[str, list[dict[str, object]]] = {
    "healthy": [],
    "open_main": [{"do": "open", "role": "main"}],
    "open_aux": [{"do": "open", "role": "auxiliary"}],
    "open_overload": [{"do": "set", "what": "motor.overload.state", "to": "failed"}],
    "open_tie": [{"do": "open", "role": "tie"}],
    "open_seg1": [{"do": "open", "role": "segment"}],
    "main_short30": [{"do": "short_turns", "role": "main", "share": 0.3, "contact_ohms": 0}],
    "aux_short30": [{"do": "short_turns", "role": "auxiliary", "share": 0.3, "contact_ohms": 0}],
    "seg1_short": [{"do": "short_branch", "role": "segment", "ohms": 0.01}],
    "main_ground": [{"do": "bridge", "first": MAIN, "second": "frame", "ohms": 0.5}],
    "main_ground_500k": [{"do": "bridge", "first": MAIN, "second": "frame", "ohms": 5e5}],
    "aux_ground": [{"do": "bridge", "first": AUX, "second": "frame", "ohms": 0.5}],
    "main_aux_short": [{"do": "bridge", "first": MAIN, "second": AUX, "ohms": 0.1}],
}


def _rows() -> list[dict[str, str]]:
    with (HERE / "lead_pairs.csv").open() as file:
        return list(csv.DictReader(file))


ROWS = _rows()
CASES = sorted({(row["motor"], row["fault"]) for row in ROWS})


def _opened_segment(motor: str, fault: str, unit: Unit) -> Unit:
    """Open the second or third speed segment, which no verb reaches."""
    if not fault.startswith("open_seg") or fault == "open_seg1":
        return unit
    branches = tuple(
        b.model_copy(update={"is_open": b.name == fault.removeprefix("open_").upper()})
        for b in unit.motor.branches
    )
    assert any(b.is_open for b in branches), (motor, fault)
    return unit.model_copy(update={"motor": unit.motor.model_copy(update={"branches": branches})})


@pytest.mark.parametrize(("motor", "fault"), CASES)
def test_every_lead_pair_is_met(changed: Callable[..., Unit], motor: str, fault: str) -> None:
    """Each pair of leads reads within 0.1 percent of both solvers, and OL where they find no path.

    Source: lead_pairs.csv, numpy nodal analysis and ngspice-39 on the same networks.
    """
    unit = _opened_segment(motor, fault, changed(motor, *FAULTS.get(fault, [])))
    stand = Stand(unit)
    rows = [row for row in ROWS if (row["motor"], row["fault"]) == (motor, fault)]
    pairs = {frozenset((row["lead_a"], row["lead_b"])) for row in rows}
    assert {frozenset(p) for p in itertools.combinations(LEADS[motor], 2)} == pairs
    for row in rows:
        seen = stand.ohms(row["lead_a"], row["lead_b"])
        for solver in ("ohm_numpy", "ohm_ngspice"):
            if row[solver] == "OL":
                assert seen is None, row
            else:
                assert float(row[solver]) == pytest.approx(seen, rel=1e-3, abs=5e-5), row


def test_check_values_of_lead_pairs(changed: Callable[..., Unit]) -> None:
    """The check values of lead pairs hold at their own, tighter tolerance.

    Source: bench_check_values.csv C074 to C086, ngspice-39 .op.
    """
    with (HERE / "bench_check_values.csv").open() as file:
        rows = [r for r in csv.DictReader(file) if r["quantity"] == "lead_pair_ohm"]
    assert len(rows) == 13
    for row in rows:
        given_ = json.loads(row["inputs_json"])
        unit = changed(given_["motor"], *FAULTS[given_["fault"]])
        seen = Stand(unit).ohms(given_["lead_a"], given_["lead_b"])
        assert float(row["expected"]) == pytest.approx(seen, rel=float(row["rel_tol"])), row


PARTS = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(0.01, 1e6)), min_size=1, max_size=14
)


def _network(parts: list[tuple[int, int, float]]) -> ResistiveNetwork:
    return ResistiveNetwork(Resistor(str(a), str(b), ohms) for a, b, ohms in parts if a != b)


@given(PARTS)
def test_resistance_is_symmetric_and_a_metric(parts: list[tuple[int, int, float]]) -> None:
    """R(a, b) = R(b, a), R(a, a) = 0, and R(a, c) is at most R(a, b) + R(b, c).

    Source: effective resistance is a metric on the nodes, textbook.
    """
    network = _network(parts)
    nodes = [str(n) for n in range(7)]
    for a, b in itertools.product(nodes, repeat=2):
        assert network.ohms(a, b) == network.ohms(b, a)
        assert network.ohms(a, a) == 0.0
    for a, b, c in itertools.permutations(nodes, 3):
        ab, bc, ac = network.ohms(a, b), network.ohms(b, c), network.ohms(a, c)
        if ab is not None and bc is not None:
            assert ac is not None
            assert ac <= (ab + bc) * (1 + 1e-6) + 1e-6


@given(PARTS, st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(0.01, 1e6)))
def test_another_path_never_raises_a_resistance(
    parts: list[tuple[int, int, float]], more: tuple[int, int, float]
) -> None:
    """Adding a resistor anywhere lowers a reading or leaves it.

    Source: Rayleigh's monotonicity law, textbook.
    """
    before, after = _network(parts), _network([*parts, more])
    for a, b in itertools.combinations([str(n) for n in range(7)], 2):
        was, now = before.ohms(a, b), after.ohms(a, b)
        if was is not None:
            assert now is not None
            assert now <= was * (1 + 1e-6) + 1e-6


@pytest.mark.parametrize("name", unit_names("blower"))
def test_taps_to_common_rise_as_speed_falls(name: str) -> None:
    """On every shipped unit the ohms to common rise from the high tap to the low one.

    Source: the trade's order of taps, common practice, no source.
    """
    unit = open_blower(name)
    stand = Stand(unit)
    seen = [stand.ohms("common", lead) for lead in unit.motor.leads if lead.startswith("tap_")]
    assert None not in seen
    assert sorted(seen) == seen  # type: ignore[type-var]


@pytest.mark.parametrize("name", unit_names("blower"))
def test_healthy_leads_read_over_limit_to_frame(name: str) -> None:
    """On every shipped unit each lead to frame is over limit."""
    unit = open_blower(name)
    stand = Stand(unit)
    assert dict.fromkeys(unit.motor.leads) == {
        lead: stand.ohms(lead, "frame") for lead in unit.motor.leads
    }
    assert FRAME not in {n for b in unit.motor.branches for n in b.between}


@pytest.mark.parametrize("name", unit_names("blower"))
def test_family_shows_in_the_ohms(name: str) -> None:
    """T, L and midpoint motors read as their family says.

    T: common to capacitor lead is common to high plus high to capacitor lead. L: the same over the
    low tap. Midpoint: capacitor return to common reads about half the main winding, otherwise
    about 0.

    Source: the trade's sum checks, common practice, no source.
    """
    unit = open_blower(name)
    stand, family = Stand(unit), unit.motor.family
    last = list(unit.motor.leads)[-3]
    via = last if family == "L" else "tap_high"
    whole = stand.ohms("common", "cap_lead")
    parts = [stand.ohms("common", via), stand.ohms(via, "cap_lead")]
    tap_side = 0.1 if unit.motor.branches[0].between[0] == unit.motor.taps[0] else 0.0
    assert whole == pytest.approx(sum(p for p in parts if p), abs=1e-6 + tap_side)
    back = stand.ohms("common", "cap_return")
    half = (stand.ohms("common", "tap_high") or 0) / 2
    assert back == pytest.approx(half if family == "midpoint" else 0.0, abs=0.1)


def test_a_warm_winding_reads_more() -> None:
    """25 to 95 C raises copper by 27 percent.

    Source: IEC 60034-1 resistance method, 235 + T (from memory).
    """
    unit = open_blower("t_115")
    heat = unit.motor.heat.model_copy(update={"winding_c": 95.0})
    warm = unit.model_copy(update={"motor": unit.motor.model_copy(update={"heat": heat})})
    cold_ohms, warm_ohms = Stand(unit).ohms("BLK", "BRN"), Stand(warm).ohms("BLK", "BRN")
    assert cold_ohms is not None
    assert cold_ohms * (235 + 95) / (235 + 25) == pytest.approx(warm_ohms)
    cooled = Stand(after_waiting(warm, 24 * 60)).ohms("BLK", "BRN")
    assert cold_ohms == pytest.approx(cooled, rel=1e-3)


def test_a_broken_lead_hangs_free(changed: Callable[..., Unit]) -> None:
    """A lead broken behind its terminal reads OL to everything, and the rest reads as before."""
    unit = changed("A", {"do": "append", "what": "motor.broken_leads", "value": "tap_medium"})
    stand = Stand(unit)
    assert stand.ohms("tap_medium", "common") is None
    assert stand.ohms("common", "tap_low") == pytest.approx(4.65)


OHMS_SHOWN = [
    (None, OverLimit(Measure.OHM)),
    (2.25, Quantity(Decimal("2.4"), Measure.OHM)),
    (0.0, Quantity(Decimal("0.1"), Measure.OHM)),
    (599.8, Quantity(Decimal("599.9"), Measure.OHM)),
    (599.9, Quantity(Decimal("0.600"), Measure.KILOHM)),
    (500_000.0, Quantity(Decimal("500.0"), Measure.KILOHM)),
    (39_999_999.0, Quantity(Decimal("40.00"), Measure.MEGOHM)),
    (40_000_001.0, OverLimit(Measure.OHM)),
]


@pytest.mark.parametrize(("true", "shown"), OHMS_SHOWN)
def test_a_meter_shows_its_digits(true: float | None, shown: object) -> None:
    """Leads add a tenth of an ohm; each range shows its own digits; above the last stands OL."""
    assert shown == METERS["ohms"].show(true)
