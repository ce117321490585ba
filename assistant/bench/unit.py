"""A unit as data: what its file says, and what faults change in it."""

from typing import Literal

from pydantic import Field, model_validator

from assistant.bench.equipment import Equipment
from assistant.bench.motor import Motor
from assistant.bench.record import Above, AtLeastZero, Record

Mode = Literal["cooling", "heating", "circulate"]


class Label(Record):
    """What the unit's own data plate asks for.

    Args:
        motor_hp: motor it was built with.
        motor_volts: its volts.
        capacitor_uf: capacitor the motor of the label wants.
        static_max: highest total external static, inches of water.
        taps: which tap serves which mode.
    """

    motor_hp: Above
    motor_volts: Above
    motor_rpm: Above
    capacitor_uf: Above
    static_max: Above
    taps: dict[Mode, str]


class Capacitor(Record):
    """The run capacitor, single or dual.

    Args:
        marked_uf: printed capacitance of the fan section.
        marked_volts: printed voltage rating.
        tolerance_percent: printed tolerance, to both sides.
        uf: what the fan section really has; 0 is open.
        series_ohms: its own series resistance.
        short_ohms: a shorted part's resistance; None: not shorted.
        herm_uf: what the other section has, on a dual; None: single.
        herm_marked_uf: what is printed for it.
        fan_on: which section the fan motor is wired to.
        is_bulged: whether it looks swollen.
        has_lead_off: one of its wires is off or burnt through.
    """

    marked_uf: Above
    marked_volts: Above
    tolerance_percent: Above = 6.0
    uf: AtLeastZero
    series_ohms: AtLeastZero = 0.3
    short_ohms: Above | None = None
    herm_uf: AtLeastZero | None = None
    herm_marked_uf: Above | None = None
    fan_on: Literal["fan", "herm"] = "fan"
    is_bulged: bool = False
    has_lead_off: bool = False

    @property
    def wired_uf(self) -> float:
        """Give the capacitance that the motor is wired to, in microfarads."""
        return self.uf if self.fan_on == "fan" or self.herm_uf is None else self.herm_uf


class Blower(Record):
    """The wheel: pressure and power at one speed, from which the fan laws give the rest.

    Pressure is `shutoff - (shutoff - static) (q / cfm)^2` inches of water, power is
    `idle_hp + flow_hp (q / cfm)^2`, both at `rpm`.

    Args:
        rpm: speed the figures hold at.
        shutoff: pressure with no flow.
        static: pressure at the design flow.
        cfm: the design flow.
        idle_hp: power that no flow still takes.
        flow_hp: power that the design flow adds.
        head: how much of its speed the wheel turns into pressure: dirt in the cups, or turning
            backwards, lowers it.
        is_loose: it slips on the shaft.
        rubs: drag of something touching it, newton metres.
        is_unbalanced: it shakes.
    """

    rpm: Above
    shutoff: Above
    static: Above = 0.5
    cfm: Above
    idle_hp: AtLeastZero
    flow_hp: AtLeastZero
    head: Above = 1.0
    is_loose: bool = False
    rubs: AtLeastZero = 0.0
    is_unbalanced: bool = False

    @model_validator(mode="after")
    def _falls(self) -> "Blower":
        if self.shutoff <= self.static:
            raise ValueError("shutoff must be above static")
        return self


class Duct(Record):
    """What the air passes, as the drop at the blower's design flow, inches of water.

    Args:
        return_duct: grille and duct up to the filter.
        filter: the filter.
        coil: the evaporator coil, wet.
        supply: duct and grilles after it.
        grille: the return grille, where it is counted by itself.
        trunk: the supply trunk, where it is counted by itself.
        leak: share of the flow that leaves through a gap before the rooms.
        return_leak: share of the flow that enters through a gap before the filter.
        share: what is left of the whole resistance, as with a panel off.
    """

    return_duct: AtLeastZero
    filter: AtLeastZero
    coil: AtLeastZero
    supply: AtLeastZero
    grille: AtLeastZero = 0.0
    trunk: AtLeastZero = 0.0
    leak: float = Field(default=0.0, ge=0, lt=1)
    return_leak: float = Field(default=0.0, ge=0, lt=1)
    share: Above = 1.0


class Supply(Record):
    """The line.

    Args:
        volts: at the unit, without load.
        hz: its frequency.
        legs: `neutral` is one hot leg and a neutral at ground, `two` is two hot legs.
        source_ohms: of the wire behind it.
        joint_ohms: of the joint on the way to the fan relay.
        is_live: whether the breaker feeds it.
        has_leg_open: the neutral or second leg is open.
        breaker_amps: rating of the breaker or fuse.
        tap_ratio: what the motor's or transformer's voltage tap makes of the volts, 1 being right.
    """

    volts: Above
    hz: Above = 60.0
    legs: Literal["neutral", "two"]
    source_ohms: AtLeastZero = 0.0
    joint_ohms: AtLeastZero = 0.0
    is_live: bool = True
    has_leg_open: bool = False
    breaker_amps: Above = 15.0
    tap_ratio: Above = 1.0


class Wiring(Record):
    """How the leads are landed.

    Args:
        modes: the taps that each mode makes live; more than one is a fault.
        tap_ohms: of the wire to the tap.
        stray_ohms: of the joint that makes a further tap live as well.
        common_to: where the common lead is landed.
        capacitor_lead_to: where the capacitor lead is landed.
        has_bare_tap: an unused tap hangs uncapped.
    """

    modes: dict[Mode, tuple[str, ...]] = Field(min_length=1)
    tap_ohms: AtLeastZero = 0.0
    stray_ohms: AtLeastZero = 0.05
    common_to: Literal["line_2", "capacitor_1"] = "line_2"
    capacitor_lead_to: Literal["line_2", "capacitor_1"] = "capacitor_1"
    has_bare_tap: bool = False


class Control(Record):
    """The 24 V circuit.

    Args:
        va: the transformer's rating.
        open_volts: secondary volts without load, at the rated line.
        source_ohms: of the secondary; what makes the volts fall under load.
        is_transformer_dead: a winding is open.
        is_fuse_blown: the control fuse.
        fuse_amps: its rating.
        wire_ohms: of the cable to the thermostat and back.
        load_ohms: all else that is on while the fan is called.
        coil_ohms: dc resistance of the fan relay's coil.
        coil_impedance: what it is on ac.
        is_coil_open: the coil.
        contact_ohms: of the closed fan contact.
        contact: `works`, `burnt` never closes, `welded` never opens.
        is_call_missing: the thermostat or its wire gives no fan call.
        silent_modes: modes in which the board gives no fan output.
        is_safety_open: limit, float or door switch.
    """

    va: Above = 40.0
    open_volts: Above = 26.5
    source_ohms: AtLeastZero = 1.2
    is_transformer_dead: bool = False
    is_fuse_blown: bool = False
    fuse_amps: Above = 3.0
    wire_ohms: AtLeastZero = 0.3
    load_ohms: Above = 60.0
    coil_ohms: Above = 16.0
    coil_impedance: Above = 120.0
    is_coil_open: bool = False
    contact_ohms: AtLeastZero = 0.0
    contact: Literal["works", "burnt", "welded"] = "works"
    is_call_missing: bool = False
    silent_modes: tuple[Mode, ...] = ()
    is_safety_open: bool = False


class Unit(Equipment):
    """A whole blower unit.

    Args:
        altitude_ft: above the sea; thin air takes less pressure and power at the same flow.
    """

    kind: Literal["blower", "ducted"] = "blower"
    altitude_ft: float = Field(default=0.0, ge=-1500, le=15_000)
    motor: Motor
    label: Label
    capacitor: Capacitor
    blower: Blower
    duct: Duct
    supply: Supply
    wiring: Wiring
    control: Control = Control()

    @model_validator(mode="after")
    def _taps_exist(self) -> "Unit":
        leads = self.motor.leads
        for mode, taps in (
            *self.wiring.modes.items(),
            *((m, (t,)) for m, t in self.label.taps.items()),
        ):
            for tap in taps:
                if tap not in leads or not tap.startswith("tap_"):
                    raise ValueError(f"{mode} asks for {tap}, which this motor does not have")
        return self

    @property
    def winding_c(self) -> float:
        """Give the temperature of the windings, C."""
        held = self.motor.heat.winding_c
        return self.surroundings_c if held is None else held
