"""Packages of the shipped pools, made once."""

from pathlib import Path

import pytest

from itembank.cli.arguments import pool_named
from itembank.pipeline import making

FORMATS = ("qti21", "cc13")


@pytest.fixture(scope="session")
def packages_by_format(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    found: dict[str, list[Path]] = {name: [] for name in FORMATS}
    for pool in ("lifting-homework", "congruences-quiz", "lifting-practice"):
        folder = tmp_path_factory.mktemp(pool)
        making.make(pool_named(pool, ()), "2027-spring", folder, FORMATS)
        for name in FORMATS:
            found[name] += folder.glob(f"*-{name}.zip")
    return found
