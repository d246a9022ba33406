"""Every shipped pool, and all of the library, in every format, profile and dialect.

Valid by the published schemas, and agreed by the audit.  A group has its first items only: what
differs between items of one family is a matter of tests/exporters and tests/audit.

Where a pool uses plain forms alone, or a format has no others, both profiles give the same bytes:
a third of all packages.  They are judged once.
"""

from collections.abc import Callable
from hashlib import sha256
from itertools import cycle, islice, product
from pathlib import Path
from zipfile import ZipFile

import pytest

from exporters.abilities import Abilities
from exporters.formats import FORMATS, write_package
from exporters.release import Purpose, Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.pipeline import making
from itembank.spec import (
    library,
    load_pool,
)
from itembank.values.vocabulary import PROFILES
from tests.exporters import samples
from tests.shipped import FAMILIES, whole_library

MANY = 100
"""Groups of more than a pool."""

POOLS = sorted(path.stem for path in (library() / "pools").glob("*.yaml"))


@pytest.fixture(scope="module", params=["all of the library", *POOLS])
def release(request: pytest.FixtureRequest) -> Release:
    """The pool with as many variants of each family as a student gets; or the whole library."""
    if request.param not in POOLS:
        return whole_library()
    pool = load_pool(library() / "pools" / f"{request.param}.yaml", FAMILIES)
    entries = tuple(e.model_copy(update={"variants": e.choose}) for e in pool.entries)
    return making.released(pool.model_copy(update={"entries": entries}), "2027-spring")


@pytest.fixture(scope="module")
def judged(release, findings) -> Callable[[Path], tuple[list[str], Report]]:
    """What the schemas and the audit find in a package of the release, by its bytes."""
    known: dict[bytes, tuple[list[str], Report]] = {}

    def judged(path: Path) -> tuple[list[str], Report]:
        package = sha256(path.read_bytes()).digest()
        if package not in known:
            known[package] = findings(path), audit_package(path)
        return known[package]

    return judged


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("format", FORMATS)
def test_a_shipped_pool_is_valid_and_agreed_in_every_dialect(
    tmp_path, judged, release, format, profile
):
    for math, purpose in uses(FORMATS[format].abilities, len(release.groups)):
        path = tmp_path / f"{math}-{purpose}.zip"
        write_package(format, release, path, math, purpose, profile)
        found, report = judged(path)

        assert found == []
        assert (report.findings, report.count("agreed")) == ((), len(report.items))


def uses(abilities: Abilities, groups: int) -> list[tuple[str, Purpose]]:
    """Each dialect for each purpose; of a release as large as the library, each of both once."""
    dialects, purposes = abilities.mathematics, abilities.purposes
    if groups > MANY:
        most = max(len(dialects), len(purposes))
        return list(islice(zip(cycle(dialects), cycle(purposes), strict=False), most))
    return list(product(dialects, purposes))


def test_what_is_changed_in_a_package_that_was_valid_is_found(tmp_path, findings):
    """By the schemas, which do not look again at what they found nothing wrong in."""
    path, changed = tmp_path / "p.zip", tmp_path / "changed.zip"
    write_package("qti21", samples.release(samples.group(samples.INTEGER)), path)
    assert findings(path) == findings(path) == []

    with ZipFile(path) as package, ZipFile(changed, "w") as other:
        for name in package.namelist():
            text = package.read(name)
            item = name.startswith("item-")
            other.writestr(name, text.replace(b"<itemBody>", b"<itemBody><p2/>") if item else text)
    found = findings(changed)
    assert found and all(line.startswith("item-") for line in found)
    assert findings(changed) == found
