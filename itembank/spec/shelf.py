"""Families by id, found in folders; and the specs of several paths read at once."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from itembank.spec.document import document
from itembank.spec.family import Family, load_family
from itembank.spec.nodes import Faults, Fields
from itembank.spec.pool import Pool, load_pool
from itembank.values.errors import Fault, SpecError
from itembank.values.vocabulary import KindSignature

SUFFIXES = (".yaml", ".yml")


def spec_files(paths: Iterable[Path]) -> list[Path]:
    """The files named, and the YAML files of the folders named and below; each once, in order."""
    found: dict[Path, Path] = {}
    for path in paths:
        for file in yaml_files(path) if path.is_dir() else [path]:
            found.setdefault(file.resolve(), file)
    return list(found.values())


def yaml_files(folder: Path) -> list[Path]:
    return sorted(file for file in folder.rglob("*") if file.suffix in SUFFIXES)


def by_id(files: Iterable[Path], faults: list[Fault]) -> dict[str, Path]:
    """Spec files by id, which is the name of the file; an id that two have is a fault."""
    found: dict[str, Path] = {}
    for file in files:
        first = found.setdefault(file.stem, file)
        if first != file:
            faults.append(Fault(str(file), 1, 1, f"the id '{file.stem}' is that of {first} too"))
    return found


def find_families(roots: Iterable[Path]) -> dict[str, Path]:
    """The files of some folders of families, by id; none is opened.

    Raises SpecError where two files have one id.
    """
    faults: list[Fault] = []
    found = by_id(spec_files(roots), faults)
    if faults:
        raise SpecError(faults)
    return found


class FamilyShelf(Mapping[str, Family]):
    """Families by id; a file is read once, when its family is first asked for.

    `shelf[id]` raises KeyError for an id that is not there, and SpecError with the
    faults of a family that has some.
    """

    def __init__(self, paths: Mapping[str, Path], kinds: Mapping[str, KindSignature]) -> None:
        self.paths, self.kinds = paths, kinds
        self.read: dict[str, Family | SpecError] = {}

    def __getitem__(self, family: str) -> Family:
        if family not in self.read:
            self.read[family] = self.outcome(self.paths[family])
        result = self.read[family]
        if isinstance(result, SpecError):
            raise result
        return result

    def outcome(self, path: Path) -> Family | SpecError:
        try:
            return load_family(path, self.kinds)
        except SpecError as e:
            return e

    def __contains__(self, family: object) -> bool:
        return family in self.paths

    def __iter__(self) -> Iterator[str]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)


def load_specs(
    paths: Iterable[Path], kinds: Mapping[str, KindSignature], roots: Iterable[Path] = ()
) -> tuple[dict[str, Family], dict[str, Pool]]:
    """The families and the pools of some files and folders, by id.

    A file with the field `items` is a pool.  A pool may also name families of the folders
    `roots`, of which those that are named are read.  Raises SpecError with the faults of
    all files.
    """
    faults: list[Fault] = []
    files = spec_files(paths)
    pool_files = list(filter(is_pool, files))
    family_files = [file for file in files if file not in pool_files]
    by_id(pool_files, faults)
    shelf = FamilyShelf({**find_families(roots), **by_id(family_files, faults)}, kinds)
    families, pools = {}, {}
    for file in files:
        try:
            if file in pool_files:
                pools[file.stem] = load_pool(file, shelf)
            elif shelf.paths[file.stem] == file:
                families[file.stem] = shelf[file.stem]
            else:
                load_family(file, kinds)
        except SpecError as e:
            faults += e.faults
    if faults:
        raise SpecError(set(faults))
    return families, pools


def is_pool(file: Path) -> bool:
    root = document(file, Faults(str(file)))
    return isinstance(root, Fields) and any(key.text == "items" for key, _ in root.pairs)
