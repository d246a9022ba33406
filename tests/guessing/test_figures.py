"""Pools that are known to be guessable are told so, and even ones are not."""

from fractions import Fraction

from itembank.guessing import bounds, telling
from itembank.guessing.figures import Tally
from tests.guessing.handmade import chosen, question, ticked


def quadratic(n: int) -> tuple[str, list[tuple[int, int]]]:
    """(x - a)(x - b) modulo a prime, written out, and three pairs with the same sum a + b."""
    p, a, b = 97, 3 + n, 40 + 2 * n
    row = f"x^2+{-(a + b) % p}*x+{a * b % p}=0 (mod {p})"
    return row, [((a + k) % p, (b - k) % p) for k in (0, 5, 9)]


def labelled(pair: tuple[int, int]) -> str:
    return "{" + ", ".join(map(str, sorted(pair))) + "}"


def test_pools_in_which_the_partner_is_missing_are_guessed():
    """In every second question one wrong option is closed as the key is: (1 + 1/2) / 2."""
    tally = Tally("select one")
    for n in range(40):
        row, (key, other, third) = quadratic(n)
        fourth = (other[0], third[1])
        unmatched = other if n % 2 else (other[0], key[1])
        options = [key, unmatched, (third[0], other[1]), fourth]
        turned = options[n % 4 :] + options[: n % 4]
        place = turned.index(key) + 1
        tally.meet([(chosen(*map(labelled, turned), row=row), (f"o{place}",))])
    found = tally.figures()

    closed = "closed under the symmetry of the stem"
    (n,) = (i for i, s in enumerate(telling_names()) if s == closed)
    assert tally.scores[n] / 40 == Fraction(3, 4)
    assert found.best is not None and found.best.share >= Fraction(3, 4)
    assert "the best guess without arithmetic, above chance" in names_broken(found)


def telling_names() -> list[str]:
    from itembank.guessing import strategies

    return [s.name.template for s in strategies.for_form("select one")]


def names_broken(found) -> list[str]:
    return [bound.name for bound, _value in bounds.broken(found)]


def test_when_every_option_is_closed_the_partner_tells_nothing():
    tally = Tally("select one")
    for n in range(40):
        row, pairs = quadratic(n)
        pairs.append(((pairs[0][0] + 14) % 97, (pairs[0][1] - 14) % 97))
        turned = pairs[n % 4 :] + pairs[: n % 4]
        place = turned.index(pairs[0]) + 1
        tally.meet([(chosen(*map(labelled, turned), row=row), (f"o{place}",))])

    (n,) = (
        i for i, s in enumerate(telling_names()) if s == "closed under the symmetry of the stem"
    )
    assert tally.scores[n] / 40 == Fraction(1, 4)


def test_pairs_alone_in_the_boxes_are_ticked():
    """The only partners are the key: ticking them is always right."""
    tally = Tally("select all")
    for n in range(20):
        row, (key, other, third) = quadratic(n)
        boxes = sorted((*key, other[0], third[0]))
        names = tuple(f"o{boxes.index(x) + 1}" for x in sorted(key))
        tally.meet([(ticked(*map(str, boxes), row=row), names)])
    found = tally.figures()

    assert found.best is not None and found.best.share == 1
    assert found.settled == Fraction(1, 4)
    assert found.sizes == ((2, 20),)
    assert names_broken(found) == [
        "the best guess without arithmetic",
        "substitutions that settle it, for each box",
        "the commonest number of solutions",
    ]


def entry(key: int) -> tuple:
    return question("integer", (), "", "the value"), (key,)


def test_the_commonest_key_of_many_and_of_two():
    many, two = Tally("integer"), Tally("integer")
    for n in range(100):
        many.meet([entry(min(n // 20, 3))])
        two.meet([entry(n % 5 // 3)])

    assert many.figures().commonest == Fraction(2, 5)
    assert names_broken(many.figures()) == ["the commonest key"]
    assert two.figures().commonest == Fraction(3, 5)
    assert names_broken(two.figures()) == []


def test_claims_that_are_mostly_true():
    tally = Tally("solvable or not")
    for n in range(100):
        asked = question("solvable or not", (), "", "whether any")
        tally.meet([(asked, ("true" if n % 5 else "false",))])

    assert tally.figures().true == Fraction(4, 5)
    assert names_broken(tally.figures()) == [
        "claims that are true",
        "the best guess at true or false, above chance",
    ]


def test_claims_that_their_numbers_give_away():
    """True where the last number is even, though as many are true as are false."""
    tally = Tally("solvable or not")
    for n in range(100):
        asked = question("solvable or not", (), "", "whether any", numbers=(9, n % 2))
        tally.meet([(asked, ("false" if n % 2 else "true",))])

    assert tally.figures().true == Fraction(1, 2)
    assert names_broken(tally.figures()) == ["the best guess at true or false, above chance"]


def test_stages_and_arrangements_that_repeat():
    guided, order = Tally("guided"), Tally("order")
    stage = question("list", (), "", "a stage")
    lines = question("order", ("Split: 35", "Solve: 3", "Check: 8"), "", "the steps")
    for n in range(10):
        guided.meet([(stage, (n,)), (stage, (n % 2,))])
        order.meet([(lines, ("o2", "o1", "o3") if n < 6 else ("o1", "o3", "o2"))])

    assert guided.figures().stage == Fraction(1, 2)
    assert order.figures().arranged == Fraction(3, 5)
    assert names_broken(guided.figures()) == ["the commonest answer of a stage"]
    assert names_broken(order.figures()) == ["the commonest arrangement"]


def test_no_solution_as_a_living_answer():
    """Of 20 keys 1 is "no solutions": 5 %, which is enough; none is not."""
    for nones, broken in ((1, []), (0, ["no solution, where students may say so"])):
        tally = Tally("list")
        for n in range(20):
            asked = question("list", (), "", "all solutions", offers_none=True)
            tally.meet([(asked, () if n < nones else (*range(n % 3 + 1), n + 9))])
        assert names_broken(tally.figures()) == broken


def test_a_way_shorter_than_the_method():
    """4 solves and is the fifth number tried: 5 of 8 steps are enough, of 9 they are not."""
    row = "x^2+3*x+2=0 (mod 30)"
    for steps, share in ((8, 0), (9, 1)):
        tally = Tally("integer")
        tally.meet([(question("integer", (), row, "the least"), (4,))], steps)
        assert tally.figures().shortcuts == share


def test_a_line_for_the_terminal():
    tally = Tally("solvable or not")
    tally.meet([(question("solvable or not", (), "", "whether any"), ("true",))])

    assert (
        telling.summary(tally.figures()) == "solvable or not: chance 50 %, best guess 100 % (true)"
    )
    assert list(telling.shortfalls(tally.figures())) == [
        "claims that are true: 100 %, expected 40 % to 60 %",
        "the best guess at true or false, above chance: 50 %, expected at most 10 %",
    ]
