"""Pools live through six terms, three academic years: some shipped ones in one bank, a small one in
either database.  `tests/bench/six_terms.py` takes all shipped ones through both, to their packages.
"""

from hashlib import sha256
from pathlib import Path

from itembank.bank import open_bank
from itembank.spec import library, load_pool
from itembank.terms import draw, export

TERMS = [f"{year}-{half}" for year in (2027, 2028, 2029) for half in ("spring", "autumn")]


CIPHERS = ("ciphers-homework", "keys-quiz", "cryptography-final")


def test_the_pools_of_a_course_have_all_they_ask_for_in_each_of_six_terms(shelf, tmp_path):
    """Together, as the course uses them: what one pool has used rests for the others too."""
    pools = [load_pool(library() / "pools" / f"{name}.yaml", shelf) for name in CIPHERS]
    bank = open_bank(str(tmp_path / "bank.db"), create=True)

    for term in TERMS:
        for pool in pools:
            drawn = draw.draw(bank, pool, term)
            assert drawn.total == sum(entry.variants for entry in pool.entries), (term, pool.id)


SMALL = (
    "  - {family: square-roots-power-of-two, variants: 20}\n"
    "  - {family: units-listed, variants: 3}\n"
)


def test_both_databases_leave_the_same_bytes_over_six_terms(pool_of, tmp_path, postgresql_place):
    """48 roots at 20 a term, which rest for a term: from the third term on they come again."""
    pool = pool_of(SMALL, rests="1")
    places = {"sqlite": str(tmp_path / "bank.db"), "postgresql": postgresql_place}

    left = {name: lived(place, pool, tmp_path / name) for name, place in places.items()}

    assert left["sqlite"] == left["postgresql"]
    files, reused = left["sqlite"]
    assert len(files) == 12, "a package and a load card a term"
    assert reused == [0, 0, 12, 20, 20, 20]


def lived(place: str, pool, folder: Path) -> tuple[dict[str, str], list[int]]:
    """The hashes of what six terms leave, and how many roots of each were used before."""
    folder.mkdir()
    bank, reused = open_bank(place, create=True), []
    for term in TERMS:
        reused.append(draw.draw(bank, pool, term).reused["square-roots-power-of-two"])
        export.export(bank, pool.id, term, folder, ("cc13",))
    return {p.name: sha256(p.read_bytes()).hexdigest() for p in sorted(folder.iterdir())}, reused
