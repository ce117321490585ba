"""What eyes, ears and hands tell of a ducted unit, and what its customer says."""

from collections.abc import Callable, Iterator

from assistant.bench import observations as blower
from assistant.bench.ducted_stand import DuctedAir
from assistant.bench.looking import look

WEAK_SHARE, STRONG_SHARE = 0.9, 1.15
"""Flow over 400 cfm a ton that is felt as weak, as strong (common practice, no source)."""
WHISTLES_INWC = 0.25
"""Drop over grille and return, or over trunk and branches, that is heard (common practice)."""
COOLS_SHARE = 0.8
"""Share of the cooling below which rooms stay hot (common practice, no source)."""
_GAP_SHARE, _PANEL_SHARE = 0.2, 0.5


class DuctedStand(DuctedAir):
    """A ducted unit in one state, which answers eyes, ears and hands as well."""

    def observe(self, observation: str) -> str:
        """Give the value of an observation; the unit's own `looks` come first.

        Raises:
            BenchError: for an observation the bench does not know.
        """
        return look(self, observation, OBSERVERS)

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say, the plainest first."""
        return tuple(dict.fromkeys(_complaints(self)))


def _complaints(stand: DuctedStand) -> Iterator[str]:
    if _ice_look(stand) == "ice_seen":
        yield "iced"
    if _air(stand) in {"air_weak", "air_none"}:
        yield "weak_air"
    if _is_loud(stand):
        yield "noisy_air"
    if _is_hot_upstairs(stand):
        yield "hot_rooms"


def _is_loud(stand: DuctedStand) -> bool:
    suction = -stand.static("return_plenum")
    return max(suction, stand.static("supply_plenum")) > WHISTLES_INWC or _air(stand) == (
        "air_strong"
    )


def _is_hot_upstairs(stand: DuctedStand) -> bool:
    unit = stand.ducted
    is_leaking = max(unit.duct.leak, unit.duct.return_leak) > _GAP_SHARE
    return is_leaking or unit.cooling.charge < COOLS_SHARE or _air(stand) == "air_weak"


def _complaint(stand: DuctedStand) -> str:
    return next(iter(stand.complaints()), "")


def _complaint_now(stand: DuctedStand) -> str:
    return "still_there" if stand.complaints() else "gone"


def _air(stand: DuctedStand) -> str:
    """Tell how the air feels in the rooms, next to what the coil asks for."""
    unit = stand.ducted
    if not stand.running.cfm:
        return "air_none"
    share = stand.running.cfm * (1 - unit.duct.leak) / unit.nominal_cfm
    if share < WEAK_SHARE or unit.duct.share < _PANEL_SHARE:
        return "air_weak"
    return "air_strong" if share > STRONG_SHARE else "air_good"


def _run_state(stand: DuctedStand) -> str:
    """Tell what the motor does; a slower tap is not a slow motor."""
    state = blower.run_state(stand)
    if state not in {"runs", "runs_slow"}:
        return state
    taps = stand.unit.wiring.modes.get(stand.mode, ())
    share = 1.0 if taps[:1] == ("tap_high",) else blower.LOW_TAP_SHARE
    is_slow = stand.running.rpm < blower.SLOW_SHARE * share * stand.unit.label.motor_rpm
    return "runs_slow" if is_slow else "runs"


def _filter_look(stand: DuctedStand) -> str:
    return "filter_dirty" if stand.ducted.sight.is_filter_dirty else "filter_clean"


def _coil_look(stand: DuctedStand) -> str:
    if stand.ducted.cooling.is_iced:
        return "coil_iced"
    return "coil_dirty" if stand.ducted.sight.is_coil_dirty else "coil_clean"


def _ice_look(stand: DuctedStand) -> str:
    return "ice_seen" if stand.ducted.cooling.is_iced else "no_ice"


def _thaw(stand: DuctedStand) -> str:
    return "ice_stays" if stand.ducted.cooling.is_iced else "ice_gone"


def _grille_look(stand: DuctedStand) -> str:
    return "grille_blocked" if stand.ducted.return_grille.is_covered else "grilles_clear"


def _registers_look(stand: DuctedStand) -> str:
    return "registers_shut" if stand.ducted.sight.are_dampers_shut else "registers_open"


def _duct_runs(stand: DuctedStand) -> str:
    unit = stand.ducted
    if unit.duct.leak > _GAP_SHARE:
        return "supply_off"
    if unit.duct.return_leak > _GAP_SHARE:
        return "return_leaks"
    return "supply_crushed" if unit.sight.is_supply_crushed else "runs_joined"


def _flame_look(stand: DuctedStand) -> str:
    del stand
    return "flame_steady"


def _heat_kind(stand: DuctedStand) -> str:
    return {"gas": "gas_heat", "electric": "electric_heat", "none": "no_heat_here"}[
        stand.ducted.heater.kind
    ]


OBSERVERS: dict[str, Callable[[DuctedStand], str]] = {
    **blower.OBSERVERS,
    "complaint": _complaint,
    "complaint_now": _complaint_now,
    "run_state": _run_state,
    "air_at_grilles": _air,
    "filter_look": _filter_look,
    "coil_look": _coil_look,
    "ice_look": _ice_look,
    "thaw": _thaw,
    "grille_look": _grille_look,
    "registers_look": _registers_look,
    "duct_runs": _duct_runs,
    "flame_look": _flame_look,
    "heat_kind": _heat_kind,
}
"""What a blower shows, and what its air side shows."""
