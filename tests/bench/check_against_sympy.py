"""What `itembank check` takes, against importing sympy and against loading the command alone.

CPU seconds (user and system) of whole processes on one core: the shipped library against
`import sympy`, checked for the first time and again, when all that was without fault is told as it
was; and single families, both ways, against loading what `check` imports, all in one run. By hand:

    python -m tests.bench.check_against_sympy 5
"""

import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from itembank.values.cache import VARIABLE
from tests.bench.start import ENVIRONMENT, ROOT, RUN, cpu_seconds

LOADED = [sys.executable, "-c", "import itembank.cli.check, itembank.pipeline.appraisal"]
SYMPY = [sys.executable, "-c", "import sympy"]
EVERY = 10
"""Of so many families one is checked alone."""


def middle(command: list[str], rounds: int) -> float:
    cpu_seconds(command, check=False)
    return median(cpu_seconds(command, check=False) for _ in range(rounds))


def both(*paths: Path, rounds: int = 1) -> tuple[float, float]:
    """The seconds of a first run, and of later ones with what the first has kept."""
    with TemporaryDirectory() as folder:
        ENVIRONMENT[VARIABLE] = folder
        command = [*RUN, "check", *map(str, paths), "--jobs", "1", "--json"]
        first = cpu_seconds(command, check=False)
        return first, median(cpu_seconds(command, check=False) for _ in range(rounds))


def main(rounds: int) -> None:
    sympy = middle(SYMPY, rounds)
    print(f"import sympy {sympy:.2f} s")
    for run, seconds in zip(("first", "again"), both(Path("specs"), rounds=rounds), strict=True):
        print(f"check specs, {run}: {seconds:.1f} s, {seconds / sympy:.0f} times importing sympy")
    start = middle(LOADED, rounds)
    files = sorted((ROOT / "specs/families").glob("*/*.yaml"))[::EVERY]
    found = sorted((*both(path), path.stem) for path in files)
    for first, again, name in found:
        print(f"{name:34} {first:.2f} s, {first / start:.1f} times loading; again {again:.2f} s")
    middles = (median(seconds) for seconds in list(zip(*found, strict=True))[:2])
    first, again = (seconds / start for seconds in middles)
    print(f"loading {start:.2f} s; in the middle {first:.1f} times, again {again:.1f} times")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
