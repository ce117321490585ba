"""Made-up sessions, and an index of each kind: SQLite, and PostgreSQL on a server of our own."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.shop.index import Index

sys.path.insert(0, str(Path(__file__).parents[1] / "tools"))
from postgres_server import NoServer, running_server
from shop_folders import put
from shop_sessions import Model, make_shop, walk_model


@pytest.fixture(scope="session")
def own_models() -> tuple[Model, ...]:
    """Walk a few hidden faults on the bench."""
    seeds = {"capacitor": 0, "blower-psc": 5, "condenser-fan": 7, "control-24v": 3}
    return tuple(walk_model(flow, seed) for flow, seed in seeds.items())


@pytest.fixture(scope="session")
def made(own_models: tuple[Model, ...]) -> tuple[tuple[str, bytes], ...]:
    """Make sixty sessions over two years: names and journals."""
    return tuple(make_shop(60, seed=3, own=own_models))


@pytest.fixture
def shop(tmp_path: Path, made: tuple[tuple[str, bytes], ...]) -> Path:
    """Put the sessions into a folder."""
    folder = tmp_path / "sessions"
    for name, content in made:
        put(folder / name, content)
    return folder


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """Start a PostgreSQL server of our own; give its URL."""
    try:
        with running_server() as url:
            yield url
    except NoServer as why:
        pytest.skip(str(why))


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Give where an index is kept, of each kind; an empty one."""
    if request.param == "sqlite":
        return str(tmp_path / "own" / "shop.sqlite")
    url: str = request.getfixturevalue("server")
    with Index.open(url, is_any=True) as index:
        index.make_anew()
    return url


@pytest.fixture
def index(address: str) -> Iterator[Index]:
    """Give an empty index, of each kind."""
    with Index.open(address) as opened:
        yield opened


@pytest.fixture
def sqlite_index(tmp_path: Path) -> Iterator[Index]:
    """Give an empty index in a file."""
    with Index.open(str(tmp_path / "file.sqlite")) as opened:
        yield opened
