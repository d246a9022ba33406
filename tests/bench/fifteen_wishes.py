"""Ten variants of each of the sixteen wishes, proved, in every format, audited. By hand:

python -m tests.bench.fifteen_wishes
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.pipeline.test_fifteen_wishes import audits, released

TEN = 10


def main() -> None:
    with TemporaryDirectory() as folder:
        release = released(Path(folder), TEN)
        count = sum(len(tuple(group.items)) for group in release.groups)
        print(f"{len(release.groups)} wishes, {count} questions")
        for name, report in audits(release, Path(folder)).items():
            print(f"{name}: {report.count('agreed')} agreed, clean: {report.clean}")


if __name__ == "__main__":
    main()
