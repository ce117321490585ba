"""Run a recogniser over the corpus of the hearing bench and print what it came to.

    python tests/benchmarks/hearing/run_trials.py CORPUS --recogniser sphinx --results FILE.jsonl
        [--part tuning] [--kind human] [--voice hibari] [--snr 10] [--noise blower]
        [--style digits] [--distance far] [--band 8k] [--share 10] [--processes 2]
        [--build NAME] [--mistakes] [--whole]

Every trial is one line of the results, appended when it is done: a run that was broken off goes on
where it was, and filters may be given one after another. Use a new file for another build of the
code. `--share 10` takes every tenth utterance, in all its conditions. `--mistakes` prints what was
wrong or refused. `--whole` hears each recording as one file, as `rungside hear` does: the
recogniser alone, without endpointing, and several times quicker. `print_table.py` makes the table;
`false_triggers.py` listens to noise and talk.
"""

import argparse
import multiprocessing
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from costs import peak_megabytes
from phrases import hash_of
from results import append_line, chosen, read_lines
from streaming import stream, whole
from summary import print_summary
from trial import Line, Table, Trial

from assistant.ears.makers import make_recogniser

_KEPT = (
    *("id", "part", "kind", "voice", "phrase", "style", "place", "truth", "noise", "snr"),
    *("distance", "band", "pause"),
)
FILTERS = ("part", "kind", "voice", "snr", "noise", "style", "distance", "band")


def result_of(line: Line, trial: Trial, recogniser: str, build: str) -> dict[str, object]:
    """Give the line that is kept of a trial; latencies are those of its first turn."""
    first = trial.first
    assert first is not None
    speech_end = float(str(line["speech_end"]))
    pause = first.ended - speech_end
    return {
        **{name: line[name] for name in _KEPT},
        "recogniser": recogniser,
        "build": build,
        "outcome": trial.outcome.value,
        "how": trial.how,
        "heard": trial.heard,
        "commands": trial.commands,
        "turns": trial.turns,
        "seconds": round(trial.seconds, 2),
        "is_cut": first.ended < speech_end,
        "latency": round(pause + first.lag, 3),
        "latency_cpu": round(pause + first.lag_cpu, 3),
        "lag": round(first.lag, 3),
        "lag_cpu": round(first.lag_cpu, 3),
        "busy": round(first.busy, 3),
        "busy_cpu": round(first.busy_cpu, 3),
        "sound": round(first.ended, 2),
        "peak_mb": peak_megabytes(),
    }


_TABLES: list[tuple[Table, str, str]] = []


def _open(corpus: Path, recogniser: str, build: str, is_whole: bool) -> None:
    table = Table(corpus, make_recogniser(recogniser), whole if is_whole else stream)
    shown = f"{recogniser}, files whole" if is_whole else recogniser
    _TABLES[:] = [(table, shown, build)]


def _run(line: dict[str, object]) -> dict[str, object]:
    table, recogniser, build = _TABLES[0]
    return result_of(line, table.run(line), recogniser, build)


def run_all(
    lines: Iterable[dict[str, object]], options: argparse.Namespace
) -> Iterator[dict[str, object]]:
    """Run trials one after another, or in several processes."""
    opening = (options.corpus, options.recogniser, options.build, options.whole)
    if options.processes == 1:
        _open(*opening)
        yield from map(_run, lines)
        return
    context = multiprocessing.get_context("spawn")
    with context.Pool(options.processes, _open, opening) as pool:
        yield from pool.imap_unordered(_run, lines, chunksize=5)


def waiting(options: argparse.Namespace) -> list[dict[str, object]]:
    """Give the trials that are wanted and not done yet, in an order that is the same every time.

    It is drawn, so that a run that is broken off has heard a fair sample.
    """
    done = {line["id"] for line in read_lines(options.results)}
    wanted = {name: getattr(options, name) for name in FILTERS}
    manifests = sorted(options.corpus.glob("manifest-*.jsonl"), reverse=True)
    lines = chosen([line for path in manifests for line in read_lines(path)], wanted)
    shuffled = sorted(lines, key=lambda line: hash_of(str(line["id"])))
    return [
        line
        for line in shuffled
        if line["id"] not in done
        and hash_of(str(line["id"]).rpartition("-")[0]) % options.share == 0
    ]


def parsed() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("corpus", type=Path)
    parser.add_argument("--recogniser", default="sphinx")
    parser.add_argument("--results", type=Path, required=True)
    parser.add_argument("--build", default="", help="a name for this build of the code")
    parser.add_argument("--share", type=int, default=1, help="take one utterance in so many")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--whole", action="store_true", help="hear files, without endpointing")
    parser.add_argument("--mistakes", action="store_true", help="print what was not right")
    for name in FILTERS:
        parser.add_argument(f"--{name}", action="append")
    return parser.parse_args()


def main() -> int:
    """Run what is waiting and print the counts of all that was wanted."""
    options = parsed()
    lines = waiting(options)
    for number, result in enumerate(run_all(lines, options), 1):
        append_line(options.results, result)
        if number % 50 == 0:
            print(f"{number} of {len(lines)}", file=sys.stderr, flush=True)
    wanted = {name: getattr(options, name) for name in FILTERS}
    print_summary(list(chosen(read_lines(options.results), wanted)), with_mistakes=options.mistakes)
    return 0


if __name__ == "__main__":
    sys.exit(main())
