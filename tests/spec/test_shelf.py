"""Families by id, and many files at once."""

import pytest

from itembank.spec import FamilyShelf, find_families, library, load_specs
from itembank.spec.library import library as library_of
from itembank.values.errors import ItemBankError, SpecError
from tests.spec.samples import COUNT, KINDS, POOL, QUADRATIC, SYSTEM, written


def folders(root, *names):
    for name in names:
        (root / name).mkdir(parents=True)
    return [root / name for name in names]


def test_families_are_found_in_folders_below_by_the_names_of_their_files(tmp_path):
    lifting, counting = folders(tmp_path, "families/lifting", "families/counting")
    quadratic, count = written(lifting, QUADRATIC), written(counting, COUNT)
    (lifting / "notes.txt").write_text("not a spec")

    assert find_families([tmp_path / "families"]) == {
        "count-square-roots": count,
        "quadratic-two-prime-powers": quadratic,
    }
    assert find_families([lifting, tmp_path]).keys() == find_families([tmp_path]).keys()


def test_two_families_of_one_id_are_a_fault(tmp_path):
    one, other = folders(tmp_path, "one", "other")
    first, second = written(one, COUNT), written(other, COUNT)

    with pytest.raises(SpecError) as e:
        find_families([one, other])

    assert str(e.value) == f"{second}:1:1: the id 'count-square-roots' is that of {first} too"


def test_a_shelf_reads_a_file_when_its_family_is_asked_for_and_once(tmp_path):
    broken = written(tmp_path, QUADRATIC.replace("version: 3", "version: three"))
    written(tmp_path, COUNT)
    shelf = FamilyShelf(find_families([tmp_path]), KINDS)

    assert sorted(shelf) == ["count-square-roots", "quadratic-two-prime-powers"]
    assert shelf["count-square-roots"] is shelf["count-square-roots"]
    for _ in range(2):
        with pytest.raises(SpecError, match="version: expected an integer"):
            shelf["quadratic-two-prime-powers"]
        broken.unlink(missing_ok=True)
    assert "no-such-family" not in shelf
    with pytest.raises(KeyError):
        shelf["no-such-family"]


def test_specs_of_a_folder_are_families_and_pools(tmp_path):
    families, pools = folders(tmp_path, "families", "pools")
    for text in (QUADRATIC, COUNT, SYSTEM):
        written(families, text)
    written(pools, POOL)

    found, found_pools = load_specs([tmp_path], KINDS)

    assert set(found) == {"quadratic-two-prime-powers", "count-square-roots", "two-congruences"}
    assert [e.family for e in found_pools["week-5-homework"].entries] == [
        found["quadratic-two-prime-powers"],
        found["count-square-roots"],
    ]


def test_a_pool_alone_finds_its_families_in_the_roots(tmp_path):
    families, pools = folders(tmp_path, "families", "pools")
    for text in (QUADRATIC, COUNT):
        written(families, text)
    path = written(pools, POOL)

    found, found_pools = load_specs([path], KINDS, roots=[families])

    assert found == {}
    assert [e.family.id for e in found_pools["week-5-homework"].entries] == [
        "quadratic-two-prime-powers",
        "count-square-roots",
    ]


def test_the_faults_of_all_files_are_told_once_each(tmp_path):
    families, pools, more = folders(tmp_path, "families", "pools", "pools/more")
    written(families, QUADRATIC.replace("level: medium", "level: hard"))
    written(families, "id: [", "unfinished")
    written(families, COUNT)
    written(pools, POOL.replace("points: 2", "points: 0"))
    written(more, POOL)

    with pytest.raises(SpecError) as e:
        load_specs([tmp_path], KINDS)

    places = [str(f).removeprefix(f"{tmp_path}/").split(": ")[0] for f in e.value.faults]
    assert places == [
        "families/quadratic-two-prime-powers.yaml:6:8",
        "families/unfinished.yaml:1:6",
        "pools/week-5-homework.yaml:1:1",
        "pools/week-5-homework.yaml:8:75",
    ]


# ------------------------------------------------------------ the shipped specs


def test_the_library_is_the_folder_of_the_checkout_or_of_the_wheel(tmp_path):
    package, beside, within = folders(
        tmp_path, "site/itembank", "site/specs/families", "site/itembank/specs/families"
    )

    assert library_of(package) == within.parent
    within.rmdir()
    assert library_of(package) == beside.parent
    beside.rmdir()
    with pytest.raises(ItemBankError) as e:
        library_of(package)
    assert str(e.value) == (
        f"{package / 'specs'}: expected the shipped specs, found none; install the product again"
    )


def test_the_shipped_library_is_found():
    assert (library() / "families").is_dir()
