"""What makes a question hard: a logistic model of success on features of its derivation.

The linear logistic test model (Fischer, Acta Psychologica 37, 1973): a student of ability t is
right with probability 1/(1 + exp(-(t + e))), where the ease e of a question is a weighted sum of
its features.  What the features do not tell is a normal error e that the questions of a family
share (the model with an error term: Janssen, Schepers & Peres 2004; families: Sinharay, Johnson &
Williamson 2003).  Students are told apart by their total score and then forgotten: given the score
of a student, ability leaves the likelihood (Rasch 1960, Andersen 1970), and the elementary
symmetric functions of exp(e) are what remains.  So the bank needs counts alone: of a question, for
each score, how many students had it and how many were right.

Approximation: the other questions on a student's test are taken at the average of the variants
that stood there.  The error is estimated by penalised likelihood and EM (Breslow & Clayton 1993);
the covariance is inflated where single variants differ by more than chance.  All but Fischer's
model from memory; `tests/terms/test_difficulty.py` holds the estimates to the conditional
likelihood by exhaustion, `tests/bench/difficulty_weights.py` to cohorts whose truth is known.
The arithmetic is numpy's and scipy's (the extra `model`); what was fitted is read without them.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, sqrt
from typing import Any

from itembank.values.errors import NoModel
from itembank.values.worded import worded

Features = Mapping[str, int]
"""Numbers of a question by their names; of its form 1 under FORM and its name."""

FORM = "form: "

LEAST_ANSWERS, LEAST_QUESTIONS = 300, 10
"""Below so many answers that tell something, or so many questions, nothing is fitted."""

GUESSED, GUESSED_SPREAD = 2, 0.5
"""The spread between families is estimated as if so many more were there, so far apart in logits:
of a few families the data alone would often tell none."""

ROUNDS, STEPS, CLOSE = 60, 50, 1e-7

_SHIFTS = 4
"""Newton's steps to a shift that is small from the beginning."""

_NODES = 21
"""Abilities over which a class is averaged (Gauss and Hermite)."""

_Z95 = 1.959963984540054

_Matrix = Any
"""An array of numpy, which is imported only where something is fitted."""


# ------------------------------------------------------------ what was met


@dataclass(frozen=True)
class Met:
    """A question as students of one report met it.

    group: that of the release which it stands in.  by_score: for the number of questions that a
    student had right, how many with it met this one, and how many were right at it.
    """

    features: Features
    family: str
    group: int
    by_score: Mapping[int, tuple[int, int]]


@dataclass(frozen=True)
class Sitting:
    """A report: how many questions a student gets from each group, and the questions met."""

    choose: Mapping[int, int]
    questions: tuple[Met, ...]


# ------------------------------------------------------------ what is told


@dataclass(frozen=True)
class Share:
    """The share of a class that is expected to be right, with its 95 % interval."""

    right: float
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.right:.0%} right ({self.low:.0%} to {self.high:.0%})"


@dataclass(frozen=True, kw_only=True)
class Scale:
    """How easy questions are: weights of features, and of families what is left to them, in logits.

    names: the features that the data tell apart, then the families.  level and spread: mean and
    standard deviation of ability, on the scale of the weights.
    """

    names: tuple[str, ...]
    features: int
    estimates: tuple[float, ...]
    level: float
    spread: float

    def row(self, features: Features, family: str) -> list[float]:
        """A question in the terms of `names`."""
        return [
            float(features.get(name, 0)) if i < self.features else float(name == family)
            for i, name in enumerate(self.names)
        ]

    def ease(self, features: Features, family: str) -> float:
        return sum(x * b for x, b in zip(self.row(features, family), self.estimates, strict=True))

    def right(self, ease: float) -> float:
        """The share of a class that is right at a question of this ease."""
        return sum(w * _logistic(ease + self.level + self.spread * z) for z, w in _NORMAL)

    def wrong_in_hundred(self, features: Features, family: str) -> int:
        """How many of a hundred students are expected to miss a question."""
        return round(100 * (1 - self.right(self.ease(features, family))))

    def as_json(self) -> dict[str, Any]:
        """To be put on record; the numbers are rounded beyond what is known of them."""
        return {
            "names": list(self.names),
            "features": self.features,
            "estimates": [round(b, 6) for b in self.estimates],
            "level": round(self.level, 6),
            "spread": round(self.spread, 6),
        }


def scale_from(told: Mapping[str, Any]) -> Scale:
    """What `as_json` told."""
    return Scale(**{**told, "names": tuple(told["names"]), "estimates": tuple(told["estimates"])})


@dataclass(frozen=True, kw_only=True)
class Model(Scale):
    """A scale that was fitted, with how well it is known.

    centre: the average question that was met; its ease is known with the level alone, whose error
    is `level_error`.  covariance: of the estimates.  between: the standard deviation of the
    families.  inflation: of the variances, where variants differ by more than chance.  alone:
    features that never varied by themselves, so that nothing is known of them.
    """

    centre: tuple[float, ...]
    level_error: float
    covariance: tuple[tuple[float, ...], ...]
    between: float
    inflation: float
    alone: tuple[str, ...]
    answers: int
    questions: int
    sittings: int

    def weights(self) -> list[tuple[str, float, float, float]]:
        """Each feature: its name, its weight, and the ends of its 95 % interval."""
        halves = [_Z95 * sqrt(self.covariance[i][i]) for i in range(self.features)]
        return [
            (name, b, b - half, b + half)
            for name, b, half in zip(self.names, self.estimates, halves, strict=False)
        ]

    def share(self, features: Features, family: str) -> Share:
        """What a class like those on record is expected to do at one question."""
        ease = self.ease(features, family)
        apart = [x - c for x, c in zip(self.row(features, family), self.centre, strict=True)]
        variance = self.level_error**2 + sum(
            a * b * covariance
            for a, row in zip(apart, self.covariance, strict=True)
            for b, covariance in zip(apart, row, strict=True)
        )
        if family not in self.names[self.features :]:
            variance += self.between**2
        half = _Z95 * sqrt(max(0.0, variance))
        return Share(*(self.right(e) for e in (ease, ease - half, ease + half)))


def _logistic(x: float) -> float:
    return 1 / (1 + exp(-x)) if x > -700 else 0.0


_STEP = 8 / (_NODES - 1)
_NORMAL = tuple(
    (z, _STEP * exp(-z * z / 2) / sqrt(2 * 3.141592653589793))
    for z in (-4 + _STEP * i for i in range(_NODES))
)
"""Places of a standard normal and their weights: the trapezoids of 4 deviations to each side."""


# ------------------------------------------------------------ fitting


def fitted(sittings: Sequence[Sitting]) -> Model:
    """The model of what was met; NoModel where there is too little, or no numpy and scipy."""
    try:
        import numpy as np
        import scipy  # noqa: F401
    except ModuleNotFoundError:
        raise NoModel(
            worded(
                "no model of difficulty: it needs scipy; install it with: pip install "
                "'itembank[model]'"
            )
        ) from None
    tables = [table for sitting in sittings if (table := _tabled(sitting, np)) is not None]
    answers = sum(int(table.n.sum()) for table in tables)
    questions = sum(len(table.met) for table in tables)
    if answers < LEAST_ANSWERS or questions < LEAST_QUESTIONS:
        raise NoModel(
            worded(
                "no model of difficulty: expected at least {least_answers} answers to "
                "{least_questions} questions by students who met all of their test, and had "
                "some right and some wrong; the bank has {answers} to {questions}",
                least_answers=LEAST_ANSWERS,
                least_questions=LEAST_QUESTIONS,
                answers=answers,
                questions=questions,
            )
        )
    names, alone = _told_apart(tables, np)
    families = sorted({met.family for table in tables for met in table.met})
    for table in tables:
        table.set_rows(names, families, np)
    b, information, between = _estimated(tables, len(names), len(families), np)
    inflation = _dispersion(tables, b, len(names), np)
    covariance = np.linalg.inv(information) * inflation
    level, spread, level_error = _abilities(tables, b, np)
    return Model(
        names=(*names, *families),
        features=len(names),
        estimates=tuple(map(float, b)),
        centre=tuple(map(float, _centre(tables, np))),
        level_error=level_error,
        covariance=tuple(tuple(map(float, row)) for row in covariance),
        level=level,
        spread=spread,
        between=between,
        inflation=inflation,
        alone=alone,
        answers=answers,
        questions=questions,
        sittings=len(tables),
    )


@dataclass
class _Table:
    """A sitting as arrays: rows are its questions, columns the scores 1 to k - 1.

    slots: the group of each of the k questions of a test.  Students with all right, or none, tell
    nothing of which questions are hard.
    """

    met: list[Met]
    slots: list[int]
    places: list[int]
    n: _Matrix
    right: _Matrix
    scores: _Matrix
    rows: _Matrix = None
    means: _Matrix = None

    @cached_property
    def groups(self) -> dict[int, list[int]]:
        """The places of the questions that stand in each group."""
        found: dict[int, list[int]] = defaultdict(list)
        for i, place in enumerate(self.places):
            found[place].append(i)
        return found

    def set_rows(self, names: Sequence[str], families: Sequence[str], np: Any) -> None:
        """The questions in terms of features and families, and their mean in each slot."""
        self.rows = np.array([
            [float(m.features.get(name, 0)) for name in names]
            + [float(m.family == family) for family in families]
            for m in self.met
        ])  # fmt: skip
        weight = self.n.sum(axis=1)
        self.means = np.array([
            np.average(self.rows[self.groups[g]], axis=0, weights=weight[self.groups[g]])
            for g in self.slots
        ])  # fmt: skip


def _tabled(sitting: Sitting, np: Any) -> _Table | None:
    """The arrays of a sitting; None where nobody met a whole test of two questions or more."""
    met = [m for m in sitting.questions if any(n for n, _right in m.by_score.values())]
    slots = [g for g, choose in sitting.choose.items() for _ in range(choose)]
    k = len(slots)
    if k < 2 or set(slots) != {m.group for m in met}:
        return None
    n = np.array([[m.by_score.get(r, (0, 0))[0] for r in range(1, k)] for m in met], float)
    right = np.array([[m.by_score.get(r, (0, 0))[1] for r in range(1, k)] for m in met], float)
    kept = [i for i in range(len(met)) if n[i].sum()]
    met, n, right = [met[i] for i in kept], n[kept], right[kept]
    if set(slots) != {m.group for m in met}:
        return None
    of_scores: dict[int, int] = defaultdict(int)
    for m in sitting.questions:
        for r, (count, _right) in m.by_score.items():
            of_scores[r] += count
    scores = np.array([of_scores.get(r, 0) / k for r in range(k + 1)])
    return _Table(met, slots, [m.group for m in met], n, right, scores)


def _told_apart(tables: Sequence[_Table], np: Any) -> tuple[list[str], tuple[str, ...]]:
    """The features that vary, each by more than what those before it tell; and the others."""
    met = [m for table in tables for m in table.met]
    names = list(dict.fromkeys(name for m in met for name in m.features))
    forms = sorted(name for name in names if name.startswith(FORM))
    often = {f: sum(m.features.get(f, 0) for m in met) for f in forms}
    usual = max(forms, key=lambda f: often[f], default="")
    names = [n for n in names if n not in forms] + [f for f in forms if f != usual]
    kept: list[str] = []
    different = {tuple(m.features.get(name, 0) for name in names) for m in met}
    columns = np.array(sorted(different), float).T if names else np.zeros((0, 1))
    by_name = dict(zip(names, columns, strict=True))
    for name in names:
        rows = np.array([np.ones(columns.shape[1]), *(by_name[f] for f in (*kept, name))]).T
        scale = np.abs(rows).max(axis=0)
        if scale.all() and np.linalg.matrix_rank(rows / scale, tol=1e-6) == rows.shape[1]:
            kept.append(name)
    return kept, tuple(name for name in names if name not in kept)


def _estimated(
    tables: Sequence[_Table], features: int, families: int, np: Any
) -> tuple[_Matrix, _Matrix, float]:
    """Weights and what is left to families, their information, the spread between families."""
    b = np.zeros(features + families)
    variance = GUESSED_SPREAD**2
    for _ in range(ROUNDS):
        penalty = np.concatenate([np.full(features, 1e-9), np.full(families, 1 / variance)])
        b, information = _at_most(tables, b, penalty, np)
        left, spread = b[features:], np.diag(np.linalg.inv(information))[features:]
        before = variance
        variance = float(
            ((left**2 + spread).sum() + GUESSED * GUESSED_SPREAD**2) / (families + GUESSED)
        )
        if abs(variance - before) < 1e-4 * before:
            break
    return b, information, sqrt(variance)


def _at_most(
    tables: Sequence[_Table], b: _Matrix, penalty: _Matrix, np: Any
) -> tuple[_Matrix, _Matrix]:
    """The most likely weights under a penalty, by Newton's steps, and their information.

    How slots go together changes little from one step to the next, and is worked out once.
    """
    together = [_between_slots(table, b, np) for table in tables]
    for _ in range(STEPS):
        slope, information = -penalty * b, np.diag(penalty)
        for table, more in zip(tables, together, strict=True):
            surprise, within = _conditional(table, b, np)
            slope, information = slope + surprise, information + within + more
        if not (np.isfinite(slope).all() and np.isfinite(information).all()):
            raise NoModel(
                worded(
                    "no model of difficulty: the results on record do not fit their own scores; "
                    "`itembank reports` lists them"
                )
            )
        step = np.linalg.solve(information, slope)
        largest = float(np.abs(_table_change(tables, step, np)).max())
        b = b + step * min(1.0, 2 / largest if largest else 1.0)
        if largest < CLOSE:
            break
    return b, information


def _table_change(tables: Sequence[_Table], step: _Matrix, np: Any) -> _Matrix:
    """By how many logits each question would change."""
    return np.concatenate([table.rows @ step for table in tables])


def _conditional(table: _Table, b: _Matrix, np: Any) -> tuple[_Matrix, _Matrix]:
    """Slope of the likelihood of who was right where, given the scores; and its information
    within the slots."""
    expected, variance = (a.sum(axis=1) for a in _chances(table, b, np))
    surprise = table.rows.T @ (table.right.sum(axis=1) - expected)
    apart = table.rows.copy()
    for at in table.groups.values():
        apart[at] -= np.average(table.rows[at], axis=0, weights=variance[at])
    return surprise, apart.T @ (variance[:, None] * apart)


def _chances(table: _Table, b: _Matrix, np: Any) -> tuple[_Matrix, _Matrix]:
    """How many are expected to be right at each question, by score, and the variance of that.

    Together they are right as often as the scores say; as slots stand for several variants, that
    takes a small shift of each score.
    """
    from scipy.special import expit

    ease, slots = table.rows @ b, np.exp(table.means @ b)
    offsets = {}
    for s, g in enumerate(table.slots):
        if g not in offsets:
            rest = _symmetric(np.delete(slots, s), np)
            offsets[g] = np.log(rest[:-1]) - np.log(rest[1:])
    logits = ease[:, None] + np.array([offsets[g] for g in table.places])
    met, right = table.n.sum(axis=0) > 0, table.right.sum(axis=0)
    shift = np.zeros(len(right))
    for _ in range(_SHIFTS):
        p = expit(logits + shift)
        expected, variance = table.n * p, table.n * p * (1 - p)
        short = right[met] - expected.sum(axis=0)[met]
        shift[met] += short / np.maximum(variance.sum(axis=0)[met], 1e-9)
    return expected, variance


def _between_slots(table: _Table, b: _Matrix, np: Any) -> _Matrix:
    """The information of the differences between slots: of two that a score ties together."""
    slots, k = np.exp(table.means @ b), len(table.slots)
    whole = _symmetric(slots, np)
    single = [
        slots[s] * _symmetric(np.delete(slots, s), np)[: k - 1] / whole[1:k] for s in range(k)
    ]
    students = table.scores[1:k]
    found = np.zeros((table.rows.shape[1],) * 2)
    for s in range(k):
        for t in range(s):
            rest = _symmetric(np.delete(slots, [t, s]), np)
            both = np.concatenate([[0.0], slots[s] * slots[t] * rest[: k - 2]]) / whole[1:k]
            tied = (students * (single[s] * single[t] - both)).sum()
            apart = table.means[s] - table.means[t]
            found += tied * np.outer(apart, apart)
    return found


def _symmetric(values: _Matrix, np: Any) -> _Matrix:
    """The elementary symmetric functions of positive numbers, of degree 0 to their number.

    Of each column, where the numbers stand in several.

    >>> import numpy
    >>> _symmetric(numpy.array([1.0, 2.0, 3.0]), numpy).tolist()
    [1.0, 6.0, 11.0, 6.0]
    """
    found = np.zeros((len(values) + 1, *values.shape[1:]))
    found[0] = 1.0
    for i, value in enumerate(values):
        found[1 : i + 2] += value * found[: i + 1].copy()
    return found


def _dispersion(tables: Sequence[_Table], b: _Matrix, features: int, np: Any) -> float:
    """By how much questions differ beyond chance, at least 1: chi-square by its degrees."""
    square, degrees = 0.0, -features
    for table in tables:
        expected, variance = (a.sum(axis=1) for a in _chances(table, b, np))
        square += float((((table.right.sum(axis=1) - expected) ** 2) / variance).sum())
        degrees += len(table.met)
    return max(1.0, square / degrees) if degrees > 0 else 1.0


def _centre(tables: Sequence[_Table], np: Any) -> _Matrix:
    """The average question, by answers."""
    answers = np.concatenate([table.n.sum(axis=1) for table in tables])
    return np.average(np.concatenate([table.rows for table in tables]), axis=0, weights=answers)


_BIT = 0.1
"""A step in which the curvature of a likelihood is measured."""

_WIDEST = 1.5
"""The logarithm of the largest spread of abilities that is looked for."""


def _abilities(tables: Sequence[_Table], b: _Matrix, np: Any) -> tuple[float, float, float]:
    """Mean and standard deviation of ability, the most likely for the scores of each sitting; the
    average over the students of all, and the standard error of that mean."""
    from scipy.optimize import minimize

    z, w = np.array(_NORMAL).T
    students = level = variance = error = 0.0
    for table in tables:
        slots = table.means @ b

        def unlikely(at: _Matrix, table: _Table = table, slots: _Matrix = slots) -> float:
            odds = np.exp(slots[:, None] + at[0] + exp(min(at[1], _WIDEST)) * z)
            of_scores = (_symmetric(odds, np) / np.prod(1 + odds, axis=0)) @ w
            return -float((table.scores * np.log(np.maximum(of_scores, 1e-300))).sum())

        mean, width = minimize(unlikely, [-float(slots.mean()), 0.0], method="Nelder-Mead").x
        curved = [unlikely([mean + h, width]) for h in (-_BIT, 0.0, _BIT)]
        known = curved[0] - 2 * curved[1] + curved[2]
        n = float(table.scores.sum())
        students, level = students + n, level + n * float(mean)
        variance += n * exp(2 * min(float(width), _WIDEST))
        error += n**2 * _BIT**2 / max(known, 1e-9)
    return level / students, sqrt(variance / students), sqrt(error) / students
