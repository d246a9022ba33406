"""How long a pile of copies of the final takes, how large it is: `pile.py 200`.

Draws and proves the pool once; then for each format on paper: seconds to write, bytes, seconds to
audit; for LaTeX also seconds to compile sheets and key, and their bytes.  Writes twice, and says
whether the bytes are the same.
"""

import sys
import tempfile
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from time import perf_counter

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.pipeline.printing import pdfs


def main(copies: int) -> None:
    release = making.released(pool_named("final-examination", ()), "2027-spring")
    pile = replace(release, copies=copies)
    print(f"{copies} copies of {sum(g.choose for g in pile.groups)} questions")
    with tempfile.TemporaryDirectory() as folder:
        for format in ("html", "latex"):
            path, again = (Path(folder) / f"{format}-{n}.zip" for n in (1, 2))
            begun = perf_counter()
            written = write_package(format, pile, path, purpose="quiz")
            wrote = perf_counter()
            report = audit_package(path)
            audited = perf_counter()
            write_package(format, pile, again, purpose="quiz")
            same = sha256(path.read_bytes()).digest() == sha256(again.read_bytes()).digest()
            print(
                f"{format}: written in {wrote - begun:.1f} s, {written.size:,} bytes, "
                f"the same again: {same}; audited in {audited - wrote:.1f} s: "
                f"{len(report.items)} questions, clean: {report.clean}"
            )
        begun = perf_counter()
        for name, data in pdfs(path):
            print(f"  {name}: compiled in {perf_counter() - begun:.1f} s, {len(data):,} bytes")
            begun = perf_counter()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
