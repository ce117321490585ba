"""Many machines at once: several processes fill one index, and it is as if one had done it."""

import multiprocessing
from pathlib import Path

from shop_folders import put
from shop_rows import all_rows

from assistant.shop.gathering import gather
from assistant.shop.index import Index
from assistant.shop.settling import settle
from assistant.shop.yardsticks import keep_yardsticks

Made = tuple[tuple[str, bytes], ...]
PROCESSES = 4


def ingest(address: str, folder: Path, machine: str, times: int) -> None:
    """Ingest a folder some times, as a machine of its own."""
    with Index.open(address) as index:
        for _ in range(times):
            gather(index, [folder], machine, workers=1)


def together(address: str, work: list[tuple[Path, str]]) -> list[int | None]:
    """Ingest folders at once, each in a process that knows nothing of the others."""
    context = multiprocessing.get_context("spawn")
    processes = [
        context.Process(target=ingest, args=(address, folder, machine, 2))
        for folder, machine in work
    ]
    for process in processes:
        process.start()
    for process in processes:
        process.join(240)
    return [process.exitcode for process in processes]


def test_machines_at_once_put_in_what_they_have(address: str, tmp_path: Path, made: Made) -> None:
    """Four machines with sessions of the same months; some sessions lie on two of them."""
    for number, (name, content) in enumerate(made):
        put(tmp_path / f"m{number % PROCESSES}" / name, content)
        if number % 5 == 0:
            put(tmp_path / f"m{(number + 1) % PROCESSES}" / name, content)
    work = [(tmp_path / f"m{number}", f"van-{number}") for number in range(PROCESSES)]
    with Index.open(address) as index:
        keep_yardsticks(index)
    assert [0] * PROCESSES == together(address, work)
    with Index.open(address) as index, Index.open(str(tmp_path / "alone.sqlite")) as alone:
        for folder, machine in work:
            gather(alone, [folder], machine, workers=1)
        assert 0 == settle(index)
        assert all_rows(alone) == all_rows(index)


def test_processes_on_one_folder_double_nothing(address: str, tmp_path: Path, made: Made) -> None:
    """Three processes of one machine that read the same folder at once."""
    for name, content in made[:24]:
        put(tmp_path / "same" / name, content)
    work = [(tmp_path / "same", "van-1")] * 3
    assert [0] * 3 == together(address, work)
    with Index.open(address) as index, Index.open(str(tmp_path / "alone.sqlite")) as alone:
        gather(alone, [tmp_path / "same"], "van-1", workers=1)
        assert all_rows(alone) == all_rows(index)
