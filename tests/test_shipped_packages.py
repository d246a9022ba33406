"""Every shipped pool, and all of the library, in every format, profile and dialect.

Valid by the published schemas, and agreed by the audit.  A group has its first items only: what
differs between items of one family is a matter of tests/exporters and tests/audit.
"""

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import making
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import (
    FamilyShelf,
    PoolEntry,
    find_families,
    library,
    load_family,
    load_pool,
)
from itembank.values.vocabulary import PROFILES

FAMILIES = {
    name: load_family(path, SIGNATURES)
    for name, path in find_families([library() / "families"]).items()
}

POOLS = sorted(path.stem for path in (library() / "pools").glob("*.yaml"))


def whole_library() -> Release:
    """One item of each family in each form that it offers."""
    groups = []
    for family in FAMILIES.values():
        variant = next(iter(Stream(family, "library", fits(family))))
        for form in family.forms:
            points = STAGES[family.id] if form == "guided" else 1
            entry = PoolEntry.model_construct(
                family=family, variants=1, choose=1, points=points, form=form
            )
            items = (item_of(variant, entry),)
            groups.append(
                Group(family=family.id, title=family.title, items=items, choose=1, points=points)
            )
    return Release(
        pool_id="library", title="All of the library", course="NT 210", term="2027-spring",
        language="en", groups=tuple(groups),
    )  # fmt: skip


STAGES = {"stage-by-stage": 5, "singular-stage-by-stage": 4}
"""The stages of guided questions, each of which counts a point."""


@pytest.fixture(scope="module", params=[*POOLS, "all of the library"])
def release(request: pytest.FixtureRequest) -> Release:
    """The pool with as many variants of each family as a student gets; or the whole library."""
    if request.param not in POOLS:
        return whole_library()
    shelf = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
    pool = load_pool(library() / "pools" / f"{request.param}.yaml", shelf)
    entries = tuple(e.model_copy(update={"variants": e.choose}) for e in pool.entries)
    return making.released(pool.model_copy(update={"entries": entries}), "2027-spring")


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("format", FORMATS)
def test_a_shipped_pool_is_valid_and_agreed_in_every_dialect(
    tmp_path, findings, release, format, profile
):
    abilities = FORMATS[format].abilities
    for math in abilities.mathematics:
        for purpose in abilities.purposes:
            path = tmp_path / f"{math}-{purpose}.zip"
            write_package(format, release, path, math, purpose, profile)
            report = audit_package(path)

            assert findings(path) == []
            assert (report.findings, report.count("agreed")) == ((), len(report.items))
