"""An outdoor unit as data: contactor, fan motor with its propeller, capacitors, compressor."""

from typing import Literal

from pydantic import Field, model_validator

from assistant.bench.equipment import Equipment
from assistant.bench.motor import Motor
from assistant.bench.record import Above, AtLeastZero, Record
from assistant.bench.unit import Capacitor, Supply

Pole = Literal["works", "burnt", "welded"]


class OutdoorLabel(Record):
    """What the unit's own data plate asks for.

    Args:
        volts: rated volts, the lower of a label such as 208-230.
        upper_volts: the upper one; None: there is only one.
        fan_hp: of the fan motor it was built with.
        fan_volts: its volts.
        fan_amps: its full-load amps.
        fan_rpm: its speed.
        fan_uf: microfarads of the fan's capacitor, or of that section of a dual.
        herm_uf: microfarads of the compressor's.
        capacitor_volts: least voltage rating of both.
    """

    volts: Above
    upper_volts: Above | None = None
    fan_hp: Above
    fan_volts: Above
    fan_amps: Above
    fan_rpm: Above
    fan_uf: Above
    herm_uf: Above
    capacitor_volts: Above


class OutdoorCapacitor(Capacitor):
    """The fan's and the compressor's run capacitor: one dual part, or two single ones.

    Args:
        is_dual: whether both sections share a can and the C terminal.
        herm_uf: what the compressor's section has.
        herm_marked_uf: what is printed for it.
        herm_short_ohms: a shorted section's resistance; None: not shorted.
        has_herm_lead_off: the compressor's wire is off.
        has_open_common: C is broken off inside a dual, so only HERM to FAN is left.
        case_ohms: from the terminals to the can; None: no path.
        has_burnt_terminal: a terminal is burnt or loose.
        is_start_type: it is made for starting only, and is fitted as a run capacitor.
    """

    is_dual: bool = True
    herm_uf: AtLeastZero
    herm_marked_uf: Above
    herm_short_ohms: Above | None = None
    has_herm_lead_off: bool = False
    has_open_common: bool = False
    case_ohms: Above | None = None
    has_burnt_terminal: bool = False
    is_start_type: bool = False

    @property
    def herm_wired_uf(self) -> float:
        """Give the capacitance that the compressor is wired to, in microfarads."""
        return self.herm_uf if self.fan_on == "fan" else self.uf


class Propeller(Record):
    """The fan blade: pressure and power at one speed; the fan laws give the rest.

    Pressure falls from `shutoff` to `static` at the design flow. Power rises by `stall_share` from
    the design flow to none: a propeller that cannot move its air works harder, other than a wheel
    with forward-curved blades (handbook).

    Args:
        rpm: speed the figures hold at.
        shutoff: pressure with no flow, inches of water.
        static: pressure at the design flow.
        cfm: the design flow.
        hp: power at the design flow.
        stall_share: what is added to it with no flow at all.
        is_loose: it slips on the shaft.
        rubs: drag of something touching it, newton metres.
        is_unbalanced: bent, or a weight is gone.
    """

    rpm: Above
    shutoff: Above = 0.35
    static: Above = 0.12
    cfm: Above
    hp: Above
    stall_share: AtLeastZero = 0.3
    is_loose: bool = False
    rubs: AtLeastZero = 0.0
    is_unbalanced: bool = False

    @model_validator(mode="after")
    def _falls(self) -> "Propeller":
        if self.shutoff <= self.static:
            raise ValueError("shutoff must be above static")
        return self


class Contactor(Record):
    """The contactor: a 24 V coil and one or two poles.

    Args:
        poles: how many open; with one the second leg goes straight through and stays live.
        coil_ohms: dc resistance of its coil.
        coil_impedance: what that is on ac.
        is_coil_open: the coil is burnt through.
        pole_1: `works`, `burnt` never closes, `welded` never opens.
        pole_2: the same of the second pole.
        contact_ohms: of the first pole, closed.
    """

    poles: Literal[1, 2] = 2
    coil_ohms: Above = 13.0
    coil_impedance: Above = 95.0
    is_coil_open: bool = False
    pole_1: Pole = "works"
    pole_2: Pole = "works"
    contact_ohms: AtLeastZero = 0.002


class Call(Record):
    """The 24 V that comes from the indoor unit.

    Args:
        open_volts: between Y and C without load.
        source_ohms: of the transformer and the cable.
        is_missing: no call arrives.
        is_safety_open: a pressure switch or another safety in the outdoor unit is open.
    """

    open_volts: Above = 26.5
    source_ohms: AtLeastZero = 3.0
    is_missing: bool = False
    is_safety_open: bool = False


class Compressor(Record):
    """The compressor as a load: a run winding, a start winding behind its capacitor.

    Args:
        run_amps: rated load amps.
        locked_amps: what it draws when it does not turn.
        start_ohms: resistance of the start winding's branch, running.
        start_reactance: its reactance, running.
        least_share: of its label's microfarads, below which it does not start.
    """

    run_amps: Above
    locked_amps: Above
    start_ohms: Above = 25.0
    start_reactance: Above = 28.0
    least_share: Above = 0.55


class OutdoorUnit(Equipment):
    """A whole outdoor unit.

    Args:
        motor: of the fan.
        live_tap: the speed lead that is in use.
        coil_drop: what the coil holds back at the design flow, inches of water.
    """

    kind: Literal["outdoor"]
    motor: Motor
    live_tap: str = "tap_high"
    label: OutdoorLabel
    capacitor: OutdoorCapacitor
    blade: Propeller
    coil_drop: AtLeastZero = 0.12
    supply: Supply
    contactor: Contactor = Contactor()
    call: Call = Call()
    compressor: Compressor
    surroundings_c: float = Field(default=35.0, ge=-40, le=80)

    @model_validator(mode="after")
    def _tap_exists(self) -> "OutdoorUnit":
        if self.live_tap not in self.motor.leads:
            raise ValueError(f"this motor has no {self.live_tap}")
        return self
