"""Banks to test with: SQLite in a file, and a database of its own on a real PostgreSQL server.

The server is the one that ITEMBANK_TEST_POSTGRESQL names (a URL whose user may create
databases), or one started here from the PostgreSQL programs of this machine.
"""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.pool import NullPool

from itembank.bank import Bank, open_bank
from itembank.spec import FamilyShelf, Pool, load_pool
from tests.measuring import counted_once
from tests.shipped import FAMILIES

__all__ = ["counted_once"]

NUMBERS = count(1)


def missing(reason: str) -> None:
    if "postgresql" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the PostgreSQL tests, but {reason}")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def server() -> Iterator[URL]:
    """A PostgreSQL server that runs while the tests do."""
    named = os.environ.get("ITEMBANK_TEST_POSTGRESQL")
    if named:
        yield make_url(named)
        return
    programs = postgresql_programs()
    if programs is None:
        missing("PostgreSQL is not installed here (initdb, pg_ctl)")
    elif os.getuid() == 0 and shutil.which("runuser") is None:
        missing("PostgreSQL does not run as root, and there is no runuser")
    else:
        with started(programs) as url:
            yield url


def postgresql_programs() -> Path | None:
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return folders[-1].parent if folders else None


_IN_MEMORY, _ROOM = Path("/dev/shm"), 512 << 20
"""Files in memory, and the bytes that must be free there to hold databases."""


def quick_folder() -> Path | None:
    """Where a new database, 300 files, is made in a tenth of the time; None if there is none."""
    with suppress(OSError):
        if shutil.disk_usage(_IN_MEMORY).free >= _ROOM and os.access(_IN_MEMORY, os.W_OK):
            return _IN_MEMORY
    return None


class started:
    """A server in a folder of its own, reached by a socket there and not by any network."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.user = ["runuser", "-u", "postgres", "--"] if os.getuid() == 0 else []

    def __enter__(self) -> URL:
        self.folder = Path(tempfile.mkdtemp(prefix="itembank-pg-", dir=quick_folder()))
        if self.user:
            shutil.chown(self.folder, "postgres")
        self.run("initdb", "-A", "trust", "-N", "-U", "itembank", "-D", str(self.folder / "data"))
        options = f"-c listen_addresses= -c unix_socket_directories={self.folder}"
        options += " -c fsync=off -c full_page_writes=off"  # nothing here outlives the machine
        options += " -c max_wal_size=128MB -c dynamic_shared_memory_type=mmap"
        self.control("start", "-l", str(self.folder / "log"), "-o", options)
        return URL.create(
            "postgresql+psycopg",
            username="itembank",
            database="postgres",
            query={"host": str(self.folder)},
        )

    def __exit__(self, *_error: object) -> None:
        self.control("stop", "-m", "immediate")
        shutil.rmtree(self.folder, ignore_errors=True)

    def control(self, *arguments: str) -> None:
        self.run("pg_ctl", "-w", "-D", str(self.folder / "data"), *arguments)

    def run(self, program: str, *arguments: str) -> None:
        command = [*self.user, str(self.programs / program), *arguments]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd="/")


@contextmanager
def database(server: URL, template: str = "template1") -> Iterator[URL]:
    """A new database, as another is, which is gone in the end."""
    name = f"itembank_test_{os.getpid()}_{next(NUMBERS)}"
    engine = create_engine(server, poolclass=NullPool, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {template}"))
    yield server.set(database=name)
    with engine.connect() as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))


@pytest.fixture(scope="session")
def new_on_postgresql(server: URL) -> Iterator[str]:
    """The name of a database that holds a new bank."""
    with database(server) as url:
        open_bank(url.render_as_string(hide_password=False), create=True)
        yield str(url.database)


@pytest.fixture(scope="session")
def new_on_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file that holds a new bank."""
    path = tmp_path_factory.mktemp("new") / "bank.db"
    open_bank(str(path), create=True)
    return path


@pytest.fixture
def postgresql_place(request: pytest.FixtureRequest, server: URL) -> Iterator[str]:
    """A database of its own; for a test that asks for a bank, a copy of one that is new."""
    asked = "bank" in request.fixturenames
    template = request.getfixturevalue("new_on_postgresql") if asked else "template1"
    with database(server, template) as url:
        yield url.render_as_string(hide_password=False)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new bank can be made, once in each database; or is, where a test asks for it."""
    if request.param == "postgresql":
        found: str = request.getfixturevalue("postgresql_place")
        return found
    path = tmp_path / "bank.db"
    if "bank" in request.fixturenames:
        shutil.copy(request.getfixturevalue("new_on_sqlite"), path)
    return str(path)


@pytest.fixture
def bank(place: str) -> Bank:
    return open_bank(place, create=True)


@pytest.fixture(scope="session")
def shelf() -> FamilyShelf:
    return FAMILIES


PoolOf = Callable[..., Pool]


@pytest.fixture
def pool_of(tmp_path: Path, shelf: FamilyShelf) -> PoolOf:
    """A pool from its entries as YAML lines, under an id."""

    def made(items: str, id: str = "quiz", seed: str = "tests", **fields: str) -> Pool:
        path = tmp_path / f"{id}.yaml"
        rest = "".join(f"{name}: {value}\n" for name, value in fields.items())
        path.write_text(
            f"id: {id}\ntitle: Quiz\ncourse: NT 210, Alder Ford College\nseed: {seed}\n{rest}"
            f"items:\n{items}",
            encoding="utf-8",
        )
        return load_pool(path, shelf)

    return made
