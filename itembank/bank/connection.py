"""One database that is opened, brought up to date, read and written.

SQLite in a file, or PostgreSQL.  Whoever writes is alone until the transaction ends: what a
draw sees of earlier uses then stays true until the draw is recorded.  A transaction is whole or
nothing, whenever the process dies.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError
from sqlalchemy.pool import NullPool

from itembank.bank import migrations
from itembank.errors import BankError

WAIT = 300
"""Seconds for which a writer waits until another has finished."""

WRITERS = 0x6974656D62616E6B
"""The advisory lock that writers of a PostgreSQL bank take: "itembank" in ASCII."""

DRIVERS = ("sqlite", "postgresql+psycopg")


class Bank:
    """The record over terms.  `name` may be shown to anyone: it holds no password."""

    def __init__(self, engine: Engine, name: str) -> None:
        self.engine, self.name = engine, name

    def __reduce__(self) -> tuple[Any, ...]:
        """Another process opens the same bank anew."""
        return open_bank, (self.engine.url.render_as_string(hide_password=False),)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One view of the bank, which no writer changes meanwhile."""
        options: dict[str, Any] = {}
        if self.engine.dialect.name == "postgresql":
            options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        with self.told_plainly(), self.engine.connect() as plain:
            connection = plain.execution_options(**options)
            with connection.begin():
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction with no other writer beside it; kept if the block ends well."""
        with self.told_plainly(), self.engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            with connection.begin():
                if self.engine.dialect.name == "postgresql":
                    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": WRITERS})
                yield connection

    @contextmanager
    def told_plainly(self) -> Iterator[None]:
        """What the database refuses, as one line."""
        try:
            yield
        except IntegrityError as error:
            raise BankError(
                f"{self.name}: another process recorded the same at the same time; nothing of "
                f"this was kept, run it again ({first_line(error)})"
            ) from None
        except DBAPIError as error:
            raise BankError(f"{self.name}: {first_line(error)}") from None

    def bring_up_to_date(self) -> None:
        """Take the migration steps that the bank lacks, each in a transaction of its own."""
        with self.reading() as connection:
            missing = migrations.missing(connection, self.name)
        for _ in missing:
            with self.writing() as connection:
                still = migrations.missing(connection, self.name)
                if still:
                    migrations.take(connection, still[0])


def first_line(error: DBAPIError) -> str:
    return str(error.orig).strip().partition("\n")[0]


def open_bank(place: str, create: bool = False) -> Bank:
    """The bank at a URL or in a file; made where `create` allows it and there is none.

    Raises BankError where it cannot be opened, or was made by a newer version.
    """
    url = url_of(place)
    name = shown(url)
    if url.drivername == "sqlite" and not create and not Path(str(url.database)).is_file():
        raise BankError(f"{name}: there is no bank here; `itembank draw` makes one, or say --bank")
    try:
        engine = sqlite_engine(url) if url.drivername == "sqlite" else postgresql_engine(url)
    except ModuleNotFoundError:
        raise BankError(
            f"{name}: PostgreSQL needs psycopg; install it with: pip install 'itembank[postgresql]'"
        ) from None
    bank = Bank(engine, name)
    bank.bring_up_to_date()
    return bank


def url_of(place: str) -> URL:
    """The URL of a place; a plain path is an SQLite file.  BankError for other databases."""
    if "://" not in place:
        return URL.create("sqlite", database=place)
    try:
        url = make_url(place)
        if url.drivername in ("postgresql", "postgres"):
            url = url.set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError):
        raise BankError(refused("one that cannot be read")) from None
    if url.drivername not in DRIVERS or not url.database:
        raise BankError(refused(shown(url)))
    return url


def refused(found: str) -> str:
    return (
        "bank: expected a file, sqlite:///FILE or postgresql+psycopg://USER@HOST/DATABASE, "
        f"got {found}"
    )


def shown(url: URL) -> str:
    """The URL without its password; of SQLite the file."""
    if url.drivername == "sqlite" and url.database:
        return url.database
    return url.render_as_string(hide_password=True)


def sqlite_engine(url: URL) -> Engine:
    engine = create_engine(url, poolclass=NullPool, connect_args={"timeout": WAIT})

    @event.listens_for(engine, "connect")
    def prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # transactions begin below, and nowhere else
        connection.execute("PRAGMA foreign_keys = ON")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def postgresql_engine(url: URL) -> Engine:
    return create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": 10})
