"""Compiling sources in tests: with each engine that a contributor may have."""

import re
import subprocess
import zipfile
from pathlib import Path
from shutil import which

from itembank.pipeline.printing import surroundings

COMPLAINT = re.compile(r"^(?:(?:Over|Under)full.*|.*[Ww]arning:.*|Missing character.*|! .*)$", re.M)


def missing(*names: str) -> str:
    """Why engines cannot be used here; "" if they can."""
    found = [name for name in names if which(name) is None]
    return f"{' and '.join(found)} not installed" if found else ""


def unpacked(package: Path, folder: Path) -> list[str]:
    """The documents of a package, unpacked into a folder."""
    with zipfile.ZipFile(package) as z:
        z.extractall(folder)
        return [n for n in z.namelist() if re.match(r"(questions|sheets|key)-.*\.tex\Z", n)]


def complaints(engine: str, folder: Path, document: str, runs: int = 2) -> list[str]:
    """What an engine says is wrong with a document: errors, warnings, boxes, missing characters."""
    for _run in range(runs):
        done = subprocess.run(
            [engine, "-no-shell-escape", "-interaction=nonstopmode", "-halt-on-error", document],
            cwd=folder, env=surroundings(), stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=120, check=False,
        )  # fmt: skip
    log = (folder / document).with_suffix(".log").read_text("utf-8", "replace")
    return [
        *COMPLAINT.findall(log),
        *([f"ended with {done.returncode}"] if done.returncode else []),
    ]
