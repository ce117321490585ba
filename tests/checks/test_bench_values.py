"""The table of the bench's values is of today, and takes in what a unit shows."""

import json
import subprocess
import sys
from pathlib import Path

from assistant.bench.kinds import KINDS
from assistant.checks.bench_values import TABLE, bench_spans

SCRIPT = Path(__file__).parents[1] / "tools" / "measure_bench_spans.py"


def test_the_table_is_of_today() -> None:
    """Units, faults and flows as they are now give the table that the checks read."""
    done = subprocess.run([sys.executable, str(SCRIPT)], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == json.loads(TABLE.read_text(encoding="utf-8"))


def test_every_kind_of_unit_is_in_it() -> None:
    """Each kind has its faults and spans, and an open winding is no number but a reading of OL."""
    assert set(KINDS) == set(bench_spans())
    spans = bench_spans()["blower"]["spans"]
    low, high = (
        spans["resistance common tap_high"]["low"],
        spans["resistance common tap_high"]["high"],
    )
    assert 0 <= low[0] < high[0]
