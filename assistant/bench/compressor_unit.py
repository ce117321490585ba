"""A hermetic single-phase compressor with what feeds it, as data: what its unit file says."""

from typing import Literal

from pydantic import Field, model_validator

from assistant.bench.equipment import Equipment
from assistant.bench.record import Above, AtLeastZero, Record
from assistant.bench.unit import Capacitor, Supply

Terminal = Literal["comp_c", "comp_s", "comp_r"]
NUMBERED = ("comp_terminal_1", "comp_terminal_2", "comp_terminal_3")
"""Places of a compressor whose terminals carry no letters."""


class CompressorPlate(Record):
    """What is printed for the compressor on the unit's plate, and in its maker's table.

    Args:
        volts: rated volts, the lower of a label such as 208-230.
        upper_volts: the upper one; None: there is only one.
        rated_load_amps: RLA.
        locked_rotor_amps: LRA.
        capacitor_uf: run capacitor that the compressor wants.
        capacitor_volts: its least voltage rating.
        table_run_ohms: C to R at 25 C in the maker's table; None: no table at hand.
        table_start_ohms: C to S there.
    """

    volts: Above
    upper_volts: Above | None = None
    rated_load_amps: Above
    locked_rotor_amps: Above
    capacitor_uf: Above
    capacitor_volts: Above
    table_run_ohms: Above | None = None
    table_start_ohms: Above | None = None


class ShellHeat(Record):
    """How shell and windings take and give off heat; they are one lump.

    Args:
        winding_c: temperature of the windings as found; None: that of the surroundings.
        joules_per_k: to warm it by one kelvin.
        watts_per_k: given off for one kelvin above the surroundings.
    """

    winding_c: float | None = Field(default=None, ge=-40, le=200)
    joules_per_k: Above = 9000.0
    watts_per_k: Above = 1.5


class Compressor(Record):
    """Windings in one shell, the internal overload between C and both of them.

    Args:
        plate: what is printed.
        run_ohms: C to R at 25 C.
        start_ohms: C to S at 25 C, more than the run winding.
        is_run_open: the run winding is burnt through.
        is_start_open: the start winding is.
        run_short: share of the run winding's turns that are shorted.
        start_short: share of the start winding's.
        touching_ohms: between the middles of both windings; None: they do not touch.
        shell_ohms: from the middle of the run winding to the shell; None: no path.
        insulation_megohms: what an insulation tester shows to the shell.
        overload: `closed`; `tripped` closes once cold; `failed` never does.
        closes_c: winding temperature at which a tripped overload closes.
        heat: of the shell.
        is_stuck: nothing inside can turn.
        letters: the terminals in the order they are met; they carry letters or not.
        is_marked: whether the terminals carry letters.
        has_oily_pin: oil at a terminal's glass.
    """

    plate: CompressorPlate
    run_ohms: Above
    start_ohms: Above
    is_run_open: bool = False
    is_start_open: bool = False
    run_short: float = Field(default=0.0, ge=0, lt=1)
    start_short: float = Field(default=0.0, ge=0, lt=1)
    touching_ohms: AtLeastZero | None = None
    shell_ohms: AtLeastZero | None = None
    insulation_megohms: Above = 600.0
    overload: Literal["closed", "tripped", "failed"] = "closed"
    closes_c: float = Field(default=65.0, ge=20, le=150)
    heat: ShellHeat = ShellHeat()
    is_stuck: bool = False
    letters: tuple[Terminal, Terminal, Terminal] = ("comp_c", "comp_s", "comp_r")
    is_marked: bool = True
    has_oily_pin: bool = False

    @model_validator(mode="after")
    def _is_single_phase(self) -> "Compressor":
        if self.start_ohms <= self.run_ohms:
            raise ValueError("start_ohms must be above run_ohms")
        if len(set(self.letters)) != len(self.letters):
            raise ValueError("letters must name C, S and R once each")
        return self


class CompressorCapacitor(Capacitor):
    """The compressor's run capacitor: `uf` is its own section, `fan_uf` the other of a dual.

    Args:
        fan_uf: what the fan's section has; None: a single part.
    """

    fan_uf: AtLeastZero | None = None


class StartGear(Record):
    """A start capacitor behind a potential relay, which opens once the compressor is up to speed.

    Args:
        low_uf: the lower microfarads printed on the start capacitor.
        high_uf: the higher ones.
        uf: what it has.
        is_bulged: whether it looks swollen or burnt.
        is_contact_open: the relay's contact, closed at rest, is burnt open.
        contact_ohms: of the closed contact.
        coil_ohms: of the relay's coil.
        is_coil_open: the coil is burnt through, so the contact never opens.
    """

    low_uf: Above
    high_uf: Above
    uf: AtLeastZero
    is_bulged: bool = False
    is_contact_open: bool = False
    contact_ohms: AtLeastZero = 0.1
    coil_ohms: Above = 5200.0
    is_coil_open: bool = False


class CompressorContactor(Record):
    """The contactor that feeds the compressor.

    Args:
        coil_ohms: dc resistance of its coil.
        is_coil_open: the coil is burnt through.
        contact_ohms: of the closed contacts together; burnt ones drop volts.
        is_contact_open: burnt so that they never close.
    """

    coil_ohms: Above = 14.0
    is_coil_open: bool = False
    contact_ohms: AtLeastZero = 0.005
    is_contact_open: bool = False


class CompressorCall(Record):
    """The 24 V that pulls the contactor in.

    Args:
        volts: at the coil while it is called.
        is_missing: no call arrives.
        is_pressure_switch_open: a high or low pressure switch is open.
    """

    volts: Above = 25.5
    is_missing: bool = False
    is_pressure_switch_open: bool = False


class CompressorFeed(Supply):
    """The line.

    Args:
        is_fuse_open: a fuse of the disconnect is open, though no breaker looks tripped.
    """

    is_fuse_open: bool = False


class CompressorLoad(Record):
    """What the refrigeration side makes the compressor do.

    Args:
        share: running amps over rated load amps of a sound compressor at rated volts.
        is_coil_dirty: the outdoor coil is matted.
        is_fan_still: the outdoor fan does not run.
    """

    share: Above = 0.85
    is_coil_dirty: bool = False
    is_fan_still: bool = False


class CompressorWires(Record):
    """The wires at the terminals.

    Args:
        are_crossed: start and run wire are swapped.
        is_burnt_off: the wire to C is burnt off its terminal.
    """

    are_crossed: bool = False
    is_burnt_off: bool = False


class CompressorUnit(Equipment):
    """A compressor with its feed, contactor, capacitors and load."""

    kind: Literal["compressor"]
    compressor: Compressor
    capacitor: CompressorCapacitor
    start_gear: StartGear | None = None
    contactor: CompressorContactor = CompressorContactor()
    call: CompressorCall = CompressorCall()
    supply: CompressorFeed
    load: CompressorLoad = CompressorLoad()
    wires: CompressorWires = CompressorWires()

    @property
    def winding_c(self) -> float:
        """Give the temperature of shell and windings, C."""
        held = self.compressor.heat.winding_c
        return self.surroundings_c if held is None else held
