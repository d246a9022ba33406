"""kinds: what a family may say."""

import click

from itembank.cli.console import echo, json_option, say_json


@click.command()
@click.argument("kind", required=False)
@json_option
def kinds(kind: str | None, as_json: bool) -> None:
    """The kinds of problem, or what a family of one KIND may say.

    What may be given, what asked and in which forms, what a condition may name, which slips there
    are, each with what a student is told in one variant, and the families that are shipped.

    \b
    Examples:
      itembank kinds
      itembank kinds polynomial
    """
    from itembank.kinds.table import SIGNATURES
    from itembank.pipeline import reference
    from itembank.spec.nodes import unknown

    if kind is None:
        if as_json:
            say_json([reference.kind_reference(name).as_json({}) for name in SIGNATURES])
        else:
            echo(reference.overview())
        return
    if kind not in SIGNATURES:
        raise click.UsageError(unknown("kind of problem", kind, SIGNATURES))
    found = reference.kind_reference(kind)
    told = reference.slips_told(found)
    if as_json:
        say_json(found.as_json(told))
    else:
        echo(reference.as_text(found, told))
