"""What guessers score on each family in each form, and which bounds that breaks.

    python -m tests.bench.guessing_table [VARIANTS] [FAMILY ...]

VARIANTS (200) of each shipped family, or of those named: chance; the best strategy without
arithmetic; the best with one substitution; the best with a short modulus or small numbers; then
the bounds that are broken.  Last a table by topic and form, of the family that is guessed best.
Run by hand.
"""

import sys
from collections.abc import Iterator
from fractions import Fraction

from itembank.guessing.bounds import BOUNDS, broken
from itembank.guessing.figures import ENOUGH, Figures, Score
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.guesses import figures_of
from itembank.spec import find_families, library, load_family


def percent(share: Fraction | None) -> str:
    return "-" if share is None else f"{100 * float(share):.0f}%"


def told(score: Score | None) -> str:
    if score is None:
        return "-"
    habit = f"; {score.after.template}" if score.after else ""
    return f"{percent(score.share):>4} {score.name.template}{habit}"


def rows(family: str, form: str, found: Figures) -> Iterator[str]:
    name = f"{family} [{form}]"
    yield f"{name:50} {percent(found.chance):>4} | {told(found.best)} | {told(found.once)}"
    if found.small:
        yield f"{'':8}{told(found.small)}"
    if found.places:
        yield f"{'':8}places {' '.join(percent(share) for share, _due in found.places)}"
    if found.sizes:
        yield f"{'':8}solutions {', '.join(f'{n} x {size}' for size, n in found.sizes)}"
    for bound, value in broken(found):
        yield f"{'':8}BROKEN {bound.name}: {percent(value)}"


Rows = dict[tuple[str, str], list[tuple[str, Figures]]]
"""By topic and form, the families with their figures."""


def worst(table: Rows) -> Iterator[str]:
    """For each topic and form the family that is guessed the farthest above chance."""
    yield "| topic | form | families | chance | best guess | family |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for (topic, form), found in sorted(table.items()):
        guessed = [(name, f) for name, f in found if f.best]
        if not guessed:
            name, f = max(found, key=lambda pair: pair[1].stage or 0)
            share = f"{percent(f.stage)} of a stage"
        else:
            name, f = max(guessed, key=lambda pair: pair[1].above_chance)
            share = percent(f.best.share) if f.best else "-"
            share += f", {percent(f.once.share)} with one substitution" if f.once else ""
        yield f"| {topic} | {form} | {len(found)} | {percent(f.chance)} | {share} | {name} |"


def main() -> None:
    numbers = [a for a in sys.argv[1:] if a.isdigit()]
    named = [a for a in sys.argv[1:] if not a.isdigit()]
    wanted = int(numbers[0]) if numbers else ENOUGH
    table: Rows = {}
    counted = dict.fromkeys((bound.name for bound in BOUNDS), 0)
    for name, path in sorted(find_families([library() / "families"]).items()):
        if named and name not in named:
            continue
        family = load_family(path, SIGNATURES)
        for form, found in figures_of(family, wanted).items():
            print("\n".join(rows(name, form, found)), flush=True)
            table.setdefault((path.parent.name, form), []).append((name, found))
            for bound, _value in broken(found):
                counted[bound.name] += 1
    print("\n".join(("", *worst(table))))
    print("\nbroken, in so many families and forms:")
    for template, n in counted.items():
        print(f"{n:5} {template}")


if __name__ == "__main__":
    main()
