"""Claims about congruences: verdicts against trying all residues, words against both."""

import random
import re
from collections import Counter
from functools import cache
from itertools import islice, product
from math import gcd, lcm

import pytest

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.kinds.claim.catalogue import CATALOGUE
from itembank.kinds.claim.kind import Generality, read
from itembank.kinds.claim.solve import Examples
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.second_way.table import decide
from itembank.spec import PoolEntry
from itembank.values.errors import StatementError
from itembank.values.item import SelectOne
from itembank.values.vocabulary import FORMATS
from tests.kinds.telling import rendered
from tests.shipped import FAMILIES as SHIPPED

FAMILIES = ("claims-between-moduli", "claims-about-powers", "claims-about-solutions")

# ------------------------------------------------------------ the verdicts


def python(side):
    """A side as Python reads it: 3a(b + 1) is 3*a*(b + 1)."""
    spaced = re.sub(r"(?<=[\da-z)])(?=[a-z(])", "*", side.replace(" ", ""))
    return spaced.replace("^", "**")


def holds(condition, values):
    if match := re.fullmatch(r"gcd\((.+), (\d+)\) = 1", condition):
        return gcd(eval(python(match[1]), dict(values)), int(match[2])) == 1
    if match := re.fullmatch(r"(.+) has exactly (\d+) solutions", condition):
        m = int(match[1].split("mod")[1])
        return sum(holds(match[1], {**values, "x": x}) for x in range(m)) == int(match[2])
    relation, m = condition.split(" mod ")
    left, right = re.split(" !?= ", relation)
    equal = (eval(python(left), dict(values)) - eval(python(right), dict(values))) % int(m) == 0
    return equal != ("!=" in relation)


def tried(claim, numbers):
    """2, 1 or 0 by trying every residue; None where nothing fits what is assumed."""
    given = [text.format(*numbers) for text in claim.given]
    follows = [text.format(*numbers) for text in claim.follows]
    text = " ".join(given + follows)
    whole = lcm(*map(int, moduli(text)))
    bare = re.sub("mod|gcd|has|exactly|solutions", "", text)
    letters = sorted(set(re.findall("[abcd]", bare)))
    found = set()
    for residues in product(range(whole), repeat=len(letters)):
        values = dict(zip(letters, residues, strict=True))
        if all(holds(g, values) for g in given):
            found.add(any(holds(f, values) for f in follows))
    return None if not found else 1 if len(found) == 2 else 2 if True in found else 0


def moduli(text):
    return [m or n for m, n in re.findall(r"mod (\d+)|, (\d+)\)", text)]


@cache
def drawn(n):
    """Numbers for the n-th claim, small enough that everything can be tried."""
    chance = random.Random(n)
    claim, found = CATALOGUE[n - 1], []
    top = 4 if claim.name == "products-of-classes" else 7 if len(claim.least) > 2 else 10
    for _ in range(60):
        numbers = tuple(chance.randint(low, max(top, low)) for low in claim.least)
        if numbers not in found:
            found.append(numbers)
    return found[:25]


@pytest.mark.parametrize("n", range(1, len(CATALOGUE) + 1))
def test_the_verdict_is_that_of_trying_every_residue(n):
    for numbers in drawn(n):
        problem = Generality(claim=n, numbers=numbers)
        assert problem.solve().answer.value == tried(CATALOGUE[n - 1], numbers), numbers


@pytest.mark.parametrize("n", range(1, len(CATALOGUE) + 1))
def test_the_same_words_are_one_thing_and_another(n):
    """Every claim has two verdicts or three, by its numbers."""
    verdicts = set()
    for numbers in product(*(range(low, 13) for low in CATALOGUE[n - 1].least[:3])):
        rest = CATALOGUE[n - 1].least[3:]
        try:
            problem = Generality(claim=n, numbers=(*numbers, *rest))
            verdicts.add(problem.solve().answer.value)
        except StatementError:
            continue
        if len(verdicts) > 1:
            return
    pytest.fail(f"always {verdicts}")


def test_there_are_25_claims_and_their_names_differ():
    assert len(CATALOGUE) >= 25
    assert len({claim.name for claim in CATALOGUE}) == len(CATALOGUE)
    assert len({(claim.given, claim.follows) for claim in CATALOGUE}) == len(CATALOGUE)


@pytest.mark.parametrize("n", range(1, len(CATALOGUE) + 1))
def test_a_claim_reads_back_and_the_second_way_agrees_with_it_alone(n):
    for numbers in drawn(n)[:10]:
        problem = Generality(claim=n, numbers=numbers)
        assert read(problem.statement) == problem
        right = problem.solve().answer.value
        said = [decide(problem.statement, "the value", v).status for v in (0, 1, 2)]
        assert said == ["agreed" if v == right else "disagreed" for v in (0, 1, 2)]


def test_examples_are_what_they_are_said_to_be():
    seen = Counter()
    for n, claim in enumerate(CATALOGUE, 1):
        for numbers in drawn(n)[:10]:
            solution = Generality(claim=n, numbers=numbers).solve()
            examples = solution.steps[0]
            assert isinstance(examples, Examples)
            for example, true in ((examples.true, True), (examples.false, False)):
                if example is None:
                    continue
                values = dict(example)
                assert all(holds(g.format(*numbers), values) for g in claim.given)
                assert any(holds(f.format(*numbers), values) for f in claim.follows) is true
                seen[solution.answer.value, true] += 1
    assert seen[1, True] > 50 and seen[1, False] > 50 and not seen[2, False] and not seen[0, True]


CARMICHAEL = 6 * 10 + 1
"""30 = 2 * 3 * 5: a^k = a for every a exactly if 4 divides k - 1 (Korselt, 1899)."""


@pytest.mark.parametrize(
    ("statement", "verdict"),
    [
        ("claim: if ab = 0 mod 15 then a = 0 mod 15 or b = 0 mod 15", 1),
        ("claim: if ab = 0 mod 17 then a = 0 mod 17 or b = 0 mod 17", 2),
        ("claim: a^2 = 3 mod 4", 0),
        ("claim: a^2 + b^2 = 3 mod 4", 0),
        ("claim: a^2 + b^2 = 7 mod 8", 0),
        (f"claim: a^{CARMICHAEL} = a mod 30", 2),
        ("claim: a^60 = a mod 30", 1),
        ("claim: if a^2 = 1 mod 8 then a = 1 mod 8 or a = -1 mod 8", 1),
        ("claim: if a^2 = 1 mod 9 then a = 1 mod 9 or a = -1 mod 9", 2),
        ("claim: if gcd(a, 24) = 1 then a^2 = 1 mod 24", 2),
        ("claim: if 6a = 6b mod 9 then a = b mod 9", 1),
        ("claim: if 6a = 6b mod 9 then a = b mod 3", 2),
    ],
)
def test_claims_of_the_books(statement, verdict):
    """Facts that every textbook has, such as that no sum of two squares leaves 3 modulo 4."""
    assert problem_from([statement]).solve().answer.value == verdict


def test_a_claim_that_is_none_of_the_catalogue_is_refused():
    with pytest.raises(StatementError, match="expected a claim of the catalogue"):
        problem_from(["claim: if a = b mod 4 then a^5 = b mod 8"])
    with pytest.raises(StatementError, match="too many choices"):
        problem_from(["claim: if a = b mod 30 and c = d mod 30 then ac = bd mod 7"]).solve()


def test_what_is_told_ends_with_the_verdict_and_has_two_cases_or_a_reason():
    for n in range(1, len(CATALOGUE) + 1):
        for numbers in drawn(n)[:10]:
            problem = Generality(claim=n, numbers=numbers)
            solution = problem.solve()
            text = " ".join(plain.blocks(rendered(problem.worked(solution))).split())
            if solution.answer.value == 1:
                assert "the claim is true" in text and "the claim is false" in text
            else:
                assert "Reason." in text
            words = {2: "always true.", 1: "sometimes true and sometimes false.", 0: "never true."}
            assert text.endswith(words[solution.answer.value])


# ------------------------------------------------------------ families, audited


@cache
def items(name, n, language="en"):
    family = SHIPPED[name]
    entry = PoolEntry.model_construct(
        family=family, variants=n, choose=1, points=1, form="select one"
    )
    return [item_of(v, entry, language) for v in islice(Stream(family, "claims", fits(family)), n)]


def key(item):
    assert isinstance(item.response, SelectOne)
    return next(o.identifier for o in item.response.options if o.correct)


@pytest.mark.parametrize("name", FAMILIES)
def test_each_verdict_is_right_in_about_a_third(name):
    keys = Counter(map(key, items(name, 150)))

    assert all(0.25 * 150 <= keys[v] <= 0.43 * 150 for v in ("always", "sometimes", "never")), keys


def audited(path, format_, found):
    groups = tuple(
        Group(family=f"claims-{i}", title=item.title, items=(item,), choose=1, points=1)
        for i, item in enumerate(found)
    )
    release = Release(
        pool_id="claims", title="Claims", course="NT 210", term="2027-spring", language="en",
        groups=groups,
    )  # fmt: skip
    write_package(format_, release, path)
    return audit_package(path)


@pytest.mark.parametrize("format_", FORMATS)
def test_claims_are_agreed_to_in_every_format(format_, tmp_path):
    found = [item for name in FAMILIES for item in items(name, 20)]
    report = audited(tmp_path / "claims.zip", format_, found)

    assert report.clean, report.as_text()
    assert report.count("agreed") == len(found)


@pytest.mark.parametrize("format_", ["qti21", "cc13"])
def test_a_verdict_exchanged_is_disagreed(format_, tmp_path):
    changed = []
    for name in FAMILIES:
        for item in items(name, 12):
            right = [o.correct for o in item.response.options]
            options = tuple(
                o.__class__(**{**vars(o), "correct": c, "slips": ()})
                for o, c in zip(item.response.options, right[1:] + right[:1], strict=True)
            )
            response = SelectOne(options=options)
            changed.append(item.__class__(**{**fields(item), "response": response, "feedback": ()}))
    report = audited(tmp_path / "claims.zip", format_, changed)

    assert report.count("disagreed") == len(changed)


def fields(item):
    return {name: getattr(item, name) for name in item.__dataclass_fields__}
