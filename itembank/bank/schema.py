"""The tables as queries name them; `migrations.py` says how they came to be.

Nothing is ever updated or deleted.  Integers of the mathematics (statements, answers, seeds)
are text: no database bounds them.
"""

from sqlalchemy import (
    Boolean,
    Column,
    DateTime,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    text,
)

metadata = MetaData()


def _number() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _whole(name: str, of: str = "", unique: bool | None = None) -> Column[int]:
    """A whole number; the number of a record `of` another table."""
    keys = [ForeignKey(f"{of}.id")] if of else []
    return Column(name, Integer, *keys, nullable=False, unique=unique)


def _words(name: str, unique: bool | None = None) -> Column[str]:
    return Column(name, Text, nullable=False, unique=unique)


def _recorded() -> Column[object]:
    """When, by the clock of the database; nothing that leaves depends on it."""
    return Column(
        "recorded",
        DateTime(timezone=True),
        nullable=False,
        server_default=text("CURRENT_TIMESTAMP"),
    )


families = Table(
    "families",
    metadata,
    _number(),
    _words("name"),
    _whole("version"),
    _words("fingerprint"),
    _words("source"),
    UniqueConstraint("name", "version"),
)

problems = Table(
    "problems",
    metadata,
    _number(),
    _words("key", unique=True),
    _words("purpose"),
    UniqueConstraint("id", "purpose"),
)

items = Table(
    "items",
    metadata,
    _number(),
    _words("identifier", unique=True),
    _words("fingerprint", unique=True),
    _whole("problem", "problems"),
    _whole("family", "families"),
    _words("seed"),
    _whole("variant"),
    _words("title"),
    _words("form"),
    _words("ask"),
    _words("statement"),
    _words("answer"),
    _whole("steps"),
    _whole("digits"),
    _whole("singular"),
    _words("signs"),
    Column("content", LargeBinary, nullable=False),
    _words("tool"),
    Index("items_of_problem", "problem"),
    Index("items_of_family", "family"),
)

terms = Table("terms", metadata, _number(), _words("name", unique=True))

draws = Table(
    "draws",
    metadata,
    _number(),
    _words("pool"),
    _whole("term", "terms"),
    _words("purpose"),
    _whole("rests"),
    _words("facts"),
    _words("tool"),
    _recorded(),
    UniqueConstraint("id", "term", "rests"),
    Index("draws_of_pool", "pool", "term"),
)

undone = Table(
    "undone",
    metadata,
    _number(),
    _whole("draw", "draws", unique=True),
    _recorded(),
)

uses = Table(
    "uses",
    metadata,
    _number(),
    _whole("draw"),
    _whole("term"),
    _whole("rests"),
    _whole("item", "items", unique=True),
    _whole("problem"),
    _words("purpose"),
    _whole("times"),
    _words("family"),
    _whole("part"),
    ForeignKeyConstraint(["draw", "term", "rests"], ["draws.id", "draws.term", "draws.rests"]),
    ForeignKeyConstraint(["problem", "purpose"], ["problems.id", "problems.purpose"]),
    UniqueConstraint("problem", "term"),
    UniqueConstraint("problem", "times"),
    Index("uses_of_draw", "draw", "family", "part"),
    Index("uses_of_family", "family", "term", "problem"),
)

releases = Table(
    "releases",
    metadata,
    _number(),
    _words("name", unique=True),
    _words("pool"),
    _whole("term", "terms"),
    Column("since", Integer, ForeignKey("releases.id")),
    _words("fingerprint"),
    _words("facts"),
    _words("tool"),
    _recorded(),
)

release_groups = Table(
    "release_groups",
    metadata,
    _number(),
    _whole("release", "releases"),
    _whole("number"),
    _words("family"),
    _words("title"),
    _whole("choose"),
    _whole("points"),
    Column("half", Boolean, nullable=False, server_default=text("false")),
    UniqueConstraint("release", "number"),
    UniqueConstraint("id", "release"),
)

release_items = Table(
    "release_items",
    metadata,
    _number(),
    _whole("release"),
    _whole("release_group"),
    _whole("item", "items"),
    ForeignKeyConstraint(
        ["release_group", "release"], ["release_groups.id", "release_groups.release"]
    ),
    UniqueConstraint("release", "item"),
    Index("releases_of_item", "item"),
    Index("items_of_group", "release_group"),
)

packages = Table(
    "packages",
    metadata,
    _number(),
    _whole("release", "releases"),
    _words("format"),
    _words("target"),
    _words("file"),
    _words("sha256"),
    Column("counts", Text, nullable=False, server_default=text("''")),
    UniqueConstraint("release", "format", "sha256"),
)

assemblies = Table(
    "assemblies",
    metadata,
    _number(),
    _words("pool"),
    _whole("term", "terms"),
    _words("request"),
    _words("result"),
    _words("tool"),
    _recorded(),
)

forms = Table(
    "forms",
    metadata,
    _number(),
    _whole("assembly", "assemblies"),
    _words("name"),
    UniqueConstraint("assembly", "name"),
    UniqueConstraint("id", "assembly"),
)

form_items = Table(
    "form_items",
    metadata,
    _number(),
    _whole("form"),
    _whole("assembly"),
    _whole("item", "items"),
    ForeignKeyConstraint(["form", "assembly"], ["forms.id", "forms.assembly"]),
    UniqueConstraint("assembly", "item"),
)

decisions = Table(
    "decisions",
    metadata,
    _number(),
    _whole("item", "items"),
    _words("fingerprint"),
    _words("reviewer"),
    _words("scope"),
    _words("verdict"),
    _words("comment"),
    _recorded(),
    Column("said", Text, nullable=False, server_default=text("''")),
    Index("decisions_on_item", "item"),
)

decision_facets = Table(
    "decision_facets",
    metadata,
    _number(),
    _whole("decision", "decisions"),
    _words("facet"),
    _words("verdict"),
    _words("comment"),
    Column("hash", Text, nullable=False, server_default=text("''")),
    UniqueConstraint("decision", "facet"),
)

settlements = Table(
    "settlements",
    metadata,
    _number(),
    _whole("decision", "decisions", unique=True),
    _whole("settled", "decisions"),
)

withdrawals = Table(
    "withdrawals",
    metadata,
    _number(),
    _whole("item", "items", unique=True),
    _words("reason"),
    _recorded(),
)

reports = Table(
    "reports",
    metadata,
    _number(),
    _whole("term", "terms"),
    _words("source", unique=True),
    _whole("students"),
    _words("facts"),
    _words("tool"),
    _recorded(),
)

usages = Table(
    "usages",
    metadata,
    _number(),
    _whole("report", "reports"),
    _whole("item", "items"),
    _whole("students"),
    _whole("correct"),
    _words("advice"),
    _words("facts"),
    UniqueConstraint("report", "item"),
    Index("usages_of_item", "item"),
)

replacements = Table(
    "replacements",
    metadata,
    _number(),
    _whole("report", "reports", unique=True),
    _whole("successor", "reports"),
)

retractions = Table(
    "retractions",
    metadata,
    _number(),
    _whole("report", "reports", unique=True),
    _words("reason"),
    _recorded(),
)

capacities = Table(
    "capacities",
    metadata,
    _number(),
    _whole("family", "families", unique=True),
    _whole("least"),
    Column("likely", Integer),
    Column("most", Integer),
    Column("exact", Boolean, nullable=False),
)

bands = Table(
    "bands",
    metadata,
    _number(),
    _whole("family", "families"),
    _words("spread"),
    _words("band"),
    UniqueConstraint("family", "spread"),
)
