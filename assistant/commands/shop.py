"""The shop: an index over many folders of sessions, and the questions a lead asks of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import App, Parameter

from assistant.commands.app import Many, UsageError, app

shop = App(
    name="shop",
    help="Ask what the sessions of a whole shop come to: findings, parts, steps, cautions, times.",
    help_format="plaintext",
    default_parameter=Parameter(negative=()),
)
app.command(shop)


@Parameter(name="*")
@dataclass(frozen=True, slots=True)
class Asked:
    """What every question can be asked with.

    Args:
        since: the first day in UTC, as 2026-02-03, or the first month, as 2026-02.
        until: the last day, or the last month.
        tech: only this technician's sessions.
        unit: only this unit's sessions.
        flow: only sessions of this flow.
        index: the index: a file, or a database as postgresql://user@host/name.
        format: table, csv, parquet, json or html.
        out: a file to write to, readable to you alone; the terminal where it is not given.
        top: so many rows of a table or page; 0 for all.
        lead: your initials, where the answer tells of single people's work.
    """

    since: str = ""
    until: str = ""
    tech: str = ""
    unit: str = ""
    flow: str = ""
    index: str | None = None
    format: Literal["table", "csv", "parquet", "json", "html"] = "table"
    out: Annotated[Path | None, Parameter(name=["--out", "-o"])] = None
    top: int = 40
    lead: str = ""


_ASKED = Asked()


@shop.command
def ingest(
    folders: Annotated[Sequence[Path], Many] = (),
    *,
    index: str | None = None,
    machine: str | None = None,
    workers: int | None = None,
) -> int:
    """Bring the index up to date with folders of sessions; only what changed is read.

    Args:
        folders: folders that hold sessions, or stand above those that do; your own if not given.
        index: the index: a file, or a database as postgresql://user@host/name.
        machine: the name that this machine's folders go by; its own name if not given.
        workers: how many processes read; one a processor if not given.
    """
    from assistant.desk.shopkeeping import ingest_folders

    return ingest_folders(folders, index, machine, _checked(workers))


@shop.command
def rebuild(
    folders: Annotated[Sequence[Path], Many] = (),
    *,
    index: str | None = None,
    machine: str | None = None,
    workers: int | None = None,
) -> int:
    """Make the index anew from the folders; what other machines put in stays.

    Args:
        folders: the folders; those that were read before if not given.
        index: the index: a file, or a database as postgresql://user@host/name.
        machine: the name that this machine's folders go by; its own name if not given.
        workers: how many processes read; one a processor if not given.
    """
    from assistant.desk.shopkeeping import rebuild_index

    return rebuild_index(folders, index, machine, _checked(workers))


@shop.command
def findings(
    *,
    by: Literal["unit-month", "unit", "month", "part"] = "unit-month",
    asked: Asked = _ASKED,
) -> int:
    """Count findings, by unit and month.

    Args:
        by: count by unit and month, or by one of them, or by part.
        asked: what every question can be asked with.
    """
    return _answer("findings" if by == "unit-month" else f"findings-by-{by}", asked)


@shop.command
def capacitors(*, asked: Asked = _ASKED) -> int:
    """Compare capacitors with their rating, by age as far as the records know it.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("capacitors", asked)


@shop.command
def near(*, asked: Asked = _ASKED) -> int:
    """Count readings that came close to a limit.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("near", asked)


@shop.command
def hesitation(*, asked: Asked = _ASKED) -> int:
    """Say at which steps people hesitate or are asked back.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("hesitation", asked)


@shop.command
def cautions(*, asked: Asked = _ASKED) -> int:
    """Count cautions that were answered before they can have been heard.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("cautions", asked)


@shop.command
def times(*, asked: Asked = _ASKED) -> int:
    """Hold the time that steps take against the flows' estimates.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("times", asked)


@shop.command
def weights(*, asked: Asked = _ASKED) -> int:
    """Say which weights of the catalogue of faults differ from what the shop sees.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("weights", asked)


@shop.command
def damaged(*, asked: Asked = _ASKED) -> int:
    """List damaged records by line, and folders that could not be read.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("damaged", asked)


@shop.command
def coach(*, asked: Asked = _ASKED) -> int:
    """Say which technicians to coach in what; for a lead named in the settings alone.

    Args:
        asked: what every question can be asked with.
    """
    return _answer("coach", asked)


@shop.command
def page(*, coaching: bool = False, asked: Asked = _ASKED) -> int:
    """Write all answers as one HTML page with drawings.

    Args:
        coaching: the technicians to coach as well; then the page is for a lead alone.
        asked: what every question can be asked with; the format is html.
    """
    from assistant.desk.shopkeeping import write_page

    _check(asked)
    return write_page(asked, has_coaching=coaching)


def _answer(name: str, asked: Asked) -> int:
    from assistant.desk.shopkeeping import answer_question

    _check(asked)
    if asked.format == "parquet" and asked.out is None:
        raise UsageError("Parquet is no text for a terminal.", "Name a file with --out.")
    return answer_question(name, asked)


def _check(asked: Asked) -> None:
    if asked.top < 0:
        raise UsageError("--top is a number of rows.", "Give 0 for all, or more.")


def _checked(workers: int | None) -> int | None:
    if workers is not None and workers < 1:
        raise UsageError("--workers is a number of processes.", "Give 1 or more.")
    return workers
