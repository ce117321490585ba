"""A motor as data: nameplate, leads, windings as a network of branches, rotor, overload, heat."""

from collections import Counter
from typing import Literal

from pydantic import Field, model_validator

from assistant.bench.record import Above, AtLeastZero, Node, Record

FRAME = "FRAME"
"""The motor's shell, bonded to ground."""
TAP_PLACES = {
    1: ("tap_high",),
    2: ("tap_high", "tap_low"),
    3: ("tap_high", "tap_medium", "tap_low"),
    4: ("tap_high", "tap_medium_high", "tap_medium_low", "tap_low"),
    5: ("tap_high", "tap_medium_high", "tap_medium", "tap_medium_low", "tap_low"),
}
"""What the taps are called, by their number, the fastest first."""
Role = Literal["main", "auxiliary", "segment", "overload", "tie", "fault"]
WINDING_ROLES = ("main", "auxiliary", "segment")


class Branch(Record):
    """One piece of winding or wire between two nodes.

    Args:
        name: its own name.
        role: what it is; the parts of a split winding share one role, the first listed is met
            first by a fault.
        between: its two nodes; current and turns count from the first to the second.
        ohms: resistance at 25 C.
        leakage: leakage reactance at 60 Hz, ohms.
        turns: effective turns on the main and on the auxiliary axis, with sign, the main
            winding being 1.
        is_open: burnt through: no current passes.
    """

    name: Node
    role: Role
    between: tuple[Node, Node]
    ohms: AtLeastZero
    leakage: AtLeastZero = 0.0
    turns: tuple[float, float] = (0.0, 0.0)
    is_open: bool = False


class Plate(Record):
    """What is printed on the motor.

    Args:
        volts: rated volts.
        hp: rated horsepower.
        poles: number of poles.
        amps: full-load amps.
        hz: rated frequency.
        capacitor_uf: the run capacitor it wants.
        capacitor_volts: the least voltage rating that capacitor may have.
        rpm: full-load speed.
        insulation_class: its letter.
    """

    volts: Above
    hp: Above
    poles: Literal[2, 4, 6, 8]
    amps: Above
    hz: Above = 60.0
    capacitor_uf: Above
    capacitor_volts: Above
    rpm: Above
    insulation_class: str = "B"


class Rotor(Record):
    """The rotor, referred to the main winding, ohms at 60 Hz.

    Args:
        magnetizing: reactance of the air gap.
        ohms: resistance of the cage.
        leakage: its leakage reactance.
    """

    magnetizing: Above
    ohms: Above
    leakage: AtLeastZero


class Bearings(Record):
    """What holds the shaft back, in newton metres.

    Args:
        running: drag at any speed.
        breakaway: what must be overcome before it moves at all.
        extra: drag of a fault, at rest and at speed.
        is_seized: the shaft does not turn.
        has_play: worn so far that the shaft moves sideways.
    """

    running: AtLeastZero
    breakaway: AtLeastZero
    extra: AtLeastZero = 0.0
    is_seized: bool = False
    has_play: bool = False


class Overload(Record):
    """The thermal protector inside the motor.

    Args:
        opens_c: winding temperature at which it opens.
        closes_c: winding temperature at which it closes again.
        state: `tripped` stays open until it has cooled, `failed` for good.
    """

    opens_c: Above
    closes_c: Above
    state: Literal["closed", "tripped", "failed"] = "closed"


class Heat(Record):
    """How the motor warms, as one lump.

    Args:
        joules_per_k: heat it stores.
        moving_w_per_k: heat it gives off in its rated air stream.
        still_w_per_k: heat it gives off in still air.
        winding_c: temperature of the winding now; None is that of the surroundings.
    """

    joules_per_k: Above
    moving_w_per_k: Above
    still_w_per_k: Above
    winding_c: float | None = Field(default=None, ge=-60, le=400)


class Motor(Record):
    """A permanent split capacitor motor.

    Args:
        family: where the auxiliary winding leaves from: `T` the high tap, `L` the low end,
            `midpoint` the middle of the main winding.
        plate: its nameplate.
        common: node of the common lead.
        taps: nodes of the speed leads, the fastest first, one to five.
        capacitor_lead: node of the capacitor lead.
        capacitor_return: node of the lead back from the capacitor.
        branches: the network.
        impedance: scales every impedance; another motor of the same build has another figure.
        is_reversed: the auxiliary winding is connected the wrong way round.
        broken_leads: place names of leads broken between splice and terminal.
        insulation_megohms: between windings and frame, as an insulation tester reads it.
    """

    family: Literal["T", "L", "midpoint"]
    plate: Plate
    common: Node
    taps: tuple[Node, ...] = Field(min_length=1, max_length=5)
    capacitor_lead: Node
    capacitor_return: Node
    branches: tuple[Branch, ...] = Field(min_length=2)
    rotor: Rotor
    bearings: Bearings
    overload: Overload
    heat: Heat
    impedance: Above = 1.0
    is_reversed: bool = False
    broken_leads: tuple[str, ...] = ()
    insulation_megohms: AtLeastZero = 1000.0

    @model_validator(mode="after")
    def _is_one_network(self) -> "Motor":
        twice = [name for name, n in Counter(b.name for b in self.branches).items() if n > 1]
        if twice:
            raise ValueError(f"two branches are called {twice[0]}")
        if len(set(self.leads.values())) != len(self.leads):
            raise ValueError("two leads end at the same node")
        nodes = {node for branch in self.branches for node in branch.between}
        loose = [node for node in self.leads.values() if node not in nodes]
        if loose:
            raise ValueError(f"no branch ends at the lead {loose[0]}")
        roles = {branch.role for branch in self.branches}
        missing = [role for role in ("main", "auxiliary") if role not in roles]
        if missing:
            raise ValueError(f"no branch has the role {missing[0]}")
        return self

    @property
    def leads(self) -> dict[str, str]:
        """Give the node of each lead by its place name in the vocabulary."""
        taps = dict(zip(TAP_PLACES[len(self.taps)], self.taps, strict=True))
        ends = {"cap_lead": self.capacitor_lead, "cap_return": self.capacitor_return}
        return {"common": self.common, **taps, **ends}
