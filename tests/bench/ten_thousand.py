"""A large pool to packages: peak memory, and what a second core saves.

    python -m tests.bench.ten_thousand [ITEMS] [JOBS] [FORMAT...]

Draws, proves, stores and exports a pool of about ITEMS items through a bank in a temporary file,
and audits every package; prints the time of each stage, the peak memory of the main process and
of the largest other, the seconds of CPU of the one and of the others, and how many times longer it
all took than merely serialising and zipping the parsed documents of the packages with bare lxml and
zipfile.  Run it with 1 and with 2 jobs, and with 1,000 and 10,000 items.  Run by hand; figures
stand in DEVELOPERS.md.
"""

import resource
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

from lxml import etree

from itembank.bank import open_bank
from itembank.cli.arguments import workers
from itembank.kinds.table import SIGNATURES
from itembank.spec import FamilyShelf, Pool, load_pool
from itembank.terms import draw, export

FAMILIES = {
    "linear-wide": """
id: linear-wide
version: 1
title: Linear congruence with one solution
problem: linear
outcomes: [linear]
level: easy
parameters:
  m: {integer: [17, 900]}
  a: {integer: [3, m - 2]}
  b: {integer: [2, m - 1]}
where: ["gcd(a, m) == 1", "b % a != 0"]
given: {congruence: a*x = b, modulus: m}
ask: the solution
""",
    "quadratic-wide": """
id: quadratic-wide
version: 1
title: Quadratic congruence modulo a prime
problem: polynomial
outcomes: [quadratic]
level: medium
parameters:
  p: {prime: [11, 400]}
  b: {integer: [3, p - 2]}
  c: {integer: [2, p - 1]}
where: ["not is_square(b^2 - 4*c)", "solutions == 2"]
given: {congruence: x^2 + b*x + c = 0, modulus: p}
ask: all solutions
forms: [list]
""",
    "prime-powers-wide": """
id: prime-powers-wide
version: 1
title: Quadratic congruence, modulus with two prime powers
problem: polynomial
outcomes: [lifting]
level: difficult
parameters:
  p: {one of: [3, 5, 7]}
  q: {prime: [11, 60]}
  b: {integer: [1, 90]}
  c: {integer: [1, 90]}
where: ["not is_square(b^2 - 4*c)", "solutions == 4", "no singular root"]
given: {congruence: x^2 + b*x + c = 0, modulus: p^2*q}
ask: all solutions
forms: [select all, select one]
""",
}


def pool_of(items: int, folder: Path) -> Pool:
    paths = {}
    for name, text in FAMILIES.items():
        paths[name] = folder / f"{name}.yaml"
        paths[name].write_text(text, encoding="utf-8")
    each = items // len(FAMILIES)
    entries = "".join(f"  - {{family: {name}, variants: {each}}}\n" for name in FAMILIES)
    path = folder / "large.yaml"
    path.write_text(
        f"id: large\ntitle: A large pool\ncourse: NT 210\nseed: large\nitems:\n{entries}",
        encoding="utf-8",
    )
    return load_pool(path, FamilyShelf(paths, SIGNATURES))


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def bare_seconds(package: Path) -> float:
    """To serialise and zip what a package holds; to read and parse it does not count."""
    spent = 0.0
    with (
        zipfile.ZipFile(package) as source,
        zipfile.ZipFile(package.with_suffix(".bare"), "w", zipfile.ZIP_DEFLATED) as copy,
    ):
        for name in source.namelist():
            root = etree.fromstring(source.read(name), etree.XMLParser(huge_tree=True))
            start = time.perf_counter()
            copy.writestr(name, etree.tostring(root, encoding="utf-8", xml_declaration=True))
            spent += time.perf_counter() - start
    return spent


def cpu(who: int) -> float:
    used = resource.getrusage(who)
    return used.ru_utime + used.ru_stime


def megabytes(who: int) -> int:
    return resource.getrusage(who).ru_maxrss // 1024


def main() -> None:
    items = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    jobs = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    formats = tuple(sys.argv[3:]) or ("qti21",)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pool = pool_of(items, folder)
        bank = open_bank(str(folder / "bank.db"), create=True)
        with workers(jobs) as executor:
            drawn = seconds(lambda: draw.draw(bank, pool, "2027-spring", executor=executor))
            after_draw = megabytes(resource.RUSAGE_SELF)
            written = seconds(
                lambda: export.export(
                    bank, "large", "2027-spring", folder, formats, executor=executor
                )
            )
        main_peak, other_peak = map(megabytes, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
        main_cpu, others_cpu = map(cpu, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
        bare = sum(map(bare_seconds, folder.glob("*.zip")))
        size = (folder / "bank.db").stat().st_size // 2**20
    print(
        f"{items} items, {jobs} jobs, {', '.join(formats)}: draw, prove, compose, store "
        f"{drawn:.1f} s; export and audit {written:.1f} s; together {drawn + written:.1f} s; "
        f"bare lxml and zipfile {bare:.1f} s, ratio {(drawn + written) / bare:.0f}; "
        f"peak {after_draw} MB after the draw, {main_peak} MB in all, "
        f"{other_peak} MB in the largest other process; CPU {main_cpu:.1f} s in the main process, "
        f"{others_cpu:.1f} s in others; bank {size} MB"
    )


if __name__ == "__main__":
    main()
