"""Processor time and memory of this process and of the workers that a recogniser started.

Workers are found and read in Linux's `/proc`; elsewhere only this process is counted.
"""

import os
import platform
import resource
import time
from pathlib import Path

_TICKS = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100
_USER_TICKS, _SYSTEM_TICKS = 11, 12
"""Fields of `/proc/PID/stat` behind the name in brackets; source: proc(5), fields 14 and 15."""


def workers() -> list[Path]:
    """Give the folders in `/proc` of the living children of this process."""
    found: list[Path] = []
    for task in Path("/proc/self/task").glob("*/children"):
        found += [Path("/proc") / pid for pid in task.read_text("ascii").split()]
    return found


def _seconds_of(worker: Path) -> float:
    try:
        fields = (worker / "stat").read_text("utf-8").rpartition(")")[2].split()
    except OSError:  # it has ended
        return 0.0
    return (int(fields[_USER_TICKS]) + int(fields[_SYSTEM_TICKS])) / _TICKS


def processor_seconds(of_workers: list[Path]) -> float:
    """Give the processor time that this process and its workers have used so far."""
    return time.process_time() + sum(map(_seconds_of, of_workers))


def _peak_of(worker: Path) -> int:
    try:
        lines = (worker / "status").read_text("utf-8").splitlines()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith("VmHWM:")), 0) // 1024


def peak_megabytes() -> int:
    """Give the most memory that this process held and its living workers ever held."""
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    unit = 2**20 if platform.system() == "Darwin" else 2**10
    return own // unit + sum(map(_peak_of, workers()))
