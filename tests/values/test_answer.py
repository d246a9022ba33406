"""The set of residues against sets of integers, and where no list is made."""

import sys
from itertools import product
from math import lcm
from random import Random

import pytest

from itembank.languages.saying import say
from itembank.values.answer import (
    Absent,
    Class,
    Pairs,
    Part,
    ResidueSet,
    TooMany,
    Truth,
    Value,
    claimed,
    joined,
    overlap,
)


def expanded(m: int, classes: tuple[Class, ...]) -> set[int]:
    return {x for x in range(m) for r, d in classes if x % d == r}


def disjoint_classes(chance: Random, m: int) -> tuple[Class, ...]:
    """Some disjoint classes modulo divisors of m."""
    divisors = [d for d in range(1, m + 1) if m % d == 0]
    classes: list[Class] = []
    taken: set[int] = set()
    for _ in range(chance.randrange(5)):
        d = chance.choice(divisors)
        r = chance.randrange(d)
        residues = set(range(r, m, d))
        if not residues & taken:
            taken |= residues
            classes.append((r, d))
    return tuple(classes)


def drawn(count: int) -> list[tuple[ResidueSet, set[int]]]:
    """Sets in one, two or three parts, with the residues that they hold."""
    chance = Random("answers")
    found = []
    for _ in range(count):
        moduli = chance.choice([(36,), (1,), (30,), (4, 9), (8, 15), (5, 7, 6), (9, 4, 5)])
        parts = [Part(m, disjoint_classes(chance, m)) for m in moduli]
        m = lcm(*moduli)
        held = {
            x
            for x in range(m)
            if all(x % p.modulus in expanded(p.modulus, p.classes) for p in parts)
        }
        found.append((ResidueSet.product(parts), held))
    return found


CASES = drawn(300)


def test_a_set_in_parts_holds_the_residues_that_lie_in_every_part() -> None:
    for answer, held in CASES:
        assert answer.residues() == tuple(sorted(held))
        assert answer.count == len(answer) == len(held)
        assert bool(answer) == bool(held)
        assert (answer.least(), answer.largest()) == (
            min(held, default=None),
            max(held, default=None),
        )
        assert {x for x in range(answer.modulus) if x in answer} == held
    assert sum(not held for _, held in CASES) > 20 and sum(len(h) > 5 for _, h in CASES) > 50


def test_every_integer_of_a_class_is_in_the_set_and_nothing_else_is() -> None:
    answer = ResidueSet.of(15, [(2, 5), (0, 15)])

    assert [x for x in range(-15, 30) if x in answer] == [
        -15,
        -13,
        -8,
        -3,
        0,
        2,
        7,
        12,
        15,
        17,
        22,
        27,
    ]
    assert "2" not in answer and 2.0 not in answer


def test_the_classes_of_a_product_are_disjoint_and_cover_the_set() -> None:
    for answer, held in CASES:
        classes = answer.classes()
        listed = [x for r, d in classes for x in range(r, answer.modulus, d)]

        assert sorted(listed) == sorted(held)
        assert answer.class_count == len(classes)
        assert list(classes) == sorted(classes)
        assert set(answer.sample_classes(3)) <= set(classes)
        assert len(answer.sample_classes(3)) == min(3, len(classes))


def test_equality_is_that_of_the_residues_however_they_are_held() -> None:
    for (a, held_a), (b, held_b) in product(CASES[:60], CASES[:60]):
        same = a.modulus == b.modulus and held_a == held_b
        assert (a == b) == same
        if same:
            assert hash(a) == hash(b)
    for answer, held in CASES:
        whole = ResidueSet.of(answer.modulus, [(x, answer.modulus) for x in held])
        assert answer == whole and hash(answer) == hash(whole)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (ResidueSet.of(6, [(0, 2)]), ResidueSet.of(6, [(0, 6), (2, 6), (4, 6)])),
        (ResidueSet.of(6, [(1, 6)]), ResidueSet.product([Part(2, ((1, 2),)), Part(3, ((1, 3),))])),
        (ResidueSet.of(12, []), ResidueSet.product([Part(4, ()), Part(3, ((1, 3),))])),
    ],
)
def test_the_same_set_held_in_two_ways_is_one_answer(one: ResidueSet, other: ResidueSet) -> None:
    assert one == other


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (ResidueSet.of(6, [(0, 2)]), ResidueSet.of(12, [(0, 2)])),
        (ResidueSet.of(6, [(0, 2)]), ResidueSet.of(6, [(1, 2)])),
        (ResidueSet.of(6, [(0, 3), (1, 6)]), ResidueSet.of(6, [(0, 2)])),
        (ResidueSet.of(6, []), ResidueSet.of(3, [])),
        (ResidueSet.of(6, []), ()),
    ],
)
def test_different_sets_or_moduli_are_different_answers(one: ResidueSet, other: object) -> None:
    assert one != other


# ------------------------------------------------------------ too large to list


def test_a_class_modulo_a_large_power_is_counted_without_a_list() -> None:
    answer = ResidueSet.of(3**40, [(0, 3**20)])

    assert answer.count == 3**20
    assert (answer.least(), answer.largest()) == (0, 3**40 - 3**20)
    assert 5 * 3**20 in answer and 3**20 + 1 not in answer
    with pytest.raises(TooMany, match=r"^3486784401 residues, more than 10000$"):
        answer.residues()


def test_a_count_beyond_the_largest_machine_size_is_exact() -> None:
    answer = ResidueSet.product([Part(3**90, ((0, 3**20),)), Part(2**90, ((1, 2),))])

    assert answer.count == 3**70 * 2**89 > sys.maxsize
    with pytest.raises(OverflowError):
        len(answer)
    assert answer


def test_many_classes_in_parts_are_counted_and_refused_as_a_list() -> None:
    primes = [11, 13, 17, 19, 23, 29, 31, 37, 41, 43]
    answer = ResidueSet.product([Part(p, tuple((r, p) for r in range(8))) for p in primes])

    assert answer.count == answer.class_count == 8**10
    assert 5 in answer and 10 not in answer
    assert len(answer.sample_classes(4)) == 4
    with pytest.raises(TooMany, match=r"^1073741824 classes, more than 10000$"):
        answer.classes()
    with pytest.raises(TooMany):
        answer.residues()


def test_a_limit_of_ones_own_is_kept() -> None:
    answer = ResidueSet.of(7, [(r, 7) for r in range(5)])

    assert len(answer.residues(limit=5)) == 5
    with pytest.raises(TooMany, match=r"^5 residues, more than 4$"):
        answer.residues(limit=4)


# ------------------------------------------------------------ what is no class


@pytest.mark.parametrize(
    ("modulus", "classes", "message"),
    [
        (0, (), "a modulus is at least 1, got 0"),
        (-3, (), "a modulus is at least 1, got -3"),
        (12, ((0, 5),), "(0 mod 5) is no class modulo 12"),
        (12, ((4, 4),), "(4 mod 4) is no class modulo 12"),
        (12, ((-1, 4),), "(-1 mod 4) is no class modulo 12"),
        (12, ((0, 0),), "(0 mod 0) is no class modulo 12"),
        (12, ((0, 24),), "(0 mod 24) is no class modulo 12"),
    ],
)
def test_what_is_no_class_is_refused(
    modulus: int, classes: tuple[Class, ...], message: str
) -> None:
    with pytest.raises(ValueError) as raised:
        Part(modulus, classes)
    assert str(raised.value) == message


def test_parts_whose_moduli_share_a_factor_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^the moduli \[4, 6\] are not pairwise coprime$"):
        ResidueSet.product([Part(4, ()), Part(6, ())])


def test_the_product_of_no_parts_is_everything_modulo_one() -> None:
    assert ResidueSet.product([]).residues() == (0,)


# ------------------------------------------------------------ pieces


def test_overlap_counts_the_residues_that_two_classes_share() -> None:
    classes = [(r, d) for d in (1, 2, 3, 4, 6, 12) for r in range(d)]
    for c, e in product(classes, classes):
        assert overlap(c, e, 12) == len(expanded(12, (c,)) & expanded(12, (e,)))


def test_joined_is_the_class_of_what_lies_in_each() -> None:
    for r, s, t in product(range(4), range(5), range(9)):
        x, d = joined([(r, 4), (s, 5), (t, 9)])
        assert d == 180 and (x % 4, x % 5, x % 9) == (r, s, t) and 0 <= x < 180


@pytest.mark.parametrize(
    ("answer", "listed"),
    [
        (ResidueSet.of(15, [(2, 5)]), (2, 7, 12)),
        (ResidueSet.of(15, []), ()),
        (Value(-1), (-1,)),
        (Truth(True), (1,)),
        (Truth(False), (0,)),
        (Pairs(5, ((1, 2), (3, 4))), ((1, 2), (3, 4))),
        (Absent(say("6 has no inverse modulo 9.")), ()),
    ],
)
def test_every_answer_is_listed_as_an_option_claims_it(answer, listed) -> None:
    assert claimed(answer) == listed
