"""The formats, each once, and the one way to write a package.

Nothing is dropped in silence: what a format does not carry is written in the form declared to
stand in for it, or refused with the item's name.
"""

from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import replace
from hashlib import file_digest
from pathlib import Path
from typing import TypeVar

from exporters import cc11, cc12, cc13, html, latex, qti12, qti21, qti22, qti30
from exporters.abilities import CARTRIDGE, PRINTED, QTI2, QTI12, TYPESET, Format
from exporters.fitting import fitted_release
from exporters.package import Package
from exporters.release import Profile, Purpose, Release, Written
from itembank.languages import say
from itembank.values.errors import ExportError
from itembank.values.vocabulary import PROFILES
from itembank.values.worded import worded

_Name = TypeVar("_Name", bound=str)


FORMATS = {
    f.name: f
    for f in (
        Format("qti12", say("QTI 1.2.1 package"), qti12.write, QTI12),
        Format("cc11", say("Common Cartridge 1.1"), cc11.write, CARTRIDGE),
        Format("cc12", say("Common Cartridge 1.2"), cc12.write, CARTRIDGE),
        Format("cc13", say("Common Cartridge 1.3"), cc13.write, CARTRIDGE),
        Format("qti21", say("QTI 2.1 package"), qti21.write, QTI2),
        Format("qti22", say("QTI 2.2 package"), qti22.write, QTI2),
        Format("qti30", say("QTI 3.0 package"), qti30.write, QTI2),
        Format("html", say("Printed questions and key"), html.write, PRINTED),
        Format("latex", say("Questions and key in LaTeX"), latex.write, TYPESET),
    )
}


def write_package(
    format: str,
    release: Release,
    path: Path,
    math: str | None = None,
    purpose: Purpose | None = None,
    profile: Profile = "full",
    executor: Executor | None = None,
) -> Written:
    """Write the release as one package, which replaces `path` when it is whole.

    `math` is the dialect of mathematics and `purpose` bank or quiz; each the format's default
    if None.  An item in a form that the format or the profile does not carry is written in the
    form declared to stand in for it.  An executor shares the items; the bytes do not depend on it.

    Raises ExportError for an unknown format, dialect, purpose or profile, for an item that the
    format refuses, and for a path that cannot be written; then `path` is as it was.
    """
    f = FORMATS[_listed(format, FORMATS, "exporting")]
    dialect = _listed(math, f.abilities.mathematics, f"{format}: mathematics")
    use = _listed(purpose, f.abilities.purposes, f"{format}: purpose")
    _listed(profile, PROFILES, f"{format}: profile")
    carried = [form for form, cell in f.abilities.forms.items() if cell.does == "carries"]
    fitting = fitted_release(release, format, carried, profile, f.abilities.by_places)
    with Package(path, executor) as package:
        counted = f.write(fitting, package, dialect, use)
    with path.open("rb") as file:
        digest = file_digest(file, "sha256").hexdigest()
    counts = tuple(replace(c, group=g) for c, g in zip(counted, release.groups, strict=True))
    return Written(
        format=format,
        file=path.name,
        size=path.stat().st_size,
        sha256=digest,
        counts=counts,
        math=dialect,
        purpose=use,
        profile=profile,
    )


def _listed(name: _Name | None, names: Iterable[_Name], where: str) -> _Name:
    """The name, or the first of the names if None; ExportError for a name not among them."""
    names = tuple(names)
    if name is None:
        return names[0]
    if name not in names:
        raise ExportError(
            worded(
                "{where}: expected one of {names}; got {name}",
                where=where,
                names=", ".join(names),
                name=name,
            )
        )
    return name
