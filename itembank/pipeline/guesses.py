"""What guessers score on a family: some of its variants, asked in each form.

The questions of a family are composed without their solutions and are not proved again, since they
go to simulated students alone.
"""

from collections.abc import Iterable, Sequence
from itertools import islice

from itembank.guessing import telling
from itembank.guessing.figures import ENOUGH, Figures, Tally
from itembank.guessing.met import met
from itembank.guessing.pool import figures_of_groups
from itembank.pipeline import compose
from itembank.pipeline.candidates import Fits
from itembank.pipeline.selection import fits, goes_in, in_its_range, wording
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family
from itembank.values.errors import DrawError
from itembank.values.item import Item, Provenance
from itembank.values.worded import worded

Tallies = dict[str, Tally]
"""What guessers have met so far, by response form."""


def figures_of(
    family: Family,
    variants: int = ENOUGH,
    suits: Fits | None = None,
    forms: Sequence[str] | None = None,
    part: Family | None = None,
) -> dict[str, Figures]:
    """For each response form, or for these, what guessers score on the family's first variants.

    Of a family in parts, at one `part` of them.
    """
    stream = islice(Stream(family, "guessing", suits or fits(family)), variants)
    if part is None:
        return figures_over(family, stream, forms)
    return figures_over(part, (variant.of_part(part) for variant in stream), forms)


def figures_over(
    family: Family, variants: Iterable[Variant], forms: Sequence[str] | None = None
) -> dict[str, Figures]:
    """For each response form, or for these, what guessers score on the variants, in their order."""
    return scored(meet(tallies_of(family, forms), variants))


def tallies_of(family: Family, forms: Sequence[str] | None = None) -> Tallies:
    """For each response form, or for these, a tally that has met nothing."""
    radical = family.solutions is not None
    return {form: Tally(form, radical) for form in forms or family.forms}


def meet(tallies: Tallies, variants: Iterable[Variant]) -> Tallies:
    """The tallies, once they have met the variants too, each those that go in its form."""
    for variant in variants:
        for form, tally in tallies.items():
            if goes_in(variant, form):
                tally.meet(list(met(asked(variant, form))), variant.effort.steps)
    return tallies


def scored(tallies: Tallies) -> dict[str, Figures]:
    return {form: tally.figures() for form, tally in tallies.items()}


def refuse_guessable(
    pool: str, families: Iterable[Family], groups: Iterable[tuple[str, Iterable[Item]]]
) -> None:
    """DrawError where the questions of a group, by the name of its family, break a bound for sure.

    pool: its id.  Families that say why they may be guessed are left alone.
    """
    wanted = {part.id for family in families for part in family.each if family.guessing}
    faults = [
        worded(
            "{pool}: {family}, {form}: {line}; name another seed, more variants or another form",
            pool=pool,
            family=family,
            form=form,
            line=line,
        )
        for (family, form), figures in figures_of_groups(groups).items()
        if family not in wanted
        for line in telling.of_a_group(figures)
    ]
    if faults:
        raise DrawError("\n".join(faults))


def asked(variant: Variant, form: str) -> Item:
    """The question of a variant in a form, without its worked solution."""
    family, found = variant.family, variant.candidate
    provenance = Provenance(
        family=family.id, version=family.version, seed=variant.seed, index=variant.index
    )
    said = in_its_range(wording(family, form, 1, provenance), variant)
    return compose.question(found.problem, found.solution, found.slips, said)
