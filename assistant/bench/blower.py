"""A blower with a capacitor motor as a kind of unit on the bench."""

from assistant.bench.kind import Kind
from assistant.bench.nameplates import NAMEPLATE
from assistant.bench.observations import OBSERVERS, complaints, observe
from assistant.bench.stand import Stand
from assistant.bench.thermal import after_waiting
from assistant.bench.unit import Unit

STILL_WARM_K = 15.0
"""Above its surroundings by this much, a motor was not off for an hour (common practice)."""


class BlowerStand(Stand):
    """A blower in one state, which answers eyes, ears and hands as well."""

    def observe(self, observation: str) -> str:
        """Give the value of an observation."""
        return observe(self, observation)

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say."""
        return complaints(self)


def _features(unit: Unit) -> frozenset[str]:
    return frozenset({f"taps_{count}" for count in range(1, len(unit.motor.taps) + 1)}) | (
        frozenset() if unit.capacitor.herm_uf is None else {"dual"}
    )


def _is_hot(unit: Unit) -> bool:
    return unit.motor.heat.winding_c is not None


def _cooled(unit: Unit, minutes: float) -> Unit:
    return after_waiting(unit, minutes) if _is_hot(unit) and minutes > 0 else unit


def _is_warm(unit: Unit) -> bool:
    return unit.winding_c > unit.surroundings_c + STILL_WARM_K


def _has_recovered(faulted: Unit, now: Unit) -> bool:
    """An overload that has cooled needs no repair."""
    return faulted.motor.overload.state == "tripped" and now.motor.overload.state == "closed"


BLOWER = Kind(
    name="blower",
    record=Unit,
    stand=BlowerStand,
    observers=frozenset(OBSERVERS),
    calls=frozenset({"run_state", "relay_click", "run_watch", "rotation", "air_at_grilles"}),
    uncalls=frozenset({"blower_stops"}),
    plate=NAMEPLATE,
    features=_features,
    whole_parts=frozenset({"motor", "capacitor"}),
    is_hot=_is_hot,
    cooled=_cooled,
    is_warm=_is_warm,
    has_recovered=_has_recovered,
)
