"""Which version this is, its code and its libraries: what must be alike for the same bytes."""

import platform
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

import itembank

ROOMS = ("exporters", "itembank")

CODE = ("*.py", "*.toml", "*.mo", "*.js", "*.css", "*.tex")
"""The files on which what is made depends."""

_LIBRARIES = ("babel", "lxml", "pydantic", "pyyaml", "sympy")


@cache
def own_version() -> tuple[str, ...]:
    """What two machines must have alike to give the same bytes, each as a message names it."""
    return (
        f"itembank {itembank.__version__} (code {code_hash()})",
        "Python " + ".".join(platform.python_version_tuple()[:2]),
        *(f"{library} {version(library)}" for library in _LIBRARIES),
    )


def code_hash() -> str:
    """A short hash of the code of this package, as it stands now."""
    root = Path(itembank.__file__).parents[1]
    digest = sha256()
    for room in ROOMS:
        for path in sorted(p for kind in CODE for p in (root / room).rglob(kind)):
            digest.update(f"{path.relative_to(root).as_posix()}\n".encode())
            digest.update(sha256(path.read_bytes()).digest())
    return digest.hexdigest()[:12]
