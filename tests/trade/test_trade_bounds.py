"""Values that no formula can take are refused in one sentence with a hint."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable

import pytest

from assistant import trade
from assistant.errors import RungsideError
from assistant.trade import capacitor, duct, fan, heat, supply, windings
from assistant.trade.bounds import TradeError, need_above_zero, need_within, need_zero_or_more

NAN, INF = float("nan"), float("inf")


@pytest.mark.parametrize("value", [0.0, -0.0, -1.0, 1e-13, 1.1e12, NAN, INF, -INF])
def test_above_zero_refuses_everything_else(value: float) -> None:
    """Zero, negative, broken and impossible numbers are not above zero."""
    with pytest.raises(TradeError, match="volts is"):
        need_above_zero(volts=value)


@pytest.mark.parametrize("value", [1e-12, 1.0, 1e12])
def test_above_zero_takes_the_limits(value: float) -> None:
    """The stated limits themselves are taken."""
    need_above_zero(volts=value)


@pytest.mark.parametrize(("value", "is_taken"), [(0.0, True), (-0.01, False), (NAN, False)])
def test_zero_or_more_at_its_limit(value: float, is_taken: bool) -> None:
    """Zero is taken, less is not."""
    if is_taken:
        need_zero_or_more(amps=value)
    else:
        with pytest.raises(TradeError, match="amps is"):
            need_zero_or_more(amps=value)


@pytest.mark.parametrize(
    ("value", "is_taken"), [(5, True), (4.999, False), (10, True), (10.001, False), (NAN, False)]
)
def test_within_at_its_limits(value: float, is_taken: bool) -> None:
    """Both limits are taken, a little past either is not."""
    if is_taken:
        need_within(5, 10, share_percent=value)
    else:
        with pytest.raises(TradeError, match="share_percent is"):
            need_within(5, 10, share_percent=value)


def test_the_hint_says_the_unit_and_what_would_be_right() -> None:
    """Message: which value, what it is; hint: unit and range."""
    with pytest.raises(TradeError) as caught:
        capacitor.deviation_percent(7.5, -5)
    assert caught.value.message == "rated_uf is -5, which this formula cannot take."
    assert caught.value.hint == "Give microfarads, above zero."
    assert isinstance(caught.value, RungsideError)


BAD_CALLS: list[Callable[[], object]] = [
    lambda: capacitor.band_min_uf(10, 101),
    lambda: capacitor.band_max_uf(10, -1),
    lambda: capacitor.under_load_uf(1, 0, 60),
    lambda: capacitor.current_amps(10, 370, 0),
    lambda: capacitor.discharge_seconds(10, 0, 500, 50),
    lambda: capacitor.discharge_seconds(10, 20_000, 500, 0),
    lambda: windings.resistance_at_temperature_ohms(2.2, -235, 25),
    lambda: windings.resistance_at_temperature_ohms(2.2, 25, 501),
    lambda: windings.resistance_at_temperature_ohms(2.2, 25, 95, k=100),
    lambda: windings.temperature_by_resistance_c(0, 25, 5),
    lambda: windings.insulation_at_40c_thermoset_megohms(5, 9),
    lambda: windings.insulation_at_40c_halving_megohms(5, 200),
    lambda: windings.identify_compressor(0, 3.1, 1.8),
    lambda: supply.window_min_volts(0),
    lambda: supply.motor_amps(0.5, 115, 101, 0.9),
    lambda: supply.motor_amps(0.5, 115, 70, 1.1),
    lambda: heat.gas_heat_cfm(80_000, 80, 50),
    lambda: heat.rise_f(NAN, 70),
    lambda: fan.airflow_at_rpm_cfm(1000, 0, 1100),
    lambda: fan.velocity_fpm(0.1, 1.2),
    lambda: duct.friction_inwc_per_100ft(400, 0.5),
    lambda: duct.friction_inwc_per_100ft(400, 10, 0.3),
]


@pytest.mark.parametrize("call", BAD_CALLS)
def test_values_outside_a_formulas_range_are_refused(call: Callable[[], object]) -> None:
    """Also the likely slips: 80 for 0.8 efficiency, kg/m3 for lb/ft3, inches for feet."""
    with pytest.raises(TradeError) as caught:
        call()
    assert caught.value.message.endswith(".")
    assert caught.value.hint


def _public_functions() -> list[tuple[str, str]]:
    """Name and docstring of each public function of the subjects."""
    found = []
    for subject in pkgutil.iter_modules(trade.__path__):
        module = importlib.import_module(f"assistant.trade.{subject.name}")
        found += [
            (f"{subject.name}.{name}", function.__doc__ or "")
            for name, function in inspect.getmembers(module, inspect.isfunction)
            if function.__module__ == module.__name__ and not name.startswith("_")
        ]
    return found


def test_every_public_formula_says_its_source() -> None:
    """No public function that gives a value stands without a source in its docstring."""
    checks = {"bounds", "formulas"}
    subjects = [
        (name, doc) for name, doc in _public_functions() if name.partition(".")[0] not in checks
    ]
    assert len(subjects) > 50
    assert [name for name, doc in subjects if "Source:" not in doc] == []
    assert [name for name, doc in subjects if "TradeError:" not in doc] == []
