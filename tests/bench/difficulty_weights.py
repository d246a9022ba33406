"""Cohorts whose truth is known: does the model of difficulty find the weights again?

    python -m tests.bench.difficulty_weights [COHORTS] [PLOT.svg]

Each cohort answers a test of ten questions, one of each of ten families with eight variants, in
six terms of 120 students of normal ability.  Ease is the sum of TRUTH over the features of a
variant, what a family has of its own (standard deviation 0.3), and a level.  Told are, over all
cohorts, the mean of each estimated weight beside its truth, its spread, and how often its 95 %
interval holds the truth; then the error of predicted shares, and how their order agrees with the
truth, beside that of bare steps.  Seeds are fixed.  Figures stand in DEVELOPERS.md.
"""

import random
import sys
from math import exp
from pathlib import Path
from statistics import NormalDist

from itembank.notation.elements import Maker, written
from itembank.terms.difficulty import FORM, Features, Met, Model, Sitting, fitted
from itembank.terms.statistics import correlation

TRUTH = {
    "steps": -0.06,
    "lifts": -0.4,
    "singular lifts": -0.5,
    "digits": -0.3,
    "solutions": -0.1,
    FORM + "list": -0.7,
}

FAMILIES, VARIANTS, TERMS, STUDENTS, BETWEEN = 10, 8, 6, 120, 0.3


def features_of(chance: random.Random, family: int) -> Features:
    """A variant of a family: families differ, and variants within them."""
    lifts = chance.choice([0, 1, 2]) if family % 3 else 0
    return {
        "steps": 4 + family + chance.randrange(8) + 3 * lifts,
        "lifts": lifts,
        "singular lifts": int(lifts and chance.random() < 0.4),
        "digits": chance.choice([1, 2, 2, 3]),
        "solutions": chance.choice([1, 2, 4]),
        FORM + ("list" if family % 3 == 1 else "select one"): 1,
    }


def ease(features: Features, own: float) -> float:
    return 2.6 + own + sum(w * features.get(name, 0) for name, w in TRUTH.items())


def sitting(chance: random.Random, own: list[float], ability: float, students: int) -> Sitting:
    """A term: new variants, new students."""
    variants = [[features_of(chance, f) for _ in range(VARIANTS)] for f in range(len(own))]
    counts: dict[tuple[int, int], dict[int, list[int]]] = {}
    for _ in range(students):
        t = chance.gauss(ability, 1)
        chosen = [chance.randrange(VARIANTS) for _ in own]
        right = [
            chance.random() < 1 / (1 + exp(-t - ease(variants[f][v], own[f])))
            for f, v in enumerate(chosen)
        ]
        for f, v in enumerate(chosen):
            of_score = counts.setdefault((f, v), {}).setdefault(sum(right), [0, 0])
            of_score[0] += 1
            of_score[1] += right[f]
    met = tuple(
        Met(variants[f][v], f"family {f}", f, {r: (n, x) for r, (n, x) in by.items()})
        for (f, v), by in sorted(counts.items())
    )
    return Sitting(dict.fromkeys(range(len(own)), 1), met)


Own = list[float]
"""What each family has of its own, and at the end the mean ability of all students."""


def cohort(seed: int, students: int = STUDENTS) -> tuple[list[Sitting], Own]:
    """The sittings of some terms, and what is true of them."""
    chance = random.Random(seed)
    own = [chance.gauss(0, BETWEEN) for _ in range(FAMILIES)]
    terms = [chance.gauss(0, 0.2) for _ in range(TERMS)]
    sittings = [sitting(chance, own, ability, students) for ability in terms]
    return sittings, [*own, sum(terms) / TERMS]


def true_share(features: Features, own: float, ability: float) -> float:
    """Of students around a mean ability, by the middles of slices of a normal."""
    slices = [NormalDist().inv_cdf((i + 0.5) / 400) for i in range(400)]
    return sum(1 / (1 + exp(-t - ability - ease(features, own))) for t in slices) / len(slices)


def main(cohorts: int, plot: Path | None) -> None:
    found: list[tuple[Model, list[float]]] = []
    for seed in range(cohorts):
        sittings, own = cohort(seed)
        found.append((fitted(sittings), own))
        print(f"\r{seed + 1} of {cohorts}", end="", file=sys.stderr)
    print(file=sys.stderr)
    print(f"{'feature':18} truth   mean    spread  within")
    for name, truth in TRUTH.items():
        rows = [row for model, _own in found for row in model.weights() if row[0] == name]
        values = [row[1] for row in rows]
        mean = sum(values) / len(values)
        spread = (sum((v - mean) ** 2 for v in values) / len(values)) ** 0.5
        within = sum(low <= truth <= high for _n, _b, low, high in rows) / len(rows)
        print(f"{name:18} {truth:6.2f}  {mean:6.3f}  {spread:6.3f}  {within:.0%}")
    shares(found)
    if plot is not None:
        plot.write_text(drawn([model for model, _own in found]), encoding="utf-8")


def shares(found: list[tuple[Model, list[float]]]) -> None:
    """New variants of the families: predicted against true, and bare steps against true."""
    errors, within, by_model, by_steps = [], 0, [], []
    for seed, (model, own) in enumerate(found):
        chance = random.Random(f"new {seed}")
        questions = [(f, features_of(chance, f)) for f in range(FAMILIES) for _ in range(3)]
        truth = [true_share(x, own[f], own[-1]) for f, x in questions]
        told = [model.share(x, f"family {f}") for f, x in questions]
        errors += [abs(s.right - t) for s, t in zip(told, truth, strict=True)]
        within += sum(s.low <= t <= s.high for s, t in zip(told, truth, strict=True))
        right = [round(1e6 * t) for t in truth]
        by_model.append(correlation([round(1e6 * s.right) for s in told], right))
        by_steps.append(correlation([-x["steps"] for _f, x in questions], right))
    n = len(errors)
    mean = sum(errors) / n
    print(f"share right of a new variant: mean error {mean:.3f}, within {within / n:.0%}")
    r, steps = (sum(filter(None, rs)) / len(rs) for rs in (by_model, by_steps))
    print(f"correlation with the truth: model {r:.2f}, bare steps {steps:.2f}")


def drawn(models: list[Model]) -> str:
    """Each cohort's weights beside the truth: a row a feature, a dot a cohort."""
    s = Maker("http://www.w3.org/2000/svg")
    shapes = []
    for i, (name, truth) in enumerate(TRUTH.items()):
        y = 40 + 40 * i
        words = {"x": "10", "y": str(y + 4), "font-size": "13"}
        shapes.append(s("text", words, name))
        for model in models:
            for feature, b, _low, _high in model.weights():
                if feature == name:
                    at = {"cx": f"{560 + 400 * b:.1f}", "cy": str(y), "r": "3"}
                    shapes.append(s("circle", {**at, "fill": "#1f5f8b", "opacity": "0.35"}))
        x = f"{560 + 400 * truth:.1f}"
        line = {"x1": x, "x2": x, "y1": str(y - 12), "y2": str(y + 12), "stroke": "#b3541e"}
        shapes.append(s("line", {**line, "stroke-width": "2"}))
    height = str(60 + 40 * len(TRUTH))
    size = {"width": "640", "height": height, "viewBox": f"0 0 640 {height}"}
    return written([s("svg", size, *shapes)])


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if sys.argv[1:] else 40,
        Path(sys.argv[2]) if sys.argv[2:] else None,
    )
