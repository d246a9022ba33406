"""What several test files share: golden files, and the schema validator of packages."""

import argparse
import gc
import importlib.util
import os
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from types import ModuleType

import pytest
from lxml import etree

from itembank.values.collecting import YOUNG
from tests.absence import absent
from tests.catalogues import catalogues_in

ROOT = Path(__file__).parents[1]
GOLDEN = ROOT / "tests" / "golden"
os.environ["ITEMBANK_LANGUAGE"] = "en"
"""Commands speak English here, whatever the machine speaks; so do those that a test starts."""
os.environ["ITEMBANK_CACHE"] = "off"
"""Nothing that was found before is told again, unless a test names a folder of its own."""

if sys.dont_write_bytecode:  # else each command that a test starts is compiled anew, for 4 seconds
    compiled = tempfile.TemporaryDirectory(prefix="itembank-compiled-")
    os.environ["PYTHONPYCACHEPREFIX"] = compiled.name
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

VALIDATOR = ROOT.parent / "shared" / "tools" / "validate_package.py"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--rewrite-golden",
        action="store_true",
        help="write the golden files anew from what the code gives; read the diff like code",
    )


def pytest_configure(config: pytest.Config) -> None:
    """What collection makes stays, so Python need not look among it for cycles meanwhile.

    Several workers: each has its part of the files, and takes over from who has more left.

    So most tests of a file run in one worker, which makes what they share once; and no long file
    is begun last, while the other worker has nothing to do.
    """
    gc.disable()
    if config.getoption("dist", "no") == "load":
        config.option.dist = "worksteal"


def pytest_collection_finish() -> None:
    """Nor later; and what tests make, much of which stays, is looked through seldom."""
    gc.freeze()
    gc.enable()
    gc.set_threshold(10 * YOUNG, 5, 20)


def pretty(name: str, data: bytes) -> str:
    """An XML document with an element a line, where that changes no text; others as they are."""
    if not name.endswith((".xml", ".html")):
        return data.decode("utf-8-sig")
    tree = etree.fromstring(data, etree.XMLParser(resolve_entities=False, no_network=True))
    return etree.tostring(tree, pretty_print=True, encoding="unicode")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, Mapping[str, bytes]], None]:
    """Compare the members of a package with tests/golden/FOLDER, or write them anew."""

    def compare(folder: str, members: Mapping[str, bytes]) -> None:
        held, found = GOLDEN / folder, {name: pretty(name, data) for name, data in members.items()}
        if request.config.getoption("--rewrite-golden"):
            held.mkdir(parents=True, exist_ok=True)
            for stale in held.iterdir():
                stale.unlink()
            for name, text in found.items():
                (held / name).write_text(text, encoding="utf-8", newline="\n")
        expected = {path.name: path.read_text(encoding="utf-8") for path in held.glob("*")}
        assert sorted(found) == sorted(expected)
        for name, text in found.items():
            assert text == expected[name], f"{folder}/{name} changed (see --rewrite-golden)"

    return compare


@pytest.fixture(scope="session")
def findings() -> Callable[[Path], list[str]]:
    """What the published schemas, and the rules within them, find wrong in a package."""
    if not VALIDATOR.exists():
        absent("schemas", f"the package validator is not beside this repository ({VALIDATOR.name})")
    validator = loaded(VALIDATOR)
    store = validator.Store(str(VALIDATOR.parents[1] / "schemas"))
    options = argparse.Namespace(
        max_bytes=256 << 20, max_files=20_000, rules=True, quiet=True, lone=False
    )

    sound: set[tuple[str, bool, bytes]] = set()
    """What a schema and its rules found nothing wrong in: they need not look at it again."""

    def found(path: Path) -> list[str]:
        package = validator.Package(str(path), options)
        checker = validator.Checker(store, package, options)
        looked_at = checker.validate

        def validate(name: str, root: object, schema: str, open_data: bool = False) -> None:
            document = schema, bool(open_data), sha256(package.read(name)).digest()
            if document in sound:
                checker.checked.add(name)
                return
            before = len(checker.findings)
            looked_at(name, root, schema, open_data)
            if len(checker.findings) == before:
                sound.add(document)

        checker.validate = validate
        checker.manifest()
        assert checker.checked, f"{path.name}: nothing was checked"
        return [*map(str, package.problems), *checker.findings]

    return found


@pytest.fixture(scope="session")
def valid_document() -> Callable[[str, bytes], list[str]]:
    """What the published schema of this file finds wrong in a single document."""
    if not VALIDATOR.exists():
        absent("schemas", f"the package validator is not beside this repository ({VALIDATOR.name})")
    store = loaded(VALIDATOR).Store(str(VALIDATOR.parents[1] / "schemas"))

    def found(schema: str, document: bytes) -> list[str]:
        compiled, *_rest = store.get(schema)
        return [] if compiled.validate(etree.fromstring(document)) else list(compiled.error_log)

    return found


@pytest.fixture(scope="session")
def samples_folder() -> Path:
    """The published examples, which are not part of this repository."""
    folder = VALIDATOR.parents[1] / "schemas" / "samples"
    if not folder.is_dir():
        pytest.skip("the published examples are not beside this repository")
    return folder


def loaded(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Path]:
    """An empty folder for catalogues."""
    with catalogues_in(tmp_path / "locale") as folder:
        yield folder


@pytest.fixture
def members() -> Callable[[Path], dict[str, bytes]]:
    """The members of a zip by name."""

    def read(path: Path) -> dict[str, bytes]:
        with zipfile.ZipFile(path) as package:
            return {name: package.read(name) for name in package.namelist()}

    return read
