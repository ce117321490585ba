"""Circuit formulas against the circuit simulator ngspice, where its command is installed.

Its figures are also stored in `check_values.csv`, so that nothing rests on this test being run.
"""

import math
import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.trade import capacitor, control

NGSPICE = shutil.which("ngspice")
pytestmark = pytest.mark.skipif(
    NGSPICE is None, reason="ngspice is not installed; its figures stand in check_values.csv"
)


def _simulate(folder: Path, netlist: str) -> list[float]:
    """Run a netlist and give the numbers it printed behind `result`."""
    file = folder / "circuit.cir"
    file.write_text(netlist, encoding="utf-8")
    run = subprocess.run(
        [str(NGSPICE), "-b", str(file)], capture_output=True, text=True, check=False, timeout=60
    )
    lines = [line for line in run.stdout.splitlines() if line.startswith("result")]
    return [float(line.split("=")[1].split()[0]) for line in lines]


@pytest.mark.parametrize(("uf", "volts", "hz"), [(10, 370, 60), (7.5, 365, 60), (45, 240, 50)])
def test_capacitor_current_is_the_simulators(
    tmp_path: Path, uf: float, volts: float, hz: float
) -> None:
    """Current of an ideal capacitor by ac analysis, within 1 in 100 000."""
    netlist = (
        f"capacitor\nV1 1 0 DC 0 AC {volts}\nC1 1 0 {uf}u\n"
        f".ac lin 1 {hz} {hz}\n.control\nrun\nlet result = mag(i(V1))\nprint result\n.endc\n.end\n"
    )
    (amps,) = _simulate(tmp_path, netlist)
    assert pytest.approx(amps, rel=1e-5) == capacitor.current_amps(uf, volts, hz)


@pytest.mark.parametrize(("uf", "ohms", "volts"), [(45, 15_000, 622.25), (10, 20_000, 523.26)])
def test_discharge_time_is_the_simulators(
    tmp_path: Path, uf: float, ohms: float, volts: float
) -> None:
    """Time to 50 V by transient analysis, within 2 in 1000."""
    end = 6 * ohms * uf * 1e-6
    netlist = (
        f"bleed\nC1 1 0 {uf}u IC={volts}\nR1 1 0 {ohms}\n"
        f".tran {end / 20_000} {end} 0 {end / 20_000} uic\n"
        ".control\nrun\nmeas tran result when v(1)=50 fall=1\n.endc\n.end\n"
    )
    (seconds,) = _simulate(tmp_path, netlist)
    assert pytest.approx(seconds, rel=2e-3) == capacitor.discharge_seconds(uf, ohms, volts, 50)


@pytest.mark.parametrize("meter_ohms", [1e7, 3e3])
def test_ghost_volts_are_the_simulators(tmp_path: Path, meter_ohms: float) -> None:
    """Volts of a floating lead by ac analysis, within 1 in 100 000."""
    netlist = (
        f"ghost\nV1 1 0 DC 0 AC 120\nC1 1 2 1.5n\nC2 2 0 0.5n\nR1 2 0 {meter_ohms}\n"
        ".ac lin 1 60 60\n.control\nrun\nlet result = mag(v(2))\nprint result\n.endc\n.end\n"
    )
    (volts,) = _simulate(tmp_path, netlist)
    assert math.isclose(volts, control.ghost_volts(120, 1.5, 0.5, meter_ohms, 60), rel_tol=1e-5)
