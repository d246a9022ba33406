"""solve: the worked solution of what is typed."""

import re
import sys
from typing import TYPE_CHECKING, Any

import click

from itembank.cli.console import echo, json_option, say_json
from itembank.cli.speech import LANGUAGE
from itembank.values.course import AS_USUAL, Teaching
from itembank.values.errors import StatementError

if TYPE_CHECKING:
    from itembank.kinds.asked.front import Asked
    from itembank.kinds.base import Solution

_STATEMENT = re.compile(r"-(?!-).*[\s=≡%]")
"""What begins with a minus sign and is no option: no option of one letter has a value."""


class _Statements(click.Command):
    """A command whose arguments may begin with a minus sign: -x = 3 mod 7."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """The parser takes for an option what begins with a hyphen, so a space goes before it."""
        return super().parse_args(ctx, [f" {a}" if _STATEMENT.match(a) else a for a in args])


@click.command(cls=_Statements)
@click.argument("statements", metavar="STATEMENT...", nargs=-1, required=True)
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "latex", "html"]),
    default="text",
    show_default=True,
    help="How the worked solution is written.",
)
@click.option(
    "--language",
    metavar="TAG",
    help="The language of the worked solution, one that there is a catalogue for: en, de, es. "
    "[default: that of the course, or of the messages]",
)
@click.option(
    "--course",
    "course_file",
    type=click.Path(),
    metavar="FILE",
    help="The file of a course: its language, notation and methods.",
)
@json_option
def solve(
    statements: tuple[str, ...],
    form: str,
    language: str | None,
    course_file: str | None,
    as_json: bool,
) -> None:
    """The worked solution of a congruence, or of a question about residues.

    \b
    Examples:
      itembank solve "x^2 + 3x + 8 = 0 mod 36"
      itembank solve "3x^3 - x ≡ 5 (mod 49)" --as latex
      itembank solve "6x = 4 mod 10" --json
      itembank solve "x = 2 mod 3, x = 3 mod 5"
      itembank solve "2x + 3y = 5 mod 7" "x - y = 1 mod 7"
      itembank solve "number of solutions of x^2 = 1 mod 360"
      itembank solve "inverse of 7 mod 26"
      itembank solve "7^222 mod 1000"
      itembank solve "last two digits of 7^222"
      itembank solve "2*7^222 + 20!/10! mod 11"
      itembank solve "12x + 30y = 18"
      itembank solve "10! mod 11"
      itembank solve "order of 7 mod 48"
      itembank solve "primitive roots mod 17"
      itembank solve "index of 5 base 3 mod 17"
      itembank solve "(3/7)"
      itembank solve "squares mod 13"
      itembank solve "units mod 12"
      itembank solve "phi(36)"
      itembank solve "isbn 0-306-40615-?"

    Powers are written ^ or **, products 2x or 2*x; the unknown is any letter; both sides may hold
    it. The modulus may be a product: 3^40, 7*11^2; a negative one means its absolute value. LaTeX
    is read too, and words such as "Solve" and "how many solutions has". Several congruences are
    parted by commas, semicolons or "and". A fraction modulo m means the inverse: 1/3 x = 2 mod 7.

    Conventions: 0^0 is 1; the index of 1 is 0; modulo 1 there is one residue, 0; "squares"
    include 0, "quadratic residues" are coprime to the modulus; 0 is not counted as a zero divisor.
    """
    from itembank.kinds.asked.front import asked

    try:
        question = asked(statements)
        solution = question.problem.solve()
    except StatementError as reason:
        if not as_json:
            raise
        say_json({"statement": [line.strip() for line in statements], "refused": str(reason)})
        sys.exit(2)
    if as_json:
        from itembank.kinds.asked.as_json import document

        say_json(document(question, solution))
    else:
        spoken, teaching = _told_as(language, course_file)
        echo(_solution_as(form, spoken, teaching, question, solution))


def _told_as(language: str | None, course_file: str | None) -> tuple[str, Teaching]:
    """The language and the teaching of a course, as far as the language is not said."""
    if course_file is None:
        return language or LANGUAGE.get(), AS_USUAL
    from pathlib import Path

    from itembank.spec.course import load_course

    course = load_course(Path(course_file))
    return language or course.language or LANGUAGE.get(), course.teaching


def _solution_as(
    form: str, language: str, teaching: Teaching, question: "Asked", solution: "Solution[Any]"
) -> str:
    """The congruence and its worked solution in one of the forms, in a language."""
    from itembank.kinds.base import taught, worked_for
    from itembank.languages import Speaker
    from itembank.languages.catalogue import held_for
    from itembank.notation.tree import Display

    held_for(language)
    problem, speaker = question.problem, Speaker(language, teaching.notation)
    way = taught(problem, solution, teaching.methods)
    notes, shown = question.notes, Display(problem.shown)
    telling = worked_for(problem, way, question.ask) if question.in_words else problem.worked(way)
    blocks = (*speaker.blocks(notes), *speaker.blocks((shown,)), *speaker.blocks(telling))
    if form == "latex":
        from itembank.notation import latex

        return latex.blocks(blocks)
    if form == "html":
        from itembank.notation import page

        return page.document("; ".join(problem.statement), blocks, language)
    from itembank.notation import plain

    return plain.blocks(blocks)
