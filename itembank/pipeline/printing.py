"""Documents of a LaTeX package, compiled: in an empty folder, with no command of a shell.

The engine is the first of _ENGINES that is on this machine.  It runs as often as pages need to be
counted, within a budget of time, and may read and write in its folder alone.  What it finds wrong
is one line; nothing of a document that did not compile is left.

Source: pdfTeX manual and `texmf.cnf` (openin_any, openout_any, -no-shell-escape); SOURCE_DATE_EPOCH
(reproducible-builds.org), which both engines take for the clock.
"""

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

from itembank.audit.container import Container
from itembank.values.errors import ExportError
from itembank.values.worded import worded

_ENGINES = ("pdflatex", "lualatex")

_RUNS = 2
"""The second has the number of the last page."""

BUDGET = 600
"""Seconds for one run: a pile of 2000 copies takes about half of them."""

_DOCUMENT = re.compile(r"(questions|sheets|key)-[A-Za-z0-9_-]+\.tex")

_ERROR = re.compile(r"^(?:\./)?([\w.-]+\.tex:\d+: .*)$|^! (.*)$", re.M)


def engine() -> str:
    """The engine of this machine; ExportError where there is none."""
    for name in _ENGINES:
        if shutil.which(name):
            return name
    raise ExportError(
        worded(
            "--pdf: expected {engines} on this machine, found neither; leave --pdf out, "
            "and compile the sources of the package where there is one",
            engines=" or ".join(_ENGINES),
        )
    )


def pdf_names(release: str, purpose: str | None) -> list[str]:
    """The PDF files of a release of this name: what is handed out, and the key."""
    first = "sheets" if purpose == "quiz" else "questions"
    return [f"{release}-{first}.pdf", f"{release}-key.pdf"]


def pdfs(package: Path, using: str = "") -> Iterator[tuple[str, bytes]]:
    """The documents of a package and what they compile to, the questions before the key.

    Raises ExportError for a document that does not compile, with its first error.
    """
    name = using or engine()
    with tempfile.TemporaryDirectory() as place, Container(package) as container:
        folder = Path(place)
        for member in container.members:
            (folder / member).write_bytes(b"".join(container.chunks(member)))
        documents = [member for member in container.members if _DOCUMENT.fullmatch(member)]
        for document in sorted(documents, key=lambda d: d.startswith("key-")):
            yield document.partition("-")[0], _compiled(folder, document, name)


def _compiled(folder: Path, document: str, name: str) -> bytes:
    """The PDF of a document in a folder of its own."""
    for _run in range(_RUNS):
        try:
            done = subprocess.run(
                [name, "-no-shell-escape", "-interaction=nonstopmode", "-halt-on-error",
                 "-file-line-error", document],
                cwd=folder, env=surroundings(), stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=BUDGET, check=False,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            raise ExportError(
                worded(
                    "--pdf: {document}: expected {name} to end within {budget} seconds; ask for "
                    "fewer copies",
                    document=document,
                    name=name,
                    budget=BUDGET,
                )
            ) from None
        if done.returncode:
            said = _ERROR.search(done.stdout.decode("utf-8", "replace"))
            why = (
                (said[1] or said[2])
                if said
                else worded("{name} ended with {returncode}", name=name, returncode=done.returncode)
            )
            raise ExportError(
                worded(
                    "--pdf: {document}: expected a document that compiles, got: {why}",
                    document=document,
                    why=why,
                )
            )
    return (folder / document).with_suffix(".pdf").read_bytes()


def surroundings() -> dict[str, str]:
    """The surroundings of a run: no clock, no file but those of the folder and of LaTeX itself."""
    return {
        **os.environ,
        "SOURCE_DATE_EPOCH": "315532800",
        "FORCE_SOURCE_DATE": "1",
        "openin_any": "p",
        "openout_any": "p",
        "TEXINPUTS": ".:",
        "max_print_line": "1000",
    }
