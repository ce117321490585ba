"""Looking up and working out a formula that a flow names; the table itself is `catalogue.py`."""

import difflib
import math
from collections.abc import Iterable, Mapping
from decimal import ROUND_HALF_UP, Context, Decimal

from assistant.quantity import RESISTANCE_UNITS, Quantity, Unit
from assistant.trade.bounds import TradeError
from assistant.trade.catalogue import FORMULAS, Formula

__all__ = ["FORMULAS", "Formula", "check_units", "find_formula", "work_out"]

# Stricter than dimensions, which would turn hertz into rpm by 2 pi, and volt amps into watts.
_KINDS: tuple[tuple[Unit, ...], ...] = (
    RESISTANCE_UNITS,
    (Unit.WATT, Unit.HORSEPOWER),
    (Unit.IN_WC, Unit.PASCAL),
    (Unit.DEG_F, Unit.DEG_C),
    (Unit.INCH, Unit.FOOT),
)


def find_formula(name: str) -> Formula:
    """Look a formula up by its name in flow files.

    Raises:
        TradeError: when there is none, with the nearest name.
    """
    try:
        return FORMULAS[name]
    except KeyError:
        near = difflib.get_close_matches(name, FORMULAS, n=1)
        hint = f"The nearest name is '{near[0]}'." if near else "See the table of formulas."
        raise TradeError(f"There is no formula '{name}'.", hint) from None


def check_units(name: str, units: Mapping[str, Unit | None]) -> Unit:
    """Check a formula's arguments before there are values, as when a flow loads.

    Args:
        name: the formula.
        units: each argument's unit; None for a bare number, which counts in the parameter's unit.

    Returns:
        The unit of the result.

    Raises:
        TradeError: for an unknown formula, a missing or extra argument, a unit of another kind.
    """
    formula = find_formula(name)
    _check_names(formula, units)
    for parameter, unit in units.items():
        if unit is not None:
            _check_kind(formula, parameter, unit)
    return formula.result


def work_out(name: str, arguments: Mapping[str, Quantity]) -> Quantity:
    """Work a formula out, rounded to its significant digits.

    Args:
        name: the formula.
        arguments: a quantity for each parameter; converted to the parameter's unit.

    Raises:
        TradeError: for an unknown formula, a missing or extra argument, a unit of another kind, or
            a value the formula cannot take.
    """
    formula = find_formula(name)
    _check_names(formula, arguments)
    values = {key: _converted(formula, key, given) for key, given in arguments.items()}
    result = formula.function(**values)
    if not math.isfinite(result):
        raise TradeError(
            f"'{name}' gives no number for these values.", "Check each value that went in."
        )
    return Quantity(_rounded(result, formula.digits), formula.result)


def _check_names(formula: Formula, given: Iterable[str]) -> None:
    given = tuple(given)
    missing = [name for name in formula.parameters if name not in given]
    extra = [name for name in given if name not in formula.parameters]
    takes = f"It takes {', '.join(formula.parameters)}."
    if missing:
        raise TradeError(f"Formula '{formula.name}' was not given {', '.join(missing)}.", takes)
    if extra:
        raise TradeError(f"Formula '{formula.name}' does not take {', '.join(extra)}.", takes)


def _check_kind(formula: Formula, parameter: str, given: Unit) -> None:
    unit = formula.parameters[parameter]
    if given is not unit and not any(unit in kind and given in kind for kind in _KINDS):
        raise TradeError(
            f"Formula '{formula.name}' cannot take {given.value} as {parameter}.",
            f"Give it in {unit.value}.",
        )


def _converted(formula: Formula, parameter: str, given: Quantity) -> float:
    _check_kind(formula, parameter, given.unit)
    return float(given.to(formula.parameters[parameter]).value)


def _rounded(value: float, digits: int) -> Decimal:
    rounded = Context(prec=digits, rounding=ROUND_HALF_UP).create_decimal(repr(value)).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral_value() else rounded
