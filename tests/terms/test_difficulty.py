"""The model of difficulty against the conditional likelihood by exhaustion, and a known truth."""

import json
import sys
from itertools import combinations, product
from math import exp, log

import numpy as np
import pytest
from scipy.optimize import minimize

from itembank.terms import difficulty
from itembank.terms.difficulty import Met, Model, Sitting, fitted, scale_from
from itembank.values.errors import NoModel
from tests.bench.difficulty_weights import TRUTH, cohort

STEPS = (2, 3, 5, 7, 11)
PATTERNS = {
    pattern: 3 + (sum(x * s for x, s in zip(pattern, (5, 4, 3, 2, 1), strict=True)) * 7) % 23
    for pattern in product((0, 1), repeat=5)
}
"""How many students were right where, of five questions: numbers without a model behind them."""


def fixed_test() -> Sitting:
    """The students of PATTERNS, as counts: the same five questions for all of them."""
    questions = []
    for i, steps in enumerate(STEPS):
        by_score = {
            r: (
                sum(n for p, n in PATTERNS.items() if sum(p) == r),
                sum(n for p, n in PATTERNS.items() if sum(p) == r and p[i]),
            )
            for r in range(6)
        }
        questions.append(Met({"steps": steps, "form: list": 1}, f"f{i}", i, by_score))
    return Sitting(dict.fromkeys(range(5), 1), tuple(questions))


def log_likelihood(ease: list[float]) -> float:
    """Of PATTERNS given their scores: each against all patterns of its score."""
    total = 0.0
    for pattern, n in PATTERNS.items():
        of_score = sum(
            exp(sum(ease[i] for i in chosen)) for chosen in combinations(range(5), sum(pattern))
        )
        total += n * (sum(e for e, x in zip(ease, pattern, strict=True) if x) - log(of_score))
    return total


def test_weight_and_families_are_those_of_the_conditional_likelihood_by_exhaustion(monkeypatch):
    """With the spread between families that was found, the penalised likelihood has its maximum
    where a general minimiser finds it, over all ways to have a score."""
    monkeypatch.setattr(difficulty, "LEAST_QUESTIONS", 5)
    model = fitted([fixed_test()])

    def penalised(at: np.ndarray) -> float:
        ease = [at[0] * s + u for s, u in zip(STEPS, at[1:], strict=True)]
        return -log_likelihood(ease) + sum(at[1:] ** 2) / (2 * model.between**2)

    found = minimize(penalised, np.zeros(6), method="BFGS", options={"gtol": 1e-6}).x
    assert model.names == ("steps", "f0", "f1", "f2", "f3", "f4")
    assert np.allclose(model.estimates, found, atol=2e-3)


@pytest.fixture(scope="module")
def model() -> Model:
    """Fitted to one cohort of the bench."""
    sittings, _own = cohort(3)
    return fitted(sittings)


def test_the_weights_of_a_known_truth_are_recovered(model):
    """A small sample of the bench: each interval holds its truth, or nearly."""
    for name, b, low, high in model.weights():
        assert abs(b - TRUTH[name]) < 1.5 * (high - low) / 2, name
    assert {name for name, b, low, high in model.weights() if high < 0} >= {
        "lifts", "singular lifts", "digits", "form: list",
    }  # fmt: skip
    assert model.alone == ()


def test_a_question_with_more_lifts_is_expected_to_be_harder_and_a_new_family_less_certain(model):
    easy = {"steps": 6, "lifts": 0, "singular lifts": 0, "digits": 2, "solutions": 2}
    hard = {**easy, "lifts": 2}

    shares = [model.share(f, "family 1") for f in (easy, hard)]
    new = model.share(easy, "a new one")

    assert shares[0].right > shares[1].right + 0.05
    assert new.high - new.low > shares[0].high - shares[0].low
    assert all(s.low < s.right < s.high for s in (*shares, new))


def test_what_goes_on_record_of_a_scale_is_read_back_without_the_library(model):
    hard = {"steps": 20, "lifts": 2, "digits": 3}

    again = scale_from(json.loads(json.dumps(model.as_json())))

    assert again.wrong_in_hundred(hard, "family 1") == model.wrong_in_hundred(hard, "family 1")
    assert again.wrong_in_hundred({}, "family 1") < again.wrong_in_hundred(hard, "family 1")


def test_too_little_is_told_and_nothing_is_fitted():
    few = Sitting({0: 1, 1: 1}, (Met({"steps": 1}, "f", 0, {1: (20, 10)}),))
    with pytest.raises(NoModel, match=r"expected at least 300 answers to 10 questions .* has 0"):
        fitted([few])


def test_without_its_library_it_says_how_to_install_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "scipy", None)
    with pytest.raises(NoModel, match=r"pip install 'itembank\[model\]'"):
        fitted([])
