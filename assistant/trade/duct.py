"""Ducts, grilles and filters: friction, equivalent diameter, face velocity, area, cfm a ton."""

import math

from assistant.trade.air import STANDARD_DENSITY
from assistant.trade.bounds import need_above_zero, need_within, need_zero_or_more

GALVANIZED_FT = 0.0003
"""Roughness of galvanized duct (handbook, source seen)."""
FLEX_STRETCHED_FT = 0.003
"""Roughness of fully stretched flexible duct (handbook, source seen)."""
NOMINAL_CFM_PER_TON = 400.0
CFM_PER_TON = (350.0, 450.0)
"""Usual (common practice, no source); at least 350: California Title 24 150.0(m)13 (standard)."""
FACE_VELOCITY_FPM = {
    "return_grille": (300.0, 500.0),
    "coil": (350.0, 500.0),
    "supply_trunk": (700.0, 900.0),
    "return_trunk": (500.0, 700.0),
    "branch": (0.0, 800.0),
}
"""Usual least and most feet a minute (common practice, no source)."""
FILTER_FPM = 300.0
"""Face velocity that a filter is sized for (common practice, no source)."""
_VISCOSITY = 1.826e-5 / 1.4881639
"""Air at 70 F, in pounds a foot and second (1.826e-5 Pa s, property library)."""
_LAMINAR_BELOW = 2300.0
_POUNDS_FT2_PER_INWC = 5.20233
_GRAVITY = 32.17405
_SQUARE_INCHES_PER_FT2 = 144.0
_DIAMETERS_IN = (1.0, 120.0)
_SETTLED = 1e-12
_MOST_ROUNDS = 50


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Give the Darcy friction factor of a round duct.

    Args:
        reynolds: Reynolds number, above 0; below 2300 the flow counts as laminar.
        relative_roughness: roughness over diameter, 0 to 0.2.

    Raises:
        TradeError: outside those ranges.

    Source: Colebrook's equation; 64 / Re where laminar (handbook).
    """
    need_above_zero(reynolds=reynolds)
    need_within(0, 0.2, relative_roughness=relative_roughness)
    if reynolds < _LAMINAR_BELOW:
        return 64 / reynolds
    inverse_root = 8.0
    for _ in range(_MOST_ROUNDS):
        inner = relative_roughness / 3.7 + 2.51 * inverse_root / reynolds
        better = -2 * math.log10(inner)
        is_settled = abs(better - inverse_root) < _SETTLED
        inverse_root = better
        if is_settled:
            break
    return 1 / inverse_root**2


def friction_inwc_per_100ft(
    cfm: float,
    diameter_in: float,
    roughness_ft: float = GALVANIZED_FT,
    density: float = STANDARD_DENSITY,
) -> float:
    """Give the friction loss of a hundred feet of round duct, in inches of water.

    Args:
        cfm: airflow, above 0.
        diameter_in: inside diameter, 1 to 120 inches.
        roughness_ft: 0 to 0.01; 0.0003 galvanized, 0.003 flexible duct fully stretched.
        density: pounds a cubic foot, 0.01 to 0.2.

    Raises:
        TradeError: outside those ranges.

    Source: Colebrook and Darcy-Weisbach, viscosity at 70 F (handbook).
    """
    need_above_zero(cfm=cfm)
    need_within(1, 120, diameter_in=diameter_in)
    need_within(0, 0.01, roughness_ft=roughness_ft)
    need_within(0.01, 0.2, density=density)
    diameter_ft = diameter_in / 12
    feet_a_second = cfm / 60 / (math.pi * diameter_ft**2 / 4)
    reynolds = density * feet_a_second * diameter_ft / _VISCOSITY
    factor = friction_factor(reynolds, roughness_ft / diameter_ft)
    pounds_ft2 = factor * 100 / diameter_ft * density * feet_a_second**2 / (2 * _GRAVITY)
    return pounds_ft2 / _POUNDS_FT2_PER_INWC


def equivalent_diameter_in(width_in: float, height_in: float) -> float:
    """Give the round duct with the friction of a rectangular one, in inches.

    Args:
        width_in: one side, above 0.
        height_in: the other side, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: Huebscher, 1.30 (ab)^0.625 / (a + b)^0.25 (handbook).
    """
    need_above_zero(width_in=width_in, height_in=height_in)
    area, sides = width_in * height_in, width_in + height_in
    return 1.30 * math.pow(area, 0.625) / math.pow(sides, 0.25)


def round_diameter_in(
    cfm: float, friction_inwc: float, roughness_ft: float = GALVANIZED_FT
) -> float:
    """Give the round duct that has a friction loss at an airflow, in inches.

    Args:
        cfm: airflow, above 0.
        friction_inwc: for each hundred feet, in inches of water, above 0.
        roughness_ft: 0 to 0.01.

    Raises:
        TradeError: outside those ranges, or where no duct of 1 to 120 inches has that friction.

    Source: `friction_inwc_per_100ft`, turned round by halving.
    """
    need_above_zero(cfm=cfm, friction_inwc=friction_inwc)
    low, high = _DIAMETERS_IN
    least = friction_inwc_per_100ft(cfm, high, roughness_ft)
    most = friction_inwc_per_100ft(cfm, low, roughness_ft)
    need_within(least, most, friction_inwc=friction_inwc)
    for _ in range(_MOST_ROUNDS):
        middle = (low + high) / 2
        if friction_inwc_per_100ft(cfm, middle, roughness_ft) > friction_inwc:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def face_velocity_fpm(cfm: float, width_in: float, height_in: float) -> float:
    """Give the air's speed at a rectangular face, in feet a minute.

    Args:
        cfm: airflow, 0 or more.
        width_in: one side, above 0.
        height_in: the other side, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(cfm=cfm)
    need_above_zero(width_in=width_in, height_in=height_in)
    return cfm * _SQUARE_INCHES_PER_FT2 / (width_in * height_in)


def face_airflow_cfm(width_in: float, height_in: float, face_fpm: float) -> float:
    """Give the airflow of a rectangular face at an air speed, in cfm.

    Args:
        width_in: one side, above 0.
        height_in: the other side, above 0.
        face_fpm: feet a minute, 0 or more; 500 is the usual most at a return grille.

    Raises:
        TradeError: outside those ranges.

    Source: identity; 300 to 500 fpm at a return grille is common practice, no source.
    """
    need_above_zero(width_in=width_in, height_in=height_in)
    need_zero_or_more(face_fpm=face_fpm)
    return face_fpm * width_in * height_in / _SQUARE_INCHES_PER_FT2


def face_area_ft2(cfm: float, face_fpm: float = FILTER_FPM) -> float:
    """Give the face that an airflow needs, in square feet.

    Args:
        cfm: airflow, 0 or more.
        face_fpm: face velocity wanted, above 0; 300 for a filter.

    Raises:
        TradeError: outside those ranges.

    Source: identity; 300 fpm is common practice, no source.
    """
    need_zero_or_more(cfm=cfm)
    need_above_zero(face_fpm=face_fpm)
    return cfm / face_fpm


def airflow_per_ton_cfm(cfm: float, tons: float) -> float:
    """Give the airflow for each ton of cooling, in cfm.

    Args:
        cfm: airflow, 0 or more.
        tons: cooling capacity, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity; 400 nominal and 350 to 450 are common practice, no source.
    """
    need_zero_or_more(cfm=cfm)
    need_above_zero(tons=tons)
    return cfm / tons


def nominal_airflow_cfm(tons: float, per_ton_cfm: float = NOMINAL_CFM_PER_TON) -> float:
    """Give the airflow a cooling capacity asks for, in cfm.

    Args:
        tons: cooling capacity, 0 or more.
        per_ton_cfm: cfm for each ton, above 0; 400 nominal.

    Raises:
        TradeError: outside those ranges.

    Source: common practice, no source.
    """
    need_zero_or_more(tons=tons)
    need_above_zero(per_ton_cfm=per_ton_cfm)
    return tons * per_ton_cfm
