"""Figures in words, for the terminal, and as plain values for programs."""

from collections.abc import Iterator
from fractions import Fraction

from itembank.guessing.bounds import ANY, NOT_ALL, SURE_OF_A_GROUP, Bound, broken, is_sure
from itembank.guessing.figures import ENOUGH, Figures, Score
from itembank.languages.spoken import as_worded
from itembank.values.worded import joined, laid_out, worded


def _percent(share: Fraction) -> str:
    """A share in whole percent, halves up; a little is no nothing.

    >>> _percent(Fraction(1, 4)), _percent(Fraction(1, 256)), _percent(Fraction(0))
    ('25 %', 'below 1 %', '0 %')
    """
    whole = (200 * share.numerator + share.denominator) // (2 * share.denominator)
    return worded("below 1 %") if share and not whole else f"{whole} %"


def _name_of(score: Score) -> str:
    """The strategy, with the habit that decides for it."""
    name = as_worded(score.name)
    if not score.after:
        return name
    return worded("{guess}, then {next}", guess=name, next=as_worded(score.after))


def summary(figures: Figures) -> str:
    """Form, chance, the best guess: one line."""
    parts = []
    if figures.chance is not None:
        parts.append(worded("chance {share}", share=_percent(figures.chance)))
    if figures.best:
        parts.append(
            worded(
                "best guess {share} ({guess})",
                share=_percent(figures.best.share),
                guess=_name_of(figures.best),
            )
        )
    if figures.once:
        parts.append(worded("with one substitution {share}", share=_percent(figures.once.share)))
    if figures.stage is not None:
        parts.append(worded("commonest answer of a stage {share}", share=_percent(figures.stage)))
    return laid_out("{form}: {parts}", form=figures.form, parts=joined(", ", parts))


def shortfalls(figures: Figures, sure: bool | None = None) -> Iterator[str]:
    """Each bound that is broken: what is measured, what was found, what is expected.

    sure: of fewer questions than count as enough only those that they can show, or the others.
    """
    for bound, value in broken(figures):
        shown = figures.questions >= ENOUGH or is_sure(bound, value, figures.questions)
        if sure is None or sure == shown:
            yield worded(
                "{bound}: {share}, expected {span}",
                bound=bound.name,
                share=_percent(value),
                span=_span(bound),
            )


def of_a_group(figures: Figures) -> Iterator[str]:
    """What the few questions of a group show beyond doubt, and claims unevenly true."""
    for bound, value in broken(figures):
        if is_sure(bound, value, figures.questions, SURE_OF_A_GROUP):
            yield worded(
                "{bound}: {share}, expected {span}",
                bound=bound.name,
                share=_percent(value),
                span=_span(bound),
            )
    if figures.is_uneven and figures.true is not None:
        true = figures.true * figures.questions
        yield worded(
            "{true} of {n} claims are true, expected as many as are false",
            true=true,
            n=figures.questions,
        )


def _span(bound: Bound) -> str:
    if bound.most == ANY:
        return worded("at least {n}", n=_percent(bound.least))
    if bound.least:
        return worded("{low} to {high}", low=_percent(bound.least), high=_percent(bound.most))
    if bound.most == NOT_ALL:
        return worded("less than all")
    return worded("at most {n}", n=_percent(bound.most))


def as_json(figures: Figures) -> dict[str, object]:
    """Shares as decimals to four places; what has no meaning is left out."""
    found: dict[str, object] = {
        "questions": figures.questions,
        "chance": _decimal(figures.chance),
        "best": _score_as_json(figures.best),
        "one_substitution": _score_as_json(figures.once),
        "small_numbers": _score_as_json(figures.small),
        "places": [_decimal(share) for share, _due in figures.places],
        "commonest_key": _decimal(figures.commonest),
        "true": _decimal(figures.true),
        "none": _decimal(figures.none),
        "solutions": {str(size): n for size, n in figures.sizes},
        "substitutions_for_each_box": _decimal(figures.settled),
        "commonest_arrangement": _decimal(figures.arranged),
        "commonest_answer_of_a_stage": _decimal(figures.stage),
        "shortcuts": _decimal(figures.shortcuts),
    }
    return {name: value for name, value in found.items() if value not in (None, [], {})}


def _score_as_json(score: Score | None) -> dict[str, object] | None:
    return {"strategy": _name_of(score), "score": _decimal(score.share)} if score else None


def _decimal(share: Fraction | None) -> float | None:
    return None if share is None else round(float(share), 4)
