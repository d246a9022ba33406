"""What `itembank check` takes, against importing sympy and against loading the command alone.

CPU seconds (user and system) of whole processes on one core: the shipped library against
`import sympy`, and single families against loading what `check` imports, all in one run. By hand:

    python -m tests.bench.check_against_sympy 5
"""

import sys
from statistics import median

from tests.bench.start import ROOT, RUN, cpu_seconds

LOADED = [sys.executable, "-c", "import itembank.cli.check, itembank.pipeline.appraisal"]
SYMPY = [sys.executable, "-c", "import sympy"]
EVERY = 10
"""Of so many families one is checked alone."""


def middle(command: list[str], rounds: int) -> float:
    cpu_seconds(command, check=False)
    return median(cpu_seconds(command, check=False) for _ in range(rounds))


def main(rounds: int) -> None:
    sympy = middle(SYMPY, rounds)
    library = cpu_seconds([*RUN, "check", "specs", "--jobs", "1"], check=False)
    print(f"import sympy {sympy:.2f} s; check specs {library:.1f} s, {library / sympy:.0f} times")
    start = middle(LOADED, rounds)
    files = sorted((ROOT / "specs/families").glob("*/*.yaml"))[::EVERY]
    found = sorted((middle([*RUN, "check", str(path)], 1), path.stem) for path in files)
    for seconds, name in found:
        print(f"{name:34} {seconds:.2f} s, {seconds / start:.1f} times loading it")
    print(f"loading {start:.2f} s; in the middle {found[len(found) // 2][0] / start:.1f} times")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
