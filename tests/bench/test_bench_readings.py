"""Every reading that a shipped flow asks for can be taken on every unit."""

from decimal import Decimal

import numpy as np
import pytest
from blower_units import open_blower

from assistant.bench.errors import BenchError
from assistant.bench.faults import apply
from assistant.bench.loading import unit_names
from assistant.bench.readings import take
from assistant.bench.stand import READ, Stand
from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import MeasureStep, QuantityKind
from assistant.quantity import OverLimit, Quantity, Unit

Q = QuantityKind
EXPECTED = [
    (Q.RESISTANCE, "tap_high", "cap_lead", "ohms", Quantity(Decimal("20.1"), Unit.OHM)),
    (Q.RESISTANCE, "common", "cap_lead", "ohms", Quantity(Decimal("22.4"), Unit.OHM)),
    (Q.RESISTANCE, "motor_leads", "frame", "ohms", OverLimit(Unit.OHM)),
    (Q.RESISTANCE, "frame", "frame", "ohms", Quantity(Decimal("0.1"), Unit.OHM)),
    (
        Q.CAPACITANCE,
        "capacitor_1",
        "capacitor_2",
        "capacitance",
        Quantity(Decimal("10.00"), Unit.MICROFARAD),
    ),
    (Q.VOLTAGE, "line_1", "line_2", "volts_ac", Quantity(Decimal("115.0"), Unit.VOLT)),
    (Q.VOLTAGE, "line_2", "ground", "volts_low_z", Quantity(Decimal("0.00"), Unit.VOLT)),
    (
        Q.STORED_VOLTAGE,
        "capacitor_1",
        "capacitor_2",
        "volts_dc",
        Quantity(Decimal("0.00"), Unit.VOLT),
    ),
    (Q.CURRENT, "line_lead", None, "clamp_amps", Quantity(Decimal("5.19"), Unit.AMPERE)),
    (Q.CURRENT, "cap_lead", None, "clamp_amps", Quantity(Decimal("0.83"), Unit.AMPERE)),
    (Q.POWER, "line_lead", None, "watts", Quantity(Decimal(361), Unit.WATT)),
    (Q.SPEED, "shaft", None, "tachometer", Quantity(Decimal(1092), Unit.RPM)),
    (
        Q.STATIC_PRESSURE,
        "return_plenum",
        None,
        "manometer",
        Quantity(Decimal("-0.09"), Unit.IN_WC),
    ),
    (Q.INSULATION, "motor_leads", "frame", "insulation_tester", OverLimit(Unit.MEGOHM)),
    (Q.TEMPERATURE, "room", None, "thermometer", Quantity(Decimal("77.0"), Unit.DEG_F)),
]


@pytest.mark.parametrize(("kind", "first", "second", "meter", "shown"), EXPECTED)
def test_readings_of_a_healthy_unit(
    kind: QuantityKind, first: str, second: str | None, meter: str, shown: object
) -> None:
    """The healthy 115 V unit shows what its network and its running figures say.

    Source: running_values.csv and lead_pairs.csv, healthy, with a tenth of an ohm of leads.
    """
    stand = Stand(open_blower("t_115"))
    assert shown == take(stand, kind, first, second, meter)


def test_every_quantity_has_a_row() -> None:
    """No kind of reading that a flow may ask for is without an answer."""
    assert set(QuantityKind) == set(READ)


@pytest.mark.parametrize("name", unit_names("blower"))
@pytest.mark.parametrize("flow", [name for name in flow_names() if name != "triage"])
def test_every_reading_of_a_flow_can_be_taken(flow: str, name: str) -> None:
    """Each measuring step gets a reading in a unit it can take, healthy or faulted."""
    steps = [s for s in open_flow(flow).steps.values() if isinstance(s, MeasureStep)]
    assert steps
    chance = np.random.default_rng(3)
    for fault in ("healthy", "capacitor_open", "grounded", "no_line_volts"):
        stand = Stand(apply(open_blower(name), fault))
        for step in steps:
            shown = take(stand, step.quantity, step.from_, step.to, step.meter, chance=chance)
            if isinstance(shown, Quantity):
                assert shown.to(step.unit).unit is step.unit


def test_an_unknown_meter_is_named() -> None:
    """A mistyped meter gets the right one as its hint."""
    with pytest.raises(BenchError) as caught:
        take(Stand(open_blower("t_115")), Q.RESISTANCE, "common", "tap_low", "ohm")
    assert "ohms" in caught.value.hint
