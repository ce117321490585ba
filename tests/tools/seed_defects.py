"""Seed defects into copies of the shipped flows and print how many the checks name, by kind.

python tests/tools/seed_defects.py [SEEDS-A-KIND] [KIND ...]
"""

import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[1] / "checks"))

from seeds import KINDS, draw, is_named, seeded

from assistant.flow.library import VOCABULARY, shipped


def main(arguments: list[str], say: Callable[[str], object] = sys.stdout.write) -> int:
    """Print a line a kind, each miss, and the share that was named; 1 below 95 percent."""
    count = int(arguments[0]) if arguments else 2
    kinds = arguments[1:] or list(KINDS)
    files = sorted(f for f in shipped("flows").rglob("*.yaml") if f.name != VOCABULARY)
    hits = tried = 0
    with TemporaryDirectory() as place:
        for name in kinds:
            for seed in range(count):
                drawn = draw(name, files, seed)
                if drawn is None:
                    say(f"{name}: no place for it\n")
                    continue
                file, edit = drawn
                found = seeded(Path(place) / "flows", file, edit)
                tried += 1
                if is_named(file, edit, found):
                    hits += 1
                    continue
                say(f"{name}: missed in {file.name} at {edit.right[:4]}: {edit.lines[:1]}\n")
                for problem in found[:4]:
                    say(f"    {problem.file.name}:{problem.line}: {problem.check}\n")
    say(f"{hits} of {tried} named on the right line ({100 * hits / tried:.1f} percent)\n")
    return 0 if hits >= 0.95 * tried else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
