"""The shop's index filled and asked, for the commands."""

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Protocol

from assistant.desk.desk import now
from assistant.desk.errors import DeskError
from assistant.desk.opening import sessions_folder
from assistant.desk.output import show
from assistant.settings import read_settings, settings_file
from assistant.shop.answer import Answer, counted
from assistant.shop.formats import as_csv, as_json, as_parquet, as_table
from assistant.shop.gathering import Gathered, gather
from assistant.shop.index import Index, machine_name
from assistant.shop.page import as_page
from assistant.shop.questions import QUESTIONS, Question
from assistant.shop.rebuilding import rebuild
from assistant.shop.settling import settle
from assistant.shop.wanted import Wanted, make_wanted


class Asked(Protocol):
    """What a question is asked with; the command says what each means."""

    @property
    def since(self) -> str:
        """Give the first day."""

    @property
    def until(self) -> str:
        """Give the last day."""

    @property
    def tech(self) -> str:
        """Give the technician."""

    @property
    def unit(self) -> str:
        """Give the unit."""

    @property
    def flow(self) -> str:
        """Give the flow."""

    @property
    def index(self) -> str | None:
        """Give the index's address."""

    @property
    def format(self) -> str:
        """Give the format."""

    @property
    def out(self) -> Path | None:
        """Give the file to write to."""

    @property
    def top(self) -> int:
        """Give how many rows are shown."""

    @property
    def lead(self) -> str:
        """Give the lead's initials."""


def ingest_folders(
    folders: Sequence[Path], address: str | None, machine: str | None, workers: int | None
) -> int:
    """Bring the index up to date and say what was read."""
    roots = folders or [sessions_folder(None)]
    with Index.open(_address(address)) as index:
        _tell(gather(index, roots, machine or machine_name(), workers), index)
    return 0


def rebuild_index(
    folders: Sequence[Path], address: str | None, machine: str | None, workers: int | None
) -> int:
    """Make the index anew and say what was read."""
    with Index.open(_address(address), is_any=True) as index:
        _tell(rebuild(index, folders, machine or machine_name(), workers), index)
    return 0


def _address(address: str | None) -> str:
    return read_settings(shop_index=address).shop_index


def _tell(done: Gathered, index: Index) -> None:
    show(
        f"{counted(done.seen, 'session')}: {done.read:,} read,"
        f" {done.seen - min(done.read, done.seen):,} as known, {done.gone:,} gone."
    )
    with index.reading() as connection:
        damaged = len(QUESTIONS["damaged"].ask(connection, Wanted()).rows)
    if damaged:
        show(f"{counted(damaged, 'record')} damaged or unread: `rungside shop damaged` lists them.")


def answer_question(name: str, asked: Asked) -> int:
    """Ask one question and print or write its answer.

    Raises:
        RungsideError: when it is for the lead alone and no lead asks, or the index fails or holds
            nothing.
    """
    question = QUESTIONS[name]
    _let_lead(asked, [question])
    with Index.open(_address(asked.index)) as index:
        answers, wanted = _ask(index, [question], asked)
    _put(_written(answers[0], wanted, asked), asked.out)
    return 0


def write_page(asked: Asked, *, has_coaching: bool) -> int:
    """Write all answers as one page.

    Raises:
        RungsideError: when it is for the lead alone and no lead asks, or the index fails.
    """
    chosen = [one for one in QUESTIONS.values() if has_coaching or not one.is_personal]
    _let_lead(asked, chosen)
    with Index.open(_address(asked.index)) as index:
        answers, wanted = _ask(index, chosen, asked)
    _put(as_page(answers, wanted.words(), _made(), asked.top).encode(), asked.out)
    return 0


def _ask(index: Index, questions: Sequence[Question], asked: Asked) -> tuple[list[Answer], Wanted]:
    if index.is_empty:
        raise DeskError(
            "The index holds no sessions.", "Fill it: rungside shop ingest FOLDER, once or more."
        )
    settle(index)
    with index.reading() as connection:
        wanted = make_wanted(
            connection,
            since=asked.since,
            until=asked.until,
            tech=asked.tech,
            unit=asked.unit,
            flow=asked.flow,
        )
        return [question.ask(connection, wanted) for question in questions], wanted


def _let_lead(asked: Asked, questions: Sequence[Question]) -> None:
    """Let only a lead named in the settings ask about single people's work.

    Raises:
        DeskError: when it is not one.
    """
    is_personal = any(
        one.is_personal or (asked.tech and one.is_personal_of_one) for one in questions
    )
    if not is_personal:
        return
    known = read_settings().shop_leads.split(",")
    leads = {name.strip().casefold() for name in known if name.strip()}
    if asked.lead.strip().casefold() in leads:
        return
    raise DeskError(
        "How single technicians work is shown to the shop's lead only.",
        f"Ask with --lead INITIALS that stand in shop_leads in {settings_file()}.",
    )


def _written(answer: Answer, wanted: Wanted, asked: Asked) -> bytes:
    about = wanted.words()
    if asked.format == "parquet":
        return as_parquet(answer)
    if asked.format == "csv":
        return as_csv(answer).encode()
    if asked.format == "json":
        return as_json(answer, about).encode()
    if asked.format == "html":
        return as_page([answer], about, _made(), asked.top).encode()
    return as_table(answer, about, asked.top).encode()


def _made() -> str:
    return now().strftime("%Y-%m-%d %H:%M UTC")


def _put(content: bytes, out: Path | None) -> None:
    """Print what was written, or write it to a file that the user alone may read.

    Raises:
        DeskError: when the file cannot be written.
    """
    if out is None:
        sys.stdout.write(content.decode().replace("\r\n", "\n"))
        return
    beside = out.with_name(f".{out.name}.part")
    try:
        beside.unlink(missing_ok=True)
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        beside.replace(out)
    except OSError as error:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise DeskError(f"{out} cannot be written: {error.strerror}.") from error
    show(f"Written: {out}")
