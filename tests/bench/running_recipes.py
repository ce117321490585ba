"""What each row of running_values.csv changes in the unit: the fault's name to taps and changes."""

from dataclasses import dataclass

LOW: tuple[str, ...] = ("tap_low",)
SECOND = {"A": "tap_medium", "B": "tap_medium_high"}
PLACES = {
    "A": {"BLK": "tap_high", "BLU": "tap_medium", "RED": "tap_low"},
    "B": {
        "BLK": "tap_high",
        "BLU": "tap_medium_high",
        "ORG": "tap_medium_low",
        "RED": "tap_low",
    },
}
CONTACT_OHMS = {("A", "main"): 0.05, ("B", "main"): 0.1545, ("A", "aux"): 0.2, ("B", "aux"): 0.2}
"""Where shorted turns touch; deduced from the figures themselves (2.3 percent of the main)."""
RATED_TORQUE = {"A": 2.208, "B": 3.312}
"""Newton metres: hp x 745.7 over the speed of the blower's figures, 1075 rpm."""
RATED = {"A": (115.0, 5.6), "B": (230.0, 3.5)}
SPUN_SLIP = 0.11
"""The rows `spun by hand` hold both motors at 1068 of 1200 rpm, whatever the load asks."""

Change = dict[str, object]


@dataclass(frozen=True)
class Recipe:
    """How a row is made: live taps, changes, and the slip it is held at where it is held."""

    taps: tuple[str, ...]
    changes: tuple[Change, ...] = ()
    held_slip: float | None = None


def _scale(what: str, by: float) -> Change:
    return {"do": "scale", "what": what, "by": by}


def _set(what: str, to: object) -> Change:
    return {"do": "set", "what": what, "to": to}


def _turns(motor: str, words: list[str]) -> Recipe:
    """`main shorted turns 5%`."""
    role = {"main": "main", "aux": "auxiliary"}[words[0]]
    share = float(words[-1].rstrip("%")) / 100
    contact = CONTACT_OHMS[motor, words[0]]
    change = {"do": "short_turns", "role": role, "share": share, "contact_ohms": contact}
    return Recipe(("tap_high",), (change,))


def recipe(motor: str, fault: str) -> Recipe:
    """Give how the row of a motor and a fault is made."""
    words = fault.replace(",", "").split()
    fixed = _fixed(motor)
    if fault in fixed:
        return fixed[fault]
    if "shorted turns" in fault:
        return _turns(motor, words)
    if fault.startswith(("healthy", "two taps live")):
        return Recipe(tuple(PLACES[motor][lead] for lead in words[-1].split("+")))
    taps = LOW if "low" in words else ("tap_high",)
    return Recipe(taps, (_one_change(motor, words),))


def _one_change(motor: str, words: list[str]) -> Change:
    """`supply 85% low tap`, `wrong cap x1.5`, `series contact R 1.64 ohm`."""
    if words[0] == "series":
        volts, amps = RATED[motor]
        # Two decimals are printed of a share of rated volts over full-load amps.
        share = 0.08 if float(words[3]) < 0.15 * volts / amps else 0.25
        return _set("control.contact_ohms", share * volts / amps)
    said = next(word for word in words if word[0] in "x0123456789")
    by = float(said[1:]) if said[0] == "x" else float(said.rstrip("%")) / 100
    assert words[0] == "supply" or "cap" in words
    return _scale("supply.volts" if words[0] == "supply" else "capacitor.uf", by)


def _fixed(motor: str) -> dict[str, Recipe]:
    high, tight = ("tap_high",), _set("motor.bearings.extra", 0.4 * RATED_TORQUE[motor])
    no_capacitor, seized = _set("capacitor.uf", 0), _set("motor.bearings.is_seized", True)
    shorted = _set("capacitor.short_ohms", 0.2)
    return {
        "open cap, will not start (hum)": Recipe(high, (no_capacitor,)),
        "open cap, spun by hand": Recipe(high, (no_capacitor,), SPUN_SLIP),
        "shorted cap": Recipe(high, (shorted,)),
        "shorted cap, spun": Recipe(high, (shorted,), SPUN_SLIP),
        "open aux (hum)": Recipe(high, ({"do": "open", "role": "auxiliary"},)),
        "open main (weak hum)": Recipe(high, ({"do": "open", "role": "main"},)),
        "open overload/common": Recipe(high, (_set("motor.overload.state", "failed"),)),
        "open seg1, on tap 2": Recipe((SECOND[motor],), ({"do": "open", "role": "segment"},)),
        "locked rotor, high tap": Recipe(high, (seized,)),
        "locked rotor, low tap": Recipe(LOW, (seized,)),
        "tight bearings +0.4 T rated": Recipe(high, (tight,)),
        "tight bearings +0.4, low tap": Recipe(LOW, (tight,)),
        "wheel loose on shaft (no load)": Recipe(high, (_set("blower.is_loose", True),)),
        "dirty wheel (0.8 head)": Recipe(high, (_set("blower.head", 0.8),)),
        "filter/coil blocked (K x4)": Recipe(high, (_set("duct.share", 4),)),
        "filter/coil blocked (K x12)": Recipe(high, (_set("duct.share", 12),)),
        "no restriction (panel off, K x0.05)": Recipe(high, (_set("duct.share", 0.05),)),
        "rotor R x2 (cracked bars)": Recipe(high, (_scale("motor.rotor.ohms", 2),)),
        "50 Hz supply same volts": Recipe(high, (_set("supply.hz", 50),)),
        "115 V motor on 230 V": Recipe(high, (_set("supply.volts", 230),)),
        "230 V motor on 115 V": Recipe(high, (_set("supply.volts", 115),)),
        "230 V motor on 208 V": Recipe(high, (_set("supply.volts", 208),)),
        "230 V motor on 208 V low": Recipe(LOW, (_set("supply.volts", 208),)),
    }
