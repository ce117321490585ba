"""Run capacitors: tolerance bands, replacement, discharge."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import capacitor
from assistant.trade.bounds import TradeError

MICROFARADS = st.floats(0.5, 200)
VOLTS = st.floats(1, 700)
MAINS_HZ = st.sampled_from([50.0, 60.0])


@given(MICROFARADS, VOLTS, MAINS_HZ)
def test_current_and_capacitance_under_load_are_a_round_trip(
    uf: float, volts: float, hz: float
) -> None:
    """The current of a capacitor gives back its capacitance."""
    amps = capacitor.current_amps(uf, volts, hz)
    assert pytest.approx(uf) == capacitor.under_load_uf(amps, volts, hz)


@given(MICROFARADS, st.floats(0, 20))
def test_rating_lies_in_its_band_and_the_ends_deviate_by_the_tolerance(
    uf: float, percent: float
) -> None:
    """Both ends of a band deviate from the rating by exactly the marked tolerance."""
    low, high = capacitor.band_min_uf(uf, percent), capacitor.band_max_uf(uf, percent)
    assert low <= uf * (1 + 1e-12)
    assert high >= uf * (1 - 1e-12)
    assert pytest.approx(-percent, abs=1e-9) == capacitor.deviation_percent(low, uf)
    assert pytest.approx(percent, abs=1e-9) == capacitor.deviation_percent(high, uf)


@given(st.lists(MICROFARADS, min_size=2, max_size=4))
def test_series_is_below_the_least_and_parallel_above_the_most(parts: list[float]) -> None:
    """In series capacitance shrinks, in parallel it grows."""
    assert capacitor.series_uf(parts) < min(parts)
    assert capacitor.parallel_uf(parts) > max(parts)


@given(MICROFARADS, st.floats(60, 700))
def test_the_largest_bleed_resistor_takes_exactly_the_time_allowed(
    uf: float, start_volts: float
) -> None:
    """`max_bleed_ohms` and `discharge_seconds` are each other's inverse."""
    ohms = capacitor.max_bleed_ohms(uf, start_volts, 50, 60)
    assert pytest.approx(60) == capacitor.discharge_seconds(uf, ohms, start_volts, 50)


@given(MICROFARADS, st.floats(15_000, 20_000), VOLTS)
def test_five_time_constants_leave_under_one_percent(uf: float, ohms: float, volts: float) -> None:
    """A bleed tool held as long as told leaves less than 1 percent (e^-5, identity)."""
    held = capacitor.bleed_seconds(uf, ohms)
    to_one_percent = capacitor.discharge_seconds(uf, ohms, volts, volts / 100)
    assert held > to_one_percent


@pytest.mark.parametrize("uf", [5, 7.5, 10, 15, 45, 80])
def test_usual_bleed_tools_are_safe_well_within_a_minute(uf: float) -> None:
    """15 to 20 kilohms bring any run capacitor under 50 V in seconds (NEC 460.6: 1 minute)."""
    start_volts = capacitor.peak_volts(440)
    assert capacitor.max_bleed_ohms(uf, start_volts) > 20_000
    assert capacitor.discharge_seconds(uf, 20_000, start_volts, capacitor.SAFE_VOLTS) < 5


@pytest.mark.parametrize(
    ("label", "allowed"),
    [
        ("370", ("370", "370/440", "440")),
        ("370/440", ("370/440", "440")),
        ("440", ("440",)),
    ],
)
def test_a_replacement_never_has_fewer_volts(label: str, allowed: tuple[str, ...]) -> None:
    """Equal or higher volts (handbook; the cautious 370/440 is common practice, no source)."""
    assert allowed == capacitor.allowed_voltages(label)


@pytest.mark.parametrize(
    ("label", "part", "is_allowed"),
    [
        ("440", "439", False),
        ("440", "440", True),
        ("440", "441", True),
        ("440", "370", False),
        ("440", "370/440", False),
        ("370", "330", False),
        ("330", "370", True),
        ("370/440", "440/370", False),
        ("370 / 440", "370/440", True),
    ],
)
def test_voltage_markings_are_compared_by_every_rating_on_them(
    label: str, part: str, is_allowed: bool
) -> None:
    """At, just inside and just outside: each rating of the part reaches the label's highest."""
    assert is_allowed is capacitor.is_voltage_allowed(label, part)


@pytest.mark.parametrize("marking", ["", "440 V", "37O", "370//440", "-370", "0", "440/"])
def test_a_marking_that_cannot_be_read_is_refused_in_a_sentence(marking: str) -> None:
    """A marking that is not volts is never taken for some."""
    with pytest.raises(TradeError) as caught:
        capacitor.is_voltage_allowed("370", marking)
    assert caught.value.message.endswith(".")
    assert caught.value.hint


@pytest.mark.parametrize(
    ("uf", "volts", "is_hazard"),
    [
        (10, 99.9, False),  # NFPA 70E art. 360, from memory: no threshold below 100 V
        (200, 100, True),  # 1.0 J at 100 V
        (199.9, 100, False),
        (200, 99.9, False),
        (3.125, 400, True),  # 0.25 J at 400 V
        (3.12, 400, False),
        (3.125, 399, False),
        (10, 523.26, True),  # 1.4 J, a 370 V capacitor at its peak
    ],
)
def test_energy_hazard_follows_both_thresholds(uf: float, volts: float, is_hazard: bool) -> None:
    """1 J from 100 V, 0.25 J from 400 V (NFPA 70E article 360, from memory)."""
    assert is_hazard is capacitor.is_energy_hazard(uf, volts)


@pytest.mark.parametrize("letter", ["j", " K ", "M"])
def test_a_letter_counts_in_either_case(letter: str) -> None:
    """A tolerance letter is read in either case and with spaces."""
    assert capacitor.letter_tolerance_percent(letter) in {5, 10, 20}


@pytest.mark.parametrize("letter", ["", "Z", "JK", "5"])
def test_an_unknown_letter_is_refused(letter: str) -> None:
    """No tolerance is guessed for another letter."""
    with pytest.raises(TradeError, match="not a tolerance letter"):
        capacitor.letter_tolerance_percent(letter)


def test_a_discharge_cannot_end_above_its_start() -> None:
    """A rising voltage is no discharge; none at all takes no time."""
    with pytest.raises(TradeError, match="below end_volts"):
        capacitor.discharge_seconds(10, 20_000, 49, 50)
    assert capacitor.discharge_seconds(10, 20_000, 50, 50) == 0
    with pytest.raises(TradeError, match="should fall to"):
        capacitor.max_bleed_ohms(10, 50, 50)


def test_no_parts_have_no_capacitance() -> None:
    """An empty list is refused, not counted as zero."""
    with pytest.raises(TradeError, match="No capacitor"):
        capacitor.series_uf([])


def test_clamp_error_near_point_eight_amps_is_too_coarse_for_six_percent() -> None:
    """A clamp of 2 percent and 5 counts of 0.01 A is off by 8 percent near 0.8 A.

    Common practice, no source, for the clamp; computed two ways.
    """
    true_amps = 0.8
    worst_amps = true_amps * 1.02 + 5 * 0.01
    uf = capacitor.under_load_uf(true_amps, 220, 60)
    off = capacitor.deviation_percent(capacitor.under_load_uf(worst_amps, 220, 60), uf)
    assert math.isclose(8.25, off, rel_tol=1e-6)
    assert off > capacitor.DEFAULT_TOLERANCE_PERCENT
