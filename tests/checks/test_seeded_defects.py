"""One defect at a time, of every kind there is, is seeded into shipped flows and must be named."""

from pathlib import Path

from seeds import KINDS, draw, is_named, seeded

from assistant.flow.library import shipped

FLOWS = ("control-24v.yaml", "capacitor.yaml", "low-airflow.yaml", "shared/make-safe.yaml")


def test_seeded_defects_are_named_on_their_lines(tmp_path: Path) -> None:
    """Of at least sixty defects, of some fifty kinds, 95 in 100 are named with the right line."""
    files = [shipped("flows") / name for name in FLOWS]
    missed: list[str] = []
    tried = 0
    draws = [(name, 7) for name in KINDS] + [(name, 8) for name in list(KINDS)[:12]]
    for name, seed in draws:
        drawn = draw(name, files, seed)
        if drawn is None:
            continue
        file, edit = drawn
        found = seeded(tmp_path / "flows", file, edit)
        tried += 1
        if not is_named(file, edit, found):
            missed.append(f"{name} in {file.name} at {edit.right}: {[str(p) for p in found[:3]]}")
    assert tried >= 60
    assert len(missed) <= 0.05 * tried, missed
