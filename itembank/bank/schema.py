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


def number() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def whole(name: str, of: str = "", unique: bool | None = None) -> Column[int]:
    """A whole number; the number of a record `of` another table."""
    keys = [ForeignKey(f"{of}.id")] if of else []
    return Column(name, Integer, *keys, nullable=False, unique=unique)


def words(name: str, unique: bool | None = None) -> Column[str]:
    return Column(name, Text, nullable=False, unique=unique)


def recorded() -> Column[object]:
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
    number(),
    words("name"),
    whole("version"),
    words("fingerprint"),
    words("source"),
    UniqueConstraint("name", "version"),
)

problems = Table(
    "problems",
    metadata,
    number(),
    words("key", unique=True),
    words("purpose"),
    UniqueConstraint("id", "purpose"),
)

items = Table(
    "items",
    metadata,
    number(),
    words("identifier", unique=True),
    words("fingerprint", unique=True),
    whole("problem", "problems"),
    whole("family", "families"),
    words("seed"),
    whole("variant"),
    words("title"),
    words("form"),
    words("ask"),
    words("statement"),
    words("answer"),
    whole("steps"),
    whole("digits"),
    whole("singular"),
    words("signs"),
    Column("content", LargeBinary, nullable=False),
    words("tool"),
    Index("items_of_problem", "problem"),
    Index("items_of_family", "family"),
)

terms = Table("terms", metadata, number(), words("name", unique=True))

draws = Table(
    "draws",
    metadata,
    number(),
    words("pool"),
    whole("term", "terms"),
    words("purpose"),
    whole("rests"),
    words("facts"),
    words("tool"),
    recorded(),
    UniqueConstraint("id", "term", "rests"),
    Index("draws_of_pool", "pool", "term"),
)

undone = Table(
    "undone",
    metadata,
    number(),
    whole("draw", "draws", unique=True),
    recorded(),
)

uses = Table(
    "uses",
    metadata,
    number(),
    whole("draw"),
    whole("term"),
    whole("rests"),
    whole("item", "items", unique=True),
    whole("problem"),
    words("purpose"),
    whole("times"),
    words("family"),
    whole("part"),
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
    number(),
    words("name", unique=True),
    words("pool"),
    whole("term", "terms"),
    Column("since", Integer, ForeignKey("releases.id")),
    words("fingerprint"),
    words("facts"),
    words("tool"),
    recorded(),
)

release_groups = Table(
    "release_groups",
    metadata,
    number(),
    whole("release", "releases"),
    whole("number"),
    words("family"),
    words("title"),
    whole("choose"),
    whole("points"),
    Column("half", Boolean, nullable=False, server_default=text("false")),
    UniqueConstraint("release", "number"),
    UniqueConstraint("id", "release"),
)

release_items = Table(
    "release_items",
    metadata,
    number(),
    whole("release"),
    whole("release_group"),
    whole("item", "items"),
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
    number(),
    whole("release", "releases"),
    words("format"),
    words("target"),
    words("file"),
    words("sha256"),
    Column("counts", Text, nullable=False, server_default=text("''")),
    UniqueConstraint("release", "format", "sha256"),
)

assemblies = Table(
    "assemblies",
    metadata,
    number(),
    words("pool"),
    whole("term", "terms"),
    words("request"),
    words("result"),
    words("tool"),
    recorded(),
)

forms = Table(
    "forms",
    metadata,
    number(),
    whole("assembly", "assemblies"),
    words("name"),
    UniqueConstraint("assembly", "name"),
    UniqueConstraint("id", "assembly"),
)

form_items = Table(
    "form_items",
    metadata,
    number(),
    whole("form"),
    whole("assembly"),
    whole("item", "items"),
    ForeignKeyConstraint(["form", "assembly"], ["forms.id", "forms.assembly"]),
    UniqueConstraint("assembly", "item"),
)

decisions = Table(
    "decisions",
    metadata,
    number(),
    whole("item", "items"),
    words("fingerprint"),
    words("reviewer"),
    words("scope"),
    words("verdict"),
    words("comment"),
    recorded(),
    Column("said", Text, nullable=False, server_default=text("''")),
    Index("decisions_on_item", "item"),
)

decision_facets = Table(
    "decision_facets",
    metadata,
    number(),
    whole("decision", "decisions"),
    words("facet"),
    words("verdict"),
    words("comment"),
    Column("hash", Text, nullable=False, server_default=text("''")),
    UniqueConstraint("decision", "facet"),
)

settlements = Table(
    "settlements",
    metadata,
    number(),
    whole("decision", "decisions", unique=True),
    whole("settled", "decisions"),
)

withdrawals = Table(
    "withdrawals",
    metadata,
    number(),
    whole("item", "items", unique=True),
    words("reason"),
    recorded(),
)

reports = Table(
    "reports",
    metadata,
    number(),
    whole("term", "terms"),
    words("source", unique=True),
    whole("students"),
    words("facts"),
    words("tool"),
    recorded(),
)

usages = Table(
    "usages",
    metadata,
    number(),
    whole("report", "reports"),
    whole("item", "items"),
    whole("students"),
    whole("correct"),
    words("advice"),
    words("facts"),
    UniqueConstraint("report", "item"),
    Index("usages_of_item", "item"),
)

replacements = Table(
    "replacements",
    metadata,
    number(),
    whole("report", "reports", unique=True),
    whole("successor", "reports"),
)

retractions = Table(
    "retractions",
    metadata,
    number(),
    whole("report", "reports", unique=True),
    words("reason"),
    recorded(),
)

capacities = Table(
    "capacities",
    metadata,
    number(),
    whole("family", "families", unique=True),
    whole("least"),
    Column("likely", Integer),
    Column("most", Integer),
    Column("exact", Boolean, nullable=False),
)

bands = Table(
    "bands",
    metadata,
    number(),
    whole("family", "families"),
    words("spread"),
    words("band"),
    UniqueConstraint("family", "spread"),
)
