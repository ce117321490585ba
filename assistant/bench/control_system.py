"""A 24 volt control system as data: line, transformer, fuse, thermostat, board, coils, contacts.

The figures of the unit files are invented; what is usual is common practice, no source.
"""

from typing import Literal

from pydantic import model_validator

from assistant.bench.equipment import Equipment
from assistant.bench.record import Above, Record

Call = Literal["g", "y", "w"]


class Line(Record):
    """The supply of the unit.

    Args:
        nominal_volts: what the building is fed with.
        volts: at the unit.
        legs: `neutral` is one hot leg and a neutral at ground, `two` is two hot legs.
        is_live: whether the breaker feeds it.
        has_leg_open: the neutral or second leg is open.
    """

    nominal_volts: Above
    volts: Above
    legs: Literal["neutral", "two"]
    is_live: bool = True
    has_leg_open: bool = False


class Plate(Record):
    """What is printed.

    Args:
        volts: of the unit, the lower of two.
        upper_volts: the upper, where there are two.
        va: of the control transformer.
        fuse_amps: what the board asks for.
    """

    volts: Above
    upper_volts: Above | None = None
    va: Above = 40.0
    fuse_amps: Above = 3.0


class Transformer(Record):
    """The control transformer.

    Args:
        taps: line volts that its primary wires are made for.
        tap: the one in use.
        open_volts: secondary volts without load, with the tap's own volts on the primary.
        source_ohms: of the secondary with the primary's share: what makes volts fall under load.
        is_primary_open: the primary winding.
        is_secondary_open: the secondary winding.
    """

    taps: tuple[Above, ...]
    tap: Above
    open_volts: Above
    source_ohms: Above
    is_primary_open: bool = False
    is_secondary_open: bool = False


class Fuse(Record):
    """The control fuse; a short may blow it, too, which is worked out."""

    amps: Above
    is_blown: bool = False


class Door(Record):
    """The door switch in the line to the transformer."""

    is_fitted: bool = False
    is_open: bool = False


class Float(Record):
    """The float switch.

    Args:
        cuts: what it takes away: `r` the whole control, `y` the cooling call.
        is_open: the switch.
        is_pan_full: whether water stands in the pan.
    """

    cuts: Literal["none", "r", "y"] = "none"
    is_open: bool = False
    is_pan_full: bool = False


class Thermostat(Record):
    """The thermostat.

    Args:
        has_batteries: it lives on batteries, not on R and C.
        are_batteries_flat: its batteries.
        is_dead: it makes no call though it has power.
        stuck: calls that it makes without being asked.
        load_ohms: what it takes from R and C.
    """

    has_batteries: bool = False
    are_batteries_flat: bool = False
    is_dead: bool = False
    stuck: tuple[Call, ...] = ()
    load_ohms: Above = 3000.0


class Cable(Record):
    """The cable to the thermostat.

    Args:
        ohms: of each conductor.
        open: conductors that are broken.
        crossed: calls that R touches inside the cable.
    """

    ohms: Above = 0.4
    open: tuple[Literal["r", "c", "g", "y", "w"], ...] = ()
    crossed: tuple[Call, ...] = ()


class Board(Record):
    """The control board.

    Args:
        load_ohms: what it takes for itself.
        dead_ohms: what an ohmmeter sees of it from R to C.
        is_fan_output_dead: no fan output though the call arrives.
        is_fan_output_stuck: a fan output without a call.
    """

    load_ohms: Above = 120.0
    dead_ohms: Above = 900.0
    is_fan_output_dead: bool = False
    is_fan_output_stuck: bool = False


class Coil(Record):
    """A 24 V coil.

    Args:
        ohms: on dc.
        impedance: on ac.
        is_open: the winding.
    """

    ohms: Above
    impedance: Above
    is_open: bool = False


class Contact(Record):
    """The contact that a coil works.

    Args:
        ohms: of the closed contact.
        load_ohms: what it feeds.
        is_welded: it never opens.
    """

    ohms: Above = 0.02
    load_ohms: Above
    is_welded: bool = False


class Switch(Record):
    """A coil with its contact: fan relay or contactor."""

    coil: Coil
    contact: Contact


class Outdoor(Record):
    """The way of the cooling call to the contactor.

    Args:
        cable_ohms: of each conductor.
        joint_ohms: of the splices in the call.
        is_wire_open: a splice or conductor on the way.
        has_pressure_switch: a pressure switch in the call.
        is_pressure_open: that switch.
    """

    cable_ohms: Above = 0.4
    joint_ohms: Above = 0.05
    is_wire_open: bool = False
    has_pressure_switch: bool = False
    is_pressure_open: bool = False


class Heat(Record):
    """The heat circuit behind W.

    Args:
        kind: what makes the heat.
        ohms: of what the call feeds, on dc.
        impedance: the same on ac.
        is_limit_open: the limit; the board then keeps the fan on.
        is_dead: the heat does not answer a call that arrives.
    """

    kind: Literal["gas", "electric", "none"] = "none"
    ohms: Above = 40.0
    impedance: Above = 80.0
    is_limit_open: bool = False
    is_dead: bool = False


class Shorts(Record):
    """Paths to C that should not be, in ohms, by the spot; None: no short there."""

    thermostat_cable: Above | None = None
    safety_wire: Above | None = None
    board: Above | None = None
    outdoor_cable: Above | None = None
    heat_circuit: Above | None = None


class ControlSystem(Equipment):
    """A unit as its 24 volt control sees it.

    Args:
        feed_ohms: of the joints from fuse to R.
        accessory_ohms: something added across R and C; None: nothing was.
    """

    kind: Literal["control"]
    line: Line
    plate: Plate
    transformer: Transformer
    fuse: Fuse
    door: Door = Door()
    float_switch: Float = Float()
    thermostat: Thermostat = Thermostat()
    cable: Cable = Cable()
    board: Board = Board()
    fan_relay: Switch
    outdoor: Outdoor = Outdoor()
    contactor: Switch
    heat: Heat = Heat()
    shorts: Shorts = Shorts()
    feed_ohms: Above = 0.05
    accessory_ohms: Above | None = None

    @model_validator(mode="after")
    def _tap_exists(self) -> "ControlSystem":
        if self.transformer.tap not in self.transformer.taps:
            raise ValueError(f"the transformer has no tap for {self.transformer.tap:g} volts")
        return self

    @property
    def is_tap_right(self) -> bool:
        """Whether the primary tap in use is the nearest to what the building is fed with."""
        line = self.line.nominal_volts
        return self.transformer.tap == min(self.transformer.taps, key=lambda tap: abs(tap - line))

    @property
    def is_thermostat_alive(self) -> bool:
        """Whether the thermostat can make a call where R has its volts."""
        part = self.thermostat
        if part.is_dead:
            return False
        if part.has_batteries:
            return not part.are_batteries_flat
        return not {"r", "c"} & set(self.cable.open)
