"""The shipped pools over six terms, in SQLite and in PostgreSQL: do both give the same bytes?

    python -m tests.bench.six_terms [POOL...]

Each pool of the library (or these alone) is drawn and exported in cc13 for six terms in one bank of
either kind; told are the items, how many of them were new and used before, repeats within the rest
of a pool, and whether all packages and load cards are the same bytes.  PostgreSQL is started from
the programs of this machine.  Run by hand; what it says stands in DEVELOPERS.md.
"""

import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from hashlib import sha256
from pathlib import Path

from sqlalchemy import create_engine, text

from itembank.bank import open_bank
from itembank.kinds.table import SIGNATURES
from itembank.spec import FamilyShelf, find_families, library, load_pool
from itembank.terms import draw, export

TERMS = [f"{year}-{half}" for year in (2027, 2028, 2029) for half in ("spring", "autumn")]

REPEATS = """
SELECT count(*) FROM uses AS one JOIN uses AS other ON one.problem = other.problem
WHERE one.term < other.term AND other.term - one.term <= {longer}
"""


def lived(place: str, folder: Path, names: Sequence[str]) -> dict[str, str]:
    """The hash of each file that six terms leave; what was drawn is told."""
    shelf = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
    paths = sorted((library() / "pools").glob("*.yaml"))
    pools = [load_pool(path, shelf) for path in paths if not names or path.stem in names]
    bank = open_bank(place, create=True)
    items = fresh = reused = 0
    for term in TERMS:
        for pool in pools:
            drawn = draw.draw(bank, pool, term)
            fresh += sum(drawn.fresh.values())
            reused += sum(drawn.reused.values())
            items += drawn.total
            export.export(bank, pool.id, term, folder, ("cc13",))
        print(f"{bank.name}: {term}: {items} items so far", flush=True)
    longer = "CASE WHEN one.rests > other.rests THEN one.rests ELSE other.rests END"
    with bank.reading() as connection:
        repeats = connection.scalar(text(REPEATS.format(longer=longer)))
    print(
        f"{bank.name}: {len(pools)} pools, {len(TERMS)} terms, {items} items: {fresh} new, "
        f"{reused} used before and rested, {repeats} repeats within their rest"
    )
    return {
        path.name: sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.iterdir())
        if path.is_file()
    }


def main(names: Sequence[str]) -> None:
    from tests.bank.conftest import postgresql_programs, started

    programs = postgresql_programs()
    if programs is None:
        sys.exit("PostgreSQL is not installed here (initdb, pg_ctl)")
    with tempfile.TemporaryDirectory() as folder, started(programs) as server:
        rooms = [Path(folder, name) for name in ("sqlite", "postgresql")]
        for room in rooms:
            room.mkdir()
        with create_engine(server, isolation_level="AUTOCOMMIT").connect() as connection:
            connection.execute(text("CREATE DATABASE six_terms"))
        url = server.set(database="six_terms").render_as_string(hide_password=False)
        with ProcessPoolExecutor(2) as both:
            places = (str(Path(folder, "bank.db")), url)
            one, other = both.map(lived, places, rooms, (names, names))
    same = sum(one.get(name) == digest for name, digest in other.items())
    print(f"{len(one)} files and {len(other)}: {same} of the same name and the same bytes")
    if one != other:
        sys.exit(1)


if __name__ == "__main__":
    main(sys.argv[1:])
