"""Unit files and the fault catalogue: what is good loads, what is bad is named where it stands."""

import re
from pathlib import Path

import pytest
from blower_units import open_blower

from assistant.bench.errors import BenchError
from assistant.bench.faults import FAULTS, load_catalogue
from assistant.bench.loading import UNITS, load_unit, open_unit, unit_names

GOOD = (UNITS / "blower" / "t_115.yaml").read_text(encoding="utf-8")

BAD = [
    ("unit: t_115", "unit: T 115", "unit"),
    ("family: T", "family: Z", "'Z' is not one of the words known here"),
    ("poles: 6", "poles: 5", "'5' is not one of the words known here"),
    ("volts: 115, hp", "volts: -115, hp", "greater than 0"),
    ("  common: WHT\n", "", "'common' is missing"),
    ("common: WHT", "common: BLK", "two leads end at the same node"),
    ("common: WHT", "common: GRY", "no branch ends at the lead GRY"),
    ("name: SEG2", "name: SEG1", "two branches are called SEG1"),
    ("role: auxiliary", "role: segment", "no branch has the role auxiliary"),
    ("shutoff: 1.3", "shutoff: 0.4", "shutoff must be above static"),
    ("cooling: [tap_high]", "cooling: [tap_medium_low]", "does not have"),
    ("cooling: [tap_high]", "cooling: [common]", "does not have"),
    ("legs: neutral", "legs: three", "'three' is not one of the words known here"),
    ("uf: 10, series_ohms", "uf: .inf, series_ohms", "finite"),
    ("title:", "titel:", "'titel' is not a key"),
    ("magnetizing: 30", "magnetising: 30", "'magnetising' is not a key"),
    ("supply: {", "supply: {{", "not YAML"),
    ("heat: {", "heat: {joules_per_k: 1, ", "stands twice"),
    ("taps: [BLK, BLU, RED]", "taps: []", "at least 1"),
]


@pytest.mark.parametrize("name", unit_names("blower"))
def test_shipped_units_load(name: str) -> None:
    """Each shipped file loads and is named for its unit."""
    assert name == open_unit(name).unit


def test_shipped_units_cover_families_and_taps() -> None:
    """All three families, one to five taps, both overload sides, both kinds of line, a dual."""
    units = [open_blower(name) for name in unit_names("blower")]
    assert {u.motor.family for u in units} == {"T", "L", "midpoint"}
    assert {len(u.motor.taps) for u in units} == {1, 2, 3, 4, 5}
    assert {u.supply.legs for u in units} == {"neutral", "two"}
    assert any(u.capacitor.herm_uf for u in units)
    sides = {u.motor.branches[0].between[0] == u.motor.common for u in units}
    assert sides == {True, False}


@pytest.mark.parametrize(("old", "new", "said"), BAD)
def test_a_bad_unit_is_named_where_it_stands(tmp_path: Path, old: str, new: str, said: str) -> None:
    """Each kind of mistake gives one sentence that begins with file, line and column."""
    assert old in GOOD
    file = tmp_path / "bad.yaml"
    file.write_text(GOOD.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BenchError) as caught:
        load_unit(file)
    found = re.match(rf"{re.escape(str(file))}:(\d+):(\d+): ", caught.value.message)
    assert found
    assert said in caught.value.message
    assert caught.value.message.endswith((".", "more."))


def test_the_place_of_a_mistake_is_its_line(tmp_path: Path) -> None:
    """A mistyped key is reported at its own line and column, with the nearest right one."""
    file = tmp_path / "bad.yaml"
    file.write_text(GOOD.replace("rotor: {magnetizing", "rotor: {magnetisin", 1), encoding="utf-8")
    line = next(i for i, text in enumerate(GOOD.splitlines(), 1) if "rotor:" in text)
    with pytest.raises(BenchError) as caught:
        load_unit(file)
    assert caught.value.message.startswith(f"{file}:{line}:")
    assert "Did you mean 'magnetizing'?" in caught.value.hint


def test_missing_unit_and_file(tmp_path: Path) -> None:
    """A name that is nearly right gets the right one as its hint; a missing file says so."""
    with pytest.raises(BenchError) as caught:
        open_unit("t_15")
    assert "Did you mean 't_115'?" in caught.value.hint
    with pytest.raises(BenchError, match="no such file"):
        load_unit(tmp_path / "none.yaml")


BAD_FAULTS = [
    ("do: scale", "do: stretch", "'stretch' is not a known do"),
    ("by: 0.6", "by: -1", "greater than or equal to 0"),
    ("share: 0.1", "share: 1.0", "less than 1"),
    ("frequency: rare", "frequency: never", "'never' is not one of the words known here"),
    ("[capacitor_weak, filter_loaded]", "[capacitor_weak, filter_lost]", "not here: filter_lost"),
    ("weights: {very common: 8, ", "weights: {", "no weight for very common"),
]


@pytest.mark.parametrize(("old", "new", "said"), BAD_FAULTS)
def test_a_bad_catalogue_is_named_where_it_stands(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    """A mistake in a catalogue is a sentence with file, line and column too."""
    good = (FAULTS / "blower.yaml").read_text(encoding="utf-8")
    assert old in good
    file = tmp_path / "faults.yaml"
    file.write_text(good.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BenchError, match=re.escape(said)) as caught:
        load_catalogue(file)
    assert re.match(rf"{re.escape(str(file))}:\d+:\d+: ", caught.value.message)
