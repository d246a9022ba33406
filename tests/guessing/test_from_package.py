"""The guessers against others that share no line with them, and read QTI 2.1 from the zip alone."""

import runpy
from collections import Counter, defaultdict
from itertools import islice
from pathlib import Path

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.guessing import strategies
from itembank.guessing.figures import Tally
from itembank.guessing.met import met
from itembank.pipeline.selection import entry, fits, item_of
from itembank.pipeline.variants import Stream
from tests.shipped import offering

SCRIPT = Path(__file__).parent.parent / "bench" / "guess_from_package.py"

SAME = {
    "first": "the first option",
    "last": "the last option",
    "middle": "an option in the middle",
    "longest": "the longest option",
    "shortest": "the shortest option",
    "commonest size": "the commonest size",
    "not empty": "anything but no solution",
    "most shared": "the elements that most options share",
    "most shared in all": "the most elements shared with other options",
    "largest": "the largest",
    "smallest": "the smallest",
    "nearest the mean": "the nearest to the mean",
    "closed": "closed under the symmetry of the stem, and not empty",
    "evenly spaced": "evenly spaced around the modulus",
    "place right before": "the place that was right most often",
    "answer right before": "the answer that was right most often",
    "size right before": "as many elements as were right most often",
    "closed, most shared": "closed, then the elements that most options share",
    "closed, usual size": "closed, then as many elements as were right most often",
    "odd one out: parity": "the odd one out: even or odd",
    "all": "every number ticked",
    "even": "all even numbers ticked",
    "odd": "all odd numbers ticked",
    "with partner": "all that come with their partner",
    "partners, usual number": "partners, as many as were right most often",
    "any, usual number": "any, as many as were right most often",
    "one progression": "one complete progression",
    "places right before": "the boxes that were right most often",
}

EACH = 3
"""Families that are tried in each form."""


def test_two_readings_of_a_question_are_guessed_alike(tmp_path):
    script = runpy.run_path(str(SCRIPT))
    for family, form in (*offering("select one", EACH), *offering("select all", EACH)):
        name = family.id
        drawn = islice(Stream(family, "two readings", fits(family)), 20)
        items = tuple(item_of(variant, entry(family, form, 1)) for variant in drawn)
        path = tmp_path / f"{name}-{form[-3:]}.zip"
        write_package("qti21", released(name, items), path)

        ours, theirs = scores(form, items), read_again(script, path)

        shared = [habit for habit in SAME if habit in theirs]
        assert len(shared) >= 8
        for habit in shared:
            assert theirs[habit] == ours[SAME[habit]], (name, form, habit)


def scores(form: str, items) -> dict[str, object]:
    tally = Tally(form)
    for item in items:
        tally.meet(list(met(item)))
    habits = strategies.for_form(form)
    return {habit.name.template: tally.scores[n] for n, habit in enumerate(habits)}


def read_again(script, path: Path) -> Counter:
    past: defaultdict[str, Counter[str]] = defaultdict(Counter)
    total: Counter[str] = Counter()
    for item in script["items"](path):
        total.update(dict(script["guesses"](item, past)))
        script["remember"](item, past)
    return total


def released(name: str, items) -> Release:
    group = Group(family=name, title=name, items=items, choose=1, points=1)
    return Release(
        pool_id="p", title="P", course="C", term="t", language="en", groups=(group,)
    )  # fmt: skip
