"""The fan of an outdoor unit as the machine of a blower: the same motor with another load.

The contactor's first pole stands where a blower has its fan relay. What the compressor draws
through the feed and through that pole is taken off the volts beforehand.
"""

import math
from dataclasses import dataclass

from assistant.bench.outdoor_unit import OutdoorUnit, Propeller
from assistant.bench.unit import Blower, Capacitor, Control, Duct, Label, Supply, Unit, Wiring

_MICRO = 1e-6


@dataclass(frozen=True, slots=True)
class Poles:
    """Which poles of the contactor carry.

    Args:
        first: the first one.
        second: the second one; always with a contactor of one pole.
    """

    first: bool
    second: bool

    @property
    def both(self) -> bool:
        """Whether a load between them has a circuit."""
        return self.first and self.second


def flow_share(blade: Propeller, drop: float) -> float:
    """Give the flow at the blade's own speed as a share of the design flow.

    Where `shutoff - (shutoff - static) x^2 = drop x^2`, as for any fan on its system curve.

    Args:
        blade: the blade.
        drop: what the coil holds back at the design flow, inches of water.
    """
    return math.sqrt(blade.shutoff / (blade.shutoff - blade.static + drop))


def compressor_currents(unit: OutdoorUnit, volts: float) -> tuple[float, float]:
    """Give the compressor's line current and that of its start winding, amps; it runs or hums.

    The line current is its rated one, in proportion to the volts; what flows in the start winding
    is resistance, reactance and its capacitor in a row.

    Args:
        unit: the unit.
        volts: at its terminals.
    """
    part, label = unit.compressor, unit.label
    if not volts:
        return 0.0, 0.0
    impedance = start_impedance(unit)
    start = 0.0 if impedance is None else abs(volts / impedance)
    amps = part.run_amps if does_compressor_run(unit) else part.locked_amps
    return amps * volts / (label.upper_volts or label.volts), start


def start_impedance(unit: OutdoorUnit) -> complex | None:
    """Give the impedance of the start winding with its capacitor, ohms; None where it is open."""
    part, capacitor = unit.compressor, unit.capacitor
    winding = complex(part.start_ohms, part.start_reactance)
    if capacitor.has_herm_lead_off or capacitor.has_open_common:
        return None
    if capacitor.herm_short_ohms is not None:
        return winding + capacitor.herm_short_ohms
    if not capacitor.herm_wired_uf:
        return None
    reactance = 1 / (2 * math.pi * unit.supply.hz * capacitor.herm_wired_uf * _MICRO)
    return winding - 1j * reactance


def does_compressor_run(unit: OutdoorUnit) -> bool:
    """Tell whether the compressor starts once it has volts."""
    part = unit.capacitor
    is_fed = start_impedance(unit) is not None and part.herm_short_ohms is None
    return is_fed and part.herm_wired_uf >= unit.compressor.least_share * unit.label.herm_uf


def fan_unit(unit: OutdoorUnit, poles: Poles) -> Unit:
    """Give the fan as the unit of a blower, with the contactor's poles as they are.

    Args:
        unit: the outdoor unit.
        poles: which of them carry.
    """
    return Unit(
        unit=unit.unit,
        title=unit.title,
        motor=unit.motor,
        label=_label(unit),
        capacitor=_capacitor(unit),
        blower=_blower(unit),
        duct=Duct(return_duct=0, filter=0, coil=unit.coil_drop, supply=0),
        supply=_supply(unit, poles),
        wiring=Wiring(modes={"cooling": (unit.live_tap,)}),
        control=Control(
            contact="welded" if poles.first else "burnt", contact_ohms=unit.contactor.contact_ohms
        ),
        surroundings_c=unit.surroundings_c,
    )


def _label(unit: OutdoorUnit) -> Label:
    label = unit.label
    return Label(
        motor_hp=label.fan_hp,
        motor_volts=label.fan_volts,
        motor_rpm=label.fan_rpm,
        capacitor_uf=label.fan_uf,
        static_max=1.0,
        taps={"cooling": "tap_high"},
    )


def _capacitor(unit: OutdoorUnit) -> Capacitor:
    part = unit.capacitor
    inside = {name: getattr(part, name) for name in Capacitor.model_fields}
    if part.has_open_common:
        inside["has_lead_off"] = True
    return Capacitor.model_validate(inside)


def _blower(unit: OutdoorUnit) -> Blower:
    blade = unit.blade
    flow = flow_share(blade, unit.coil_drop)
    horsepower = blade.hp * (1 + blade.stall_share * (1 - min(flow, 1.0)))
    return Blower(
        rpm=blade.rpm,
        shutoff=blade.shutoff,
        static=blade.static,
        cfm=blade.cfm,
        idle_hp=horsepower,
        flow_hp=0,
        is_loose=blade.is_loose,
        rubs=blade.rubs,
        is_unbalanced=blade.is_unbalanced,
    )


def _supply(unit: OutdoorUnit, poles: Poles) -> Supply:
    supply = unit.supply
    has_circuit = poles.both and supply.is_live and not supply.has_leg_open
    amps = compressor_currents(unit, supply.volts)[0] if has_circuit else 0.0
    volts = supply.volts - supply.source_ohms * amps
    lost = unit.contactor.contact_ohms * amps
    return supply.model_copy(
        update={
            "volts": volts,
            "tap_ratio": 1 - lost / volts,
            "has_leg_open": supply.has_leg_open or not poles.second,
        }
    )
