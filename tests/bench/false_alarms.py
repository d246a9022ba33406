"""How often sound, unchanged questions are flagged, and how often those that changed: simulated.

    python -m tests.bench.false_alarms [POOLS]

Students of normal ability answer ten questions of a Rasch model; seeds are fixed.  Each row is a
number of students in each of two terms: of 100 sound questions, how many are told "easier" or
"check the key"; of 100 pools, how many have a flag at all; and of 100 questions that became known
to half of the class, or have a wrong key, how many are found.
"""

import random
import sys
from fractions import Fraction
from math import exp

from itembank.terms.results import Mark, chance_of_key, chance_of_rise_in
from itembank.terms.significance import beyond_chance

QUESTIONS = 10
DIFFICULTIES = [-1.5 + q / 3 for q in range(QUESTIONS)]
"""From easy to hard, in logits; the middle one is half right."""

Given = list[tuple[Mark, Fraction]]


def term(chance: random.Random, n: int, known: int = -1, miskeyed: int = -1) -> list[Given]:
    """What n students gave to each question; at `known` half of them know the answer."""
    given: list[Given] = [[] for _ in range(QUESTIONS)]
    for _ in range(n):
        ability = chance.gauss(0, 1)
        marks = []
        for q, difficulty in enumerate(DIFFICULTIES):
            right = chance.random() < 1 / (1 + exp(difficulty - ability))
            right |= q == known and chance.random() < 0.5
            answer = "right" if right else chance.choice(["one", "two", "three"])
            if q == miskeyed:
                answer = {"right": "one", "one": "right"}.get(answer, answer)
            marks.append(Mark(q, Fraction(answer == "right"), answer, ()))
        total = sum((m.share for m in marks), Fraction(0))
        for q, m in enumerate(marks):
            given[q].append((m, total - m.share))
    return given


def right_of(given: Given) -> tuple[int, int]:
    return sum(m.share == 1 for m, _rest in given), len(given)


def flagged(before: list[Given], now: list[Given]) -> tuple[set[int], set[int]]:
    """The questions that are told easier, and those whose key is doubted."""
    rises = {q: chance_of_rise_in(now[q], right_of(before[q])) for q in range(QUESTIONS)}
    return beyond_chance(rises), beyond_chance({q: chance_of_key(now[q]) for q in range(QUESTIONS)})


def main(pools: int) -> None:
    print("students | easier, of 100 | key, of 100 | pools with a flag | known, found | wrong key")
    for n in (30, 50, 100, 200, 400):
        chance = random.Random(n)
        easier = doubted = pools_flagged = known = wrong = 0
        for i in range(pools):
            before = term(chance, n)
            rises, keys = flagged(before, term(chance, n))
            easier, doubted = easier + len(rises), doubted + len(keys)
            pools_flagged += bool(rises or keys)
            q = i % QUESTIONS
            known += q in flagged(before, term(chance, n, known=q))[0]
            wrong += q in flagged(before, term(chance, n, miskeyed=q))[1]
        shares = [
            100 * easier / pools / QUESTIONS,
            100 * doubted / pools / QUESTIONS,
            100 * pools_flagged / pools,
            100 * known / pools,
            100 * wrong / pools,
        ]
        print(f"{n:8} | " + " | ".join(f"{share:6.2f}" for share in shares))


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 400)
