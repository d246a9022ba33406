"""How long `itembank solve` takes from the shell, against importing click alone.

Runs of both are paired, the order exchanged each time; of each the CPU seconds (user and system)
of the process and its children, the bytecode written before. Run it by hand on a quiet machine:

    python -m tests.bench.start 20
"""

import os
import resource
import subprocess
import sys
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
CLICK = [sys.executable, "-c", "import click"]
RUN = [sys.executable, "-c", "import sys; from itembank.cli import main; sys.exit(main())"]
COMMANDS = {
    "solve x^2 = 2 mod 7": [*RUN, "solve", "x^2 = 2 mod 7"],
    "solve 3x = 6 mod 15": [*RUN, "solve", "3x = 6 mod 15"],
    "solve x^2 + 9x + 5 = 0 mod 117": [*RUN, "solve", "x^2 + 9x + 5 = 0 mod 117"],
    "solve x = 3 mod 4, x = 5 mod 7": [*RUN, "solve", "x = 3 mod 4, x = 5 mod 7"],
    "solve order of 7 mod 48": [*RUN, "solve", "order of 7 mod 48"],
    "--help": [*RUN, "--help"],
}


ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def cpu_seconds(command: list[str], check: bool = True) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, cwd=ROOT, env=ENVIRONMENT, check=check, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def paired(command: list[str], rounds: int) -> tuple[list[float], list[float]]:
    """Seconds of click and of the command, each pair run in the other order than the one before."""
    cpu_seconds(command)
    ours: list[float] = []
    theirs: list[float] = []
    for i in range(rounds):
        for own in (i % 2 == 0, i % 2 == 1):
            (ours if own else theirs).append(cpu_seconds(command if own else CLICK))
    return theirs, ours


def main(rounds: int) -> None:
    print("milliseconds of CPU: least and median; ratio of the medians to importing click")
    for name, command in COMMANDS.items():
        theirs, ours = paired(command, rounds)
        ratio = median(ours) / median(theirs)
        print(
            f"{name:34} {min(ours) * 1000:6.0f} {median(ours) * 1000:6.0f}   click "
            f"{min(theirs) * 1000:4.0f} {median(theirs) * 1000:4.0f}   {ratio:.1f} times"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
