"""solve: the worked solution of what is typed."""

import re
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

import click

from itembank.cli.console import json_option, say

if TYPE_CHECKING:
    from itembank.kinds.base import Problem, Solution
    from itembank.languages import Said
    from itembank.values.answer import Answer

MOST_LISTED = 10_000
"""Longer lists of solutions or classes are null in JSON."""


STATEMENT = re.compile(r"-(?!-).*[\s=]")
"""What begins with a minus sign and is no option: no option of one letter has a value."""


class Statements(click.Command):
    """A command whose arguments may begin with a minus sign: -x = 3 mod 7."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """The parser takes for an option what begins with a hyphen, so a space goes before it."""
        return super().parse_args(ctx, [f" {a}" if STATEMENT.match(a) else a for a in args])


@click.command(cls=Statements)
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
    default="en",
    show_default=True,
    metavar="TAG",
    help="The language of the worked solution, one that there is a catalogue for: en, de.",
)
@json_option
def solve(statements: tuple[str, ...], form: str, language: str, as_json: bool) -> None:
    """The worked solution of a congruence, or of a question about residues.

    \b
    Examples:
      itembank solve "x^2 + 3x + 8 = 0 mod 36"
      itembank solve "3x^3 - x ≡ 5 (mod 49)" --as latex
      itembank solve "6x = 4 mod 10" --json
      itembank solve "x = 2 mod 3" "x = 3 mod 5"
      itembank solve "2x + 3y = 5 mod 7" "x - y = 1 mod 7"
      itembank solve "number of solutions of x^2 = 1 mod 360"
      itembank solve "inverse of 7 mod 26"
      itembank solve "7^222 mod 1000"
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
    it. The modulus may be a product: 3^40, 7*11^2.

    Conventions: 0^0 is 1; the index of 1 is 0; modulo 1 there is one residue, 0; "squares"
    include 0, "quadratic residues" are coprime to the modulus; 0 is not counted as a zero divisor.
    """
    from itembank.kinds.statement import problem_from

    problem = problem_from([statement.strip() for statement in statements])
    solution = problem.solve()
    if as_json:
        say(solution_as_json(problem, solution))
    else:
        click.echo(solution_as(form, language, problem, solution))


def solution_as(form: str, language: str, problem: "Problem", solution: "Solution[Any]") -> str:
    """The congruence and its worked solution in one of the forms, in a language."""
    from itembank.languages import Speaker
    from itembank.languages.catalogue import held_for
    from itembank.notation import page, plain, tex
    from itembank.notation.tree import Display

    held_for(language)
    told = Speaker(language).blocks(problem.worked(solution))
    blocks = (Display(problem.shown), *told)
    if form == "latex":
        return tex.blocks(blocks)
    if form == "html":
        return page.document("; ".join(problem.statement), blocks, language)
    return plain.blocks(blocks)


def solution_as_json(problem: "Problem", solution: "Solution[Any]") -> dict[str, object]:
    return {
        "statement": "; ".join(problem.statement),
        "kind": problem.kind,
        **answer_as_json(solution.answer),
        **absence_as_json(problem, solution),
        "steps": [
            {"step": step.name, "effort": step.effort, **as_json_value(step)}
            for step in solution.steps
        ],
    }


def answer_as_json(answer: "Answer") -> dict[str, object]:
    """A set as its classes and residues (null where too long to list), a value as itself."""
    from itembank.values.answer import Absent, Pairs, ResidueSet, Truth, Value

    match answer:
        case ResidueSet():
            listed = answer.class_count <= MOST_LISTED
            return {
                "modulus": answer.modulus,
                "count": answer.count,
                "classes": [list(c) for c in answer.classes()] if listed else None,
                "solutions": list(answer.residues()) if answer.count <= MOST_LISTED else None,
            }
        case Pairs(modulus, pairs):
            return {"modulus": modulus, "count": len(pairs), "solutions": [list(p) for p in pairs]}
        case Value(value, None):
            return {"value": value}
        case Value(value, modulus):
            return {"value": value, "modulus": modulus}
        case Truth(holds):
            return {"value": holds}
        case Absent(reason):
            return {"exists": False, "reason": one_line(reason)}


def absence_as_json(problem: "Problem", solution: "Solution[Any]") -> dict[str, object]:
    """Of a set that is empty because there are no such things: that, and why."""
    why = getattr(problem, "why_none", None)
    reason = why(solution.answer) if why else None
    return {"exists": False, "reason": one_line(reason)} if reason else {}


def one_line(said: "Said | str") -> str:
    """A message, or prose with formulas, as plain text."""
    from itembank.languages import Speaker
    from itembank.notation import plain
    from itembank.notation.prose import prose

    return plain.inlines(prose(said)) if isinstance(said, str) else Speaker().text(said)


def as_json_value(value: Any) -> Any:
    """A step with its numbers, as plain data."""
    if is_dataclass(value):
        return {f.name: as_json_value(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, dict):
        return {str(k): as_json_value(v) for k, v in value.items()}
    if hasattr(value, "_asdict"):
        return as_json_value(value._asdict())
    if isinstance(value, list | tuple | range):
        return [as_json_value(v) for v in value]
    return value
