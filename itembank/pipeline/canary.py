"""Canary questions: what the coordinator looks at first, to see what the platform keeps.

One for each response form of a release, at its head and worth no points.  Each is a true
question with its key, so that the platform's grading shows; below it stands every symbol that
questions use, and each has feedback for a slip and a worked solution.
"""

from collections.abc import Iterable
from dataclasses import replace

from exporters.release import Group, Release
from itembank.forms import FORMS
from itembank.kinds.statement import problem_from
from itembank.languages import Said, Speaker, say
from itembank.notation import spoken
from itembank.notation.tree import Blocks, Paragraph
from itembank.pipeline import compose
from itembank.pipeline.compose import Wording
from itembank.values.item import IntegerEntry, Item, Provenance, PutInOrder, Response

FAMILY = "canary"

_QUADRATIC = "x^2 + 9x + 5 = 0 mod 117"

ASKED = {
    "select all": (_QUADRATIC, "all solutions"),
    "select one": (_QUADRATIC, "all solutions"),
    "list": (_QUADRATIC, "all solutions"),
    "set": (_QUADRATIC, "all solutions"),
    "integer": ("7x = 3 mod 26", "the solution"),
    "solvable or not": (_QUADRATIC, "whether any"),
    "order": (_QUADRATIC, "the steps"),
    "match": ("x^2 + x + 3 = 0 mod 25", "all solutions"),
    "guided": (_QUADRATIC, "all solutions"),
}
"""The question that shows a form, and what it asks."""


_SYMBOLS: tuple[Said, ...] = (
    say("This question shows what the platform keeps; it counts no points."),
    say(
        "Signs: equal $a = b$, not equal $a ≠ b$, congruent $a ≡ b$, not congruent "
        "$a ≢ b$, less $a < b$, at most $a ≤ b$, greater $a > b$, at least $a ≥ b$, "
        "divides $a ∣ b$, does not divide $a ∤ b$, belongs to $a ∈ {{1, 2}}$."
    ),
    say(
        "Forms: power $p^k$, index $x_1$, product $7 · 13$, negative $-3$, both signs "
        "$±5$, quotient $f(r)/3$, derivative $f'(r)$, factorial $5!$, symbol $(2/7)$, "
        "function $φ(36)$, empty set $∅$, and so on $1, 2, …, n$."
    ),
)
"""Every symbol that questions and worked solutions use, in words that say what each is."""


def symbols(speaker: Speaker) -> Blocks:
    return tuple(Paragraph(speaker.inlines(said)) for said in _SYMBOLS)


def canary(form: str, number: int, language: str) -> Item:
    """The canary of a form, with what stands in for it where a format does not carry it."""
    statement, ask = ASKED[form]
    problem = problem_from([statement])
    solution = problem.solve()
    slips = problem.slips(solution)
    speaker = Speaker(language)
    shown = symbols(speaker)

    def in_form(wanted: str) -> Item:
        wording = Wording(
            title=speaker.text(say("Check of the platform ({n})", n=number)),
            ask=ask,
            form=wanted,
            rule="all or nothing",
            points=1,
            outcomes=(),
            level="easy",
            provenance=Provenance(family=FAMILY, version=1, seed=form, index=number - 1),
            language=language,
        )
        item = compose.compose(problem, solution, slips, wording)
        stem = (*item.stem, *shown)
        response = item.response
        if isinstance(response, IntegerEntry) and response.least_stem:
            response = replace(response, least_stem=(*response.least_stem, *shown))
        return replace(item, stem=stem, spoken=spoken.blocks(stem, language), response=response)

    item, stand_in = in_form(form), FORMS[form].stand_in
    return replace(item, plain=in_form(stand_in)) if stand_in else item


def with_canaries(release: Release) -> Release:
    """The release with a canary for each of its forms before all else."""
    forms, language = _forms_of(release.groups), release.language
    items = [canary(form, n, language) for n, form in enumerate(forms, 1)]
    group = Group(
        family=FAMILY,
        title=Speaker(language).text(say("Check of the platform")),
        items=tuple(items),
        choose=len(items),
        points=0,
    )
    return replace(release, groups=(group, *release.groups))


def _forms_of(groups: Iterable[Group]) -> list[str]:
    """The response forms of the groups, in order; a group has one.

    Lines of which some are spare are matched with places in some formats.
    """
    responses = (next(iter(group.items)).response for group in groups)
    return list(dict.fromkeys(form for response in responses for form in _met_as(response)))


def _met_as(response: Response) -> tuple[str, ...]:
    if isinstance(response, PutInOrder) and response.spare:
        return response.form, "match"
    return (response.form,)
