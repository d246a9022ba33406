"""Ten variants of each of the fifteen wishes, proved, in every format, audited. By hand:

python tests/bench/fifteen_wishes.py
"""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.pipeline.test_fifteen_wishes import audits, released

TEN = 10


def main() -> None:
    with TemporaryDirectory() as folder:
        release = released(Path(folder), TEN)
        count = sum(len(group.items) for group in release.groups)
        print(f"{len(release.groups)} wishes, {count} questions")
        for name, report in audits(release, Path(folder)).items():
            print(f"{name}: {report.count('agreed')} agreed, clean: {report.clean}")


if __name__ == "__main__":
    main()
