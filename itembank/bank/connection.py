"""One database that is opened, brought up to date, read and written.

SQLite in a file, or PostgreSQL.  Whoever writes is alone until the transaction ends: what a
draw sees of earlier uses then stays true until the draw is recorded.  A transaction is whole or
nothing, whenever the process dies.
"""

import re
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, quote_plus

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError
from sqlalchemy.pool import NullPool

from itembank.bank import migrations
from itembank.values import files
from itembank.values.errors import BankError, ExportError
from itembank.values.worded import laid_out, worded

WAIT = 300
"""Seconds for which a writer waits until another has finished."""

PATIENCE = 2
"""Seconds after which somebody is told what is waited for."""

_WRITERS = 0x6974656D62616E6B
"""The advisory lock that writers of a PostgreSQL bank take: "itembank" in ASCII."""

_FIRST_LOOK = {"sqlite": "PRAGMA schema_version", "postgresql": ""}
"""What a reader begins with: it waits for a lock, if it has to, here and not later."""

_FIRST_WORD = {"sqlite": "", "postgresql": f"SELECT pg_advisory_xact_lock({_WRITERS})"}
"""What a writer begins with; of SQLite the transaction itself takes the lock."""

Tell = Callable[[str], None]


def _unheard(_line: str) -> None:
    """What nobody is told."""


_DRIVERS = ("sqlite", "postgresql+psycopg")

_HARMLESS = frozenset([
    "application_name", "client_encoding", "connect_timeout", "dbname", "host", "hostaddr", "port",
    "sslmode", "sslrootcert", "target_session_attrs", "user",
])  # fmt: skip
"""Parameters of a URL whose values may be shown; any other one may be a secret."""

_PASSWORD = re.compile(r":(?!//)[^\s]*@")
_SECRET = re.compile(r"(?i)(\w*(?:pass|pwd|secret|token|key)\w*) ?= ?('[^']*'|[^&\s]*)")


class Bank:
    """The record over terms.  `name` may be shown to anyone: it holds no password.

    `tell` is told in one line that another process holds the bank, once PATIENCE has passed.
    """

    def __init__(self, engine: Engine, name: str, tell: Tell = _unheard) -> None:
        self.engine, self.name, self.tell = engine, name, tell

    def __reduce__(self) -> tuple[Any, ...]:
        """Another process opens the same bank anew."""
        return open_bank, (self.engine.url.render_as_string(hide_password=False),)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One view of the bank, which no writer changes meanwhile."""
        options: dict[str, Any] = {}
        if self.engine.dialect.name == "postgresql":
            options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        with self._told_plainly(), self.engine.connect() as plain:
            connection = plain.execution_options(**options)
            with self._transaction(connection, _FIRST_LOOK[connection.dialect.name]):
                yield connection

    @contextmanager
    def writing(self, keep: bool = True) -> Iterator[Connection]:
        """A transaction with no other writer beside it; kept if the block ends well.

        Without `keep` it is tried, and nothing of it stays.
        """
        with self._told_plainly(), self.engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            with self._transaction(connection, _FIRST_WORD[connection.dialect.name]):
                yield connection
                if not keep:
                    connection.rollback()

    @contextmanager
    def _transaction(self, connection: Connection, first: str) -> Iterator[None]:
        """A transaction that begins with a statement; where it waits for others, that is told."""
        with self._telling_of_waits():
            transaction = connection.begin()
            if first:
                connection.exec_driver_sql(first)
        try:
            yield
            if transaction.is_active:
                with self._telling_of_waits():
                    transaction.commit()
        finally:
            transaction.close()

    @contextmanager
    def _telling_of_waits(self) -> Iterator[None]:
        """Tell, if the block is not through when PATIENCE has passed."""
        said = worded(
            "{name}: another process is at work in this bank; waiting until it is done",
            name=self.name,
        )
        timer = threading.Timer(PATIENCE, self.tell, (said,))
        timer.daemon = True
        timer.start()
        try:
            yield
        finally:
            timer.cancel()

    @contextmanager
    def _told_plainly(self) -> Iterator[None]:
        """What the database refuses, as one line."""
        try:
            yield
        except IntegrityError as error:
            raise BankError(
                worded(
                    "{name}: another process recorded the same at the same time; nothing of this "
                    "was kept, run it again ({first_line})",
                    name=self.name,
                    first_line=_first_line(error, self.engine.url),
                )
            ) from None
        except DBAPIError as error:
            said = _first_line(error, self.engine.url)
            if said == "database is locked":
                said = worded(
                    "another process has held this bank for {wait} s; run it again after that",
                    wait=WAIT,
                )
            raise BankError(laid_out("{name}: {said}", name=self.name, said=said)) from None

    def bring_up_to_date(self) -> None:
        """Take the migration steps that the bank lacks, each in a transaction of its own."""
        with self.reading() as connection:
            missing = migrations.missing(connection, self.name)
        for _ in missing:
            with self.writing() as connection:
                still = migrations.missing(connection, self.name)
                if still:
                    migrations.take(connection, still[0])


def _first_line(error: Exception, url: URL) -> str:
    """What the database's library says, without what is secret in the URL."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    return _silenced(str(cause).strip().partition("\n")[0], url)


def open_bank(place: str, create: bool = False, tell: Tell = _unheard) -> Bank:
    """The bank at a URL or in a file; made where `create` allows it and there is none.

    `tell`: as of a Bank.  Raises BankError where it cannot be opened, or was made by a newer
    version; and where there is none: an empty file or database is none, and another's is none.
    """
    url = _url_of(place)
    name = _shown(url)
    none_here = worded(
        "{name}: there is no bank here; `itembank draw` makes one, or say --bank", name=name
    )
    if url.drivername == "sqlite" and not _is_there(Path(str(url.database))) and not create:
        raise BankError(none_here)
    try:
        engine = _sqlite_engine(url) if url.drivername == "sqlite" else _postgresql_engine(url)
    except ModuleNotFoundError:
        raise BankError(
            worded(
                "{name}: PostgreSQL needs psycopg; install it with: pip install "
                "'itembank[postgresql]'",
                name=name,
            )
        ) from None
    except (ArgumentError, TypeError, ValueError) as error:
        raise BankError(
            laid_out("{name}: {first_line}", name=name, first_line=_first_line(error, url))
        ) from None
    bank = Bank(engine, name, tell)
    with bank.reading() as connection:
        made = bool(migrations.taken(connection))
        others = url.drivername == "sqlite" and not made and migrations.tables(connection)
    if others:
        raise BankError(
            worded(
                "{name}: expected a bank, an empty file or none, found a database of another "
                "program; choose another file",
                name=name,
            )
        )
    if not made and not create:
        raise BankError(none_here)
    bank.bring_up_to_date()
    return bank


def _is_there(path: Path) -> bool:
    """Whether a file stands here; BankError for what is none, such as a device or a pipe."""
    try:
        return files.place(path).exists()
    except ExportError as error:
        raise BankError(str(error)) from None


def _url_of(place: str) -> URL:
    """The URL of a place; a plain path is an SQLite file.  BankError for other databases."""
    if "://" not in place:
        return URL.create("sqlite", database=place)
    try:
        url = make_url(place)
        if url.drivername in ("postgresql", "postgres"):
            url = url.set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError):
        raise BankError(_refused(worded("one that cannot be read"))) from None
    if url.drivername not in _DRIVERS or not url.database:
        raise BankError(_refused(_shown(url)))
    return url


def _refused(found: str) -> str:
    return worded(
        "bank: expected a file, sqlite:///FILE or "
        "postgresql+psycopg://USER@HOST/DATABASE, got {found}",
        found=found,
    )


def _shown(url: URL) -> str:
    """The URL without what may be secret; of SQLite the file.

    A password with an unescaped @ is read as the beginning of the host, so of that only the end
    is shown; of the query only the values that are known to be harmless.
    """
    if url.drivername == "sqlite" and url.database:
        return _without_secrets(url.database)
    query = {key: v if key in _HARMLESS else "***" for key, v in url.query.items()}
    host = url.host and url.host.rpartition("@")[2]
    plain = url.set(query={}, host=host).render_as_string(hide_password=True)
    told = [f"{key}={','.join([v] if isinstance(v, str) else v)}" for key, v in query.items()]
    return plain + ("?" + "&".join(told) if told else "")


def _without_secrets(text: str) -> str:
    """A text that is no URL but may have been meant as one, without its password."""
    return _SECRET.sub(r"\1=***", _PASSWORD.sub(":***@", text))


def _secrets(url: URL) -> set[str]:
    """The parts of a URL that no message may hold, as they are and as the URL spells them."""
    values = [v for key, v in url.query.items() if key not in _HARMLESS]
    found = {part for v in values for part in ([v] if isinstance(v, str) else v)}
    found |= {str(url.password or ""), (url.host or "").rpartition("@")[0]}
    return {spelled for s in found if s for spelled in (s, quote(s, safe=""), quote_plus(s))}


def _silenced(message: str, url: URL) -> str:
    """What the database's library says, with *** where a secret of the URL stands as a word."""
    for secret in sorted(_secrets(url), key=len, reverse=True):
        message = re.sub(rf"(?<!\w){re.escape(secret)}(?!\w)", "***", message)
    return _without_secrets(message)


def _sqlite_engine(url: URL) -> Engine:
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


def _postgresql_engine(url: URL) -> Engine:
    return create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": 10})
