"""Specs and kinds that the tests share; families are written to files by the tests."""

from pathlib import Path

from itembank.values.vocabulary import KindSignature

KINDS = {
    "polynomial": KindSignature(
        name="polynomial",
        given={"congruence": "equation", "modulus": "integer"},
        asks=("all solutions", "how many", "the least", "the largest", "whether any"),
        slips=("not-lifted", "lift-sign", "matched-pairs-only"),
        measures=(
            "solutions",
            "steps",
            "depth",
            "singular_roots",
            "prime_powers",
            "degree",
            "digits",
        ),
    ),
    "system": KindSignature(
        name="system",
        given={"residues": "integers", "moduli": "integers"},
        asks=("all solutions", "whether any"),
        slips=("moduli-multiplied",),
        measures=("solutions", "steps"),
    ),
}

QUADRATIC = """\
id: quadratic-two-prime-powers
version: 3
title: Quadratic congruence, modulus with two prime powers
problem: polynomial
outcomes: [solve-polynomial-congruences, lift-roots]
level: medium
about: |
  Both primes are small enough for trial.
  The square is completed by hand.
parameters:
  p: {prime: [5, 13]}
  q: {one of: [4, 8, 9], radical: true}
  b: {integer: [1, 20]}
  c: {integer: [-p, 4*p], except: [0]}
  d: {value: b^2 - 4*c}
where:
  - gcd(p, q) == 1
  - legendre(d, p) == 1
  - solutions in 2..6
  - no singular root
given: {congruence: x^2 + b*x + c = 0, modulus: p^2*q}
ask: all solutions
forms: [select all, select one, list]
slips: [not-lifted, lift-sign]
substitutes: {list: select one}
scoring: plus minus
"""

COUNT = """\
id: count-square-roots
version: 1
title: How many square roots
problem: polynomial
outcomes: [count-solutions]
level: easy
parameters:
  p: {prime: [3, 19]}
  q: {prime: [3, 19], except: [p]}
  a: {integer: [1, p*q - 1]}
given:
  congruence: x^2 = a
  modulus: p*q
ask: how many
small: two primes below 20 give few moduli
"""

SYSTEM = """\
id: two-congruences
version: 1
title: Two congruences
problem: system
outcomes: [combine-congruences]
level: easy
parameters:
  m: {one of: [4, 9, 25]}
  n: {one of: [7, 11]}
  a: {integer: [0, m - 1]}
  b: {integer: [0, n - 1]}
given: {residues: [a, b], moduli: [m, n]}
ask: all solutions
"""

POOL = """\
id: week-5-homework
title: Homework 5 - lifting
course: NT 210 Elementary Number Theory, Alder Ford College
language: en
seed: "2027-spring"
rests: 3
items:
  - {family: quadratic-two-prime-powers, variants: 10, choose: 2, points: 2, form: list}
  - {family: count-square-roots, variants: 8}
wording: {letter: z}
"""


def written(folder: Path, text: str, name: str | None = None) -> Path:
    """A file that holds the text, named after its id unless `name` says otherwise."""
    stem = name or text.split("\n", 1)[0].removeprefix("id: ")
    path = folder / f"{stem}.yaml"
    path.write_text(text, encoding="utf-8")
    return path
