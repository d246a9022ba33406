"""Every shipped pool, and all of the library, in every format, profile and dialect.

Valid by the published schemas, and agreed by the audit.  A group has its first items only: what
differs between items of one family is a matter of tests/exporters and tests/audit.
"""

import pytest
from shipped import whole_library

from exporters.formats import FORMATS, write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import making
from itembank.spec import (
    FamilyShelf,
    find_families,
    library,
    load_pool,
)
from itembank.values.vocabulary import PROFILES

POOLS = sorted(path.stem for path in (library() / "pools").glob("*.yaml"))


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
