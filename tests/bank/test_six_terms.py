"""The pools that are shipped live through six terms, three academic years, in one bank."""

from itembank.bank import open_bank
from itembank.spec import library, load_pool
from itembank.terms import draw

TERMS = [f"{year}-{half}" for year in (2027, 2028, 2029) for half in ("spring", "autumn")]


def test_the_shipped_pools_have_all_they_ask_for_in_each_of_six_terms(shelf, tmp_path):
    """Together, as a course uses them: what one pool has used rests for the others too."""
    pools = [load_pool(path, shelf) for path in sorted((library() / "pools").glob("*.yaml"))]
    bank = open_bank(str(tmp_path / "bank.db"), create=True)

    for term in TERMS:
        for pool in pools:
            drawn = draw.draw(bank, pool, term)
            assert drawn.total == sum(entry.variants for entry in pool.entries), (term, pool.id)
