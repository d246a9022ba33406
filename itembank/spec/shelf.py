"""Families by id, found in folders; and the specs of several paths read at once."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from itembank.spec.course import is_course, load_course
from itembank.spec.document import opened
from itembank.spec.family import Family
from itembank.spec.pool import Pool, load_pool
from itembank.spec.reading import load_family
from itembank.values.errors import Fault, SpecError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

_SUFFIXES = (".yaml", ".yml")

Outcomes = dict[Path, Family | SpecError]
"""The families of files, each by its place in its own folder, or what is wrong with them."""


def own_place(path: Path) -> Path:
    """Where a file stands, as a shelf beside a pool names it; a link stands where it is."""
    return path.parent.resolve() / path.name


def spec_files(paths: Iterable[Path]) -> list[Path]:
    """The files named, and the YAML files of the folders named and below; each once, in order."""
    found: dict[Path, Path] = {}
    for path in paths:
        for file in _yaml_files(path) if path.is_dir() else [path]:
            found.setdefault(file.resolve(), file)
    return list(found.values())


def _yaml_files(folder: Path) -> list[Path]:
    return sorted(file for file in folder.rglob("*") if file.suffix in _SUFFIXES)


def _by_id(files: Iterable[Path], faults: list[Fault]) -> dict[str, Path]:
    """Spec files by id, which is the name of the file; an id that two have is a fault."""
    found: dict[str, Path] = {}
    for file in files:
        first = found.setdefault(file.stem, file)
        if first != file:
            faults.append(
                Fault(
                    str(file),
                    1,
                    1,
                    worded("the id '{stem}' is that of {first} too", stem=file.stem, first=first),
                )
            )
    return found


def find_families(roots: Iterable[Path]) -> dict[str, Path]:
    """The files of some folders of families, by id; none is opened.

    Raises SpecError where two files have one id.
    """
    faults: list[Fault] = []
    found = _by_id(spec_files(roots), faults)
    if faults:
        raise SpecError(faults)
    return found


class FamilyShelf(Mapping[str, Family]):
    """Families by id; a file is read once, when its family is first asked for.

    read: what came of files that are read already; shelves that share it read none twice.
    `shelf[id]` raises KeyError for an id that is not there, and SpecError with the
    faults of a family that has some, or that two files have; `others` holds the second ones.
    """

    def __init__(
        self,
        paths: Mapping[str, Path],
        kinds: Mapping[str, KindSignature],
        others: Mapping[str, Path] = MappingProxyType({}),
        read: Outcomes | None = None,
    ) -> None:
        self.paths, self.kinds, self.others = paths, kinds, others
        self.read: Outcomes = {} if read is None else read

    def __getitem__(self, family: str) -> Family:
        result = self.outcome(family)
        if isinstance(result, SpecError):
            raise result
        return result

    def outcome(self, family: str) -> Family | SpecError:
        path, other = self.paths[family], self.others.get(family)
        if other:
            message = worded(
                "the id '{family}' is that of {other} too: rename one of them",
                family=family,
                other=other,
            )
            return SpecError([Fault(str(path), 1, 1, message)])
        if path not in self.read:
            try:
                self.read[path] = load_family(path, self.kinds)
            except SpecError as e:
                self.read[path] = e
        return self.read[path]

    def __contains__(self, family: object) -> bool:
        return family in self.paths

    def __iter__(self) -> Iterator[str]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)


def shelf_beside(
    pool: Path,
    shipped: Mapping[str, Path],
    kinds: Mapping[str, KindSignature],
    read: Outcomes | None = None,
) -> FamilyShelf:
    """The families that a pool may name: those in its folder and below, and the shipped ones.

    A pool in a folder `pools` may name those beside that folder too.  An id that an own family
    and another shipped one have is a fault where it is named.
    """
    folder = pool.resolve().parent
    own: dict[str, Path] = {}
    others: dict[str, Path] = {}
    for file in _yaml_files(folder.parent if folder.name == "pools" else folder):
        first = own.setdefault(file.stem, file) if file != pool.resolve() else file
        if first != file:
            others[file.stem] = file
    for name, file in shipped.items():
        if name in own and not _same(own[name], file):
            others[name] = file
    return FamilyShelf({**shipped, **own}, kinds, others, read)


def _same(first: Path, second: Path) -> bool:
    """Whether two files are one, or say the same."""
    if first == second or first.resolve() == second.resolve():
        return True
    return first.read_bytes() == second.read_bytes()


def load_specs(
    paths: Iterable[Path], kinds: Mapping[str, KindSignature], roots: Iterable[Path] = ()
) -> tuple[dict[str, Family], dict[str, Pool]]:
    """The families and the pools of some files and folders, by id.

    A file with the field `items` is a pool, one of a course is read with its pools.  A pool may
    also name families of the folders
    `roots`, of which those that are named are read.  Raises SpecError with the faults of
    all files.
    """
    faults: list[Fault] = []
    files = spec_files(paths)
    pool_files = list(filter(_is_pool, files))
    courses = [file for file in files if _is_course_file(file)]
    family_files = [file for file in files if file not in (*pool_files, *courses)]
    _by_id(pool_files, faults)
    shelf = FamilyShelf({**find_families(roots), **_by_id(family_files, faults)}, kinds)
    families, pools = {}, {}
    for file in files:
        try:
            if file in courses:
                load_course(file)
            elif file in pool_files:
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


def _is_pool(file: Path) -> bool:
    return "items" in _fields_of(file)


def _is_course_file(file: Path) -> bool:
    return is_course(_fields_of(file))


def _fields_of(file: Path) -> set[str]:
    """The names of the fields of a file, none where it has no fields."""
    return opened(file).names
