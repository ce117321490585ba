"""Record the golden conversations of a flow, tell them anew, or check them.

    python tests/tools/record_walks.py FLOW…            look for conversations and write them
    python tests/tools/record_walks.py --retell FLOW…   keep what is heard, tell what it comes to
    python tests/tools/record_walks.py --add FLOW…      keep those there are, look for what is left
    python tests/tools/record_walks.py --check FLOW…    replay; exit 1 where a file is not as told

Recording walks every covered fault on the bench, then looks for walks that take what no fault leads
to (`walk_search.py`), keeps few of them, and puts beside each step what else can be answered there:
every choice, and numbers on both sides of every limit. It is the same every time; files whose name
begins with `trade-` use facts of the trade and are made as `trade_walks.yaml` says. Record after a
flow's steps were changed, retell after its words were. What is left untaken is printed: where
nothing can take it, it belongs into `tests/walks/impossible.yaml` with the reason, or the flow has
a dead branch.
"""

import argparse
import gc
import sys
from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(TESTS / "walks"), str(TESTS / "tools")]

from conversation import (  # noqa: E402
    HERE,
    Aside,
    Conversation,
    Stage,
    Told,
    read_all,
    said_always,
    said_file,
    tell,
)
from trade_walks import trade_lines  # noqa: E402
from walk_asides import choose_asides  # noqa: E402
from walk_confirming import Confirming  # noqa: E402
from walk_explore import Explorer  # noqa: E402
from walk_hunt import Hunt  # noqa: E402
from walk_lines import Line, Walker  # noqa: E402
from walk_prune import prune  # noqa: E402
from walk_search import Search, cover  # noqa: E402
from walk_variety import Variety  # noqa: E402
from walk_writing import write_all  # noqa: E402
from ways import impossible, taken, wanted  # noqa: E402

from assistant.bench.faults import shipped_catalogue  # noqa: E402
from assistant.bench.ground import Ground, lay_ground  # noqa: E402
from assistant.bench.loading import open_unit, unit_names  # noqa: E402
from assistant.flow.library import open_flow  # noqa: E402
from assistant.flow.linked import Flow  # noqa: E402
from assistant.walk.walk import Walk  # noqa: E402

_EXPLORED, _VARIED = 20_000, 400
"""Turns heard and walks gone when what is left is looked for by chance."""
_BENCH = "Complaint "
"""How it begins what a conversation of the bench shows."""
_LEAST_SHARED = 8
"""Fewer turns than these are told again rather than shared with another file."""


def record(name: str) -> list[Conversation]:
    """Look for the conversations of a flow."""
    flow = open_flow(name)
    walker = Walker(Walk(flow), _ground(flow))
    search = Search(walker)
    trade = list(trade_lines(name, walker))
    own = [line for _, _, line in trade]
    search.run(own)
    chosen = cover([line for line in search.lines if line not in own], flow, own)
    lines = [*own, *(line for line, _ in chosen)]
    further = [*search.limits.values(), *Hunt(search, lines).run()]
    made = [_whole(*one) for one in trade]
    made += _conversations(chosen)
    return _thinned(name, _explored(choose_asides(made, lines, search, further), search))


def _ground(flow: Flow) -> Ground:
    """Give the bench of a flow; one that covers no fault is walked on any sound unit."""
    if flow.covers:
        return lay_ground(flow)
    units = {name: open_unit(name) for name in unit_names("*")}
    return Ground(flow, units, (), shipped_catalogue())


def add(name: str) -> list[Conversation]:
    """Keep the conversations of a flow, look for what they leave, thin them out."""
    flow = open_flow(name)
    search = Search(Walker(Walk(flow), _ground(flow)))
    made = {one.name: one for one in retell(name) if not _is_trade(one)}
    made |= {one[0]: _whole(*one) for one in trade_lines(name, search.walker)}
    stage = Stage(search.walker.walk, made)
    played = (one for name in made for one in stage.play(name))
    ways = {way for one in played for way in taken(flow, one.result.events)}
    left = frozenset(wanted(flow) - impossible(name).keys() - ways)
    new = list(Variety(search, left).run(_VARIED))
    more = [replace(one, name=_free(one.name, made)) for one in _conversations(new)]
    return _thinned(name, _explored([*made.values(), *more], search))


def _is_trade(one: Conversation) -> bool:
    return one.name.startswith("trade-")


def _free(name: str, names: Container[str]) -> str:
    """Give a name that is not taken."""
    count, free = 1, name
    while free in names:
        count += 1
        free = f"{name}-{count}"
    return free


def _explored(made: Sequence[Conversation], search: Search) -> list[Conversation]:
    """Put beside the conversations what is found from their places on."""
    stage = Stage(search.walker.walk, {one.name: one for one in made})
    rows: dict[tuple[str, int], list[tuple[Told, ...]]] = {}
    for name, turn, told in Explorer(stage, search).run(_EXPLORED):
        rows.setdefault((name, turn), []).append(told)
    return [_with_rows(stage, one, rows) for one in made]


def _with_rows(
    stage: Stage, one: Conversation, rows: dict[tuple[str, int], list[tuple[Told, ...]]]
) -> Conversation:
    asides = {aside.after: aside for aside in one.asides}
    for (name, turn), told in rows.items():
        if name == one.name:
            before = asides[turn].answers if turn in asides else ()
            asides[turn] = Aside(turn, stage.line(name)[turn].step, (*before, *told))
    return replace(one, asides=tuple(asides[turn] for turn in sorted(asides)))


def _thinned(name: str, made: Sequence[Conversation]) -> list[Conversation]:
    """Leave out what is not needed; one of each fault and the trade's stay."""
    stage = Stage(Walk(open_flow(name)), {one.name: one for one in made})
    first = {one.source["fault"]: one.name for one in reversed(made) if _is_bench(one)}
    kept = {*first.values(), *(one.name for one in made if _is_trade(one))}
    return prune(stage, lambda one: one.name in kept)


def _is_bench(one: Conversation) -> bool:
    return one.about.startswith(_BENCH)


def _whole(name: str, about: str, line: Line) -> Conversation:
    """Make a conversation that stands by itself."""
    told = _told(line)
    source = {"unit": line.case.unit, "fault": line.case.fault}
    return Conversation(name, about, told[0], tuple(told[1:]), source=source)


def _told(line: Line) -> list[Told]:
    pairs = zip(line.words, line.results[1:], strict=True)
    return [tell(None, line.results[0]), *(tell(words, result) for words, result in pairs)]


def _conversations(chosen: Sequence[tuple[Line, str]]) -> Iterator[Conversation]:
    """Make files of lines: whole ones first, others go as one of these as far as they do."""
    whole: list[tuple[str, Line]] = []
    names: set[str] = set()
    for line, what in chosen:
        name = _name(line, what, names)
        names.add(name)
        told = _told(line)
        base, shared = _base(line, whole)
        source = {"unit": line.case.unit, "fault": line.case.fault}
        made = Conversation(
            name,
            _about(line, what, base, name),
            {} if base else told[0],
            tuple(told[shared + 1 :]),
            base,
            shared,
            (),
            source,
        )
        if not base:
            whole.append((name, line))
        yield made


def _base(line: Line, whole: Sequence[tuple[str, Line]]) -> tuple[str, int]:
    """Give the whole file that a line goes along with for longest, and for how many turns."""
    best, most = "", 0
    for name, other in whole:
        shared = 0
        for one, two in zip(line.words, other.words, strict=False):
            if one != two:
                break
            shared += 1
        if shared > most:
            best, most = name, shared
    most = min(most, len(line.words) - 1)
    return (best, most) if most >= _LEAST_SHARED else ("", 0)


def _name(line: Line, what: str, names: set[str]) -> str:
    plain = f"{line.case.complaint or 'unit'}-{line.case.fault}" if not line.others else what
    plain = "".join(sign if sign.isalnum() or sign in "_-." else "-" for sign in plain).strip("-")
    return _free(plain, names)


def _about(line: Line, what: str, base: str, name: str) -> str:
    case = line.case
    fault = case.fault.replace("_", " ")
    found = ", ".join(one.replace("_", " ") for one in line.states[-1].findings) or "nothing"
    number = name.rpartition("-")[2]
    again = f", number {number}" if number.isdigit() else ""
    if line.others:
        start = f"as {base} at first" if base else f"with {fault} on the bench"
        return f"It goes {start} and then by {what.replace('_', ' ')}{again}; found: {found}."
    complaint = case.complaint.replace("_", " ")
    return f"{_BENCH}{complaint}, {fault} on the bench{again}; found: {found}."


def retell(name: str) -> list[Conversation]:
    """Keep what is heard in each file and tell what it comes to now."""
    walk = Walk(open_flow(name))
    stage = Stage(walk, Confirming(walk, read_all(name)).all())
    return [_retold(stage, one) for one in stage.conversations.values()]


def _retold(stage: Stage, one: Conversation) -> Conversation:
    rows = stage.play(one.name)
    begins = next(rows).actual if not one.walk else {}
    turns = tuple(next(rows).actual for _ in one.turns)
    asides = []
    for aside in one.asides:
        answers = tuple(tuple(next(rows).actual for _ in row) for row in aside.answers)
        at = stage.line(one.name)[aside.after].step
        asides.append(Aside(aside.after, at, answers))
    return replace(one, begins=begins, turns=turns, asides=tuple(asides))


def check(name: str) -> tuple[list[str], list[str]]:
    """Replay a flow's conversations.

    Returns:
        A line for each file that is not as told; and the ways that none takes and that are not
        argued to be impossible.
    """
    stage = Stage(Walk(open_flow(name)), read_all(name))
    flow = stage.walk.flow
    wrong: dict[str, None] = {}
    left = set(wanted(flow) - impossible(name).keys())
    for one in stage.conversations:
        for played in stage.play(one):
            left -= set(taken(flow, played.result.events))
            if played.expected != played.actual:
                wrong[f"{name}/{one}.yaml: not as told"] = None
    return list(wrong), [" ".join(way) for way in sorted(left)]


def _write_all(name: str, made: Sequence[Conversation]) -> None:
    folder = HERE / name
    folder.mkdir(exist_ok=True)
    write_all(made, folder)
    said_always.cache_clear()


def _tell(*lines: str) -> None:
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    sys.stdout.flush()


def main() -> int:
    """Do what the command line asks for each flow."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("flows", nargs="+")
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--retell", action="store_true")
    parser.add_argument("--add", action="store_true")
    arguments = parser.parse_args()
    gc.disable()  # millions of frozen records that all stay: looking for cycles takes half the time
    wrong: list[str] = []
    for name in arguments.flows:
        if arguments.retell:
            _write_all(name, retell(name))
        elif arguments.add:
            _write_all(name, add(name))
        elif not arguments.check:
            _write_all(name, record(name))
        not_as_told, left = check(name)
        wrong += not_as_told
        files = [*(HERE / name).glob("*.yaml"), said_file(name)]
        size = sum(file.stat().st_size for file in files) // 1000
        _tell(f"{name}: {len(files) - 1} conversations, {size} kB, {len(left)} ways not taken")
        _tell(*(f"  not taken: {way}" for way in left))
    _tell(*wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
