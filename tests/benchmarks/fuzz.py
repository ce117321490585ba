"""Fuzz the readers of what comes from outside, led by coverage.

    pip install atheris
    python tests/benchmarks/fuzz.py journal|flow|sound|words [SECONDS] [CORPUS]

Coverage-led inputs by atheris, which is no dependency of the tests: they fuzz the same targets by
hypothesis. An input that breaks something is written to the working folder as `crash-…`,
`timeout-…` or `oom-…`.
"""

import importlib
import sys
from pathlib import Path

atheris = importlib.import_module("atheris")

with atheris.instrument_imports(include=["assistant"]):
    from tests.tools import fuzz_targets

FLOWS = Path(__file__).parents[2] / "flows"


def seeds(target: str) -> list[bytes]:
    """Give inputs to begin with."""
    if target == "flow":
        return [file.read_bytes() for file in FLOWS.glob("shared/*.yaml")]
    if target == "words":
        return [b"seventeen point five ohms", b"o l", b"two forty", b"note that it hums"]
    return []


def main() -> None:
    """Fuzz one target for some seconds."""
    target = sys.argv[1]
    seconds = sys.argv[2] if len(sys.argv) > 2 else "60"
    corpus = Path(sys.argv[3] if len(sys.argv) > 3 else f"fuzz-{target}")
    corpus.mkdir(exist_ok=True)
    for number, seed in enumerate(seeds(target)):
        (corpus / f"seed-{number}").write_bytes(seed)
    options = [f"-max_total_time={seconds}", "-timeout=10", "-rss_limit_mb=2048", "-max_len=65536"]
    atheris.Setup([sys.argv[0], *options, str(corpus)], fuzz_targets.TARGETS[target])
    atheris.Fuzz()


if __name__ == "__main__":
    main()
