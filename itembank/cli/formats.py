"""formats: what each format carries, as its writer states it."""

import click

from itembank.cli.console import echo, json_option, say_json
from itembank.values.vocabulary import FORMATS
from itembank.values.worded import joined


@click.command()
@click.argument("names", metavar="[FORMAT]...", nargs=-1, type=click.Choice(FORMATS))
@click.option("--table", is_flag=True, help="One table of all, in Markdown, as README shows it.")
@json_option
def formats(names: tuple[str, ...], table: bool, as_json: bool) -> None:
    """Say what each FORMAT carries: forms, scoring, feedback, mathematics.

    What a format cannot carry is written in the form that the family declares as its substitute,
    or refused with the item's name; what no package can say stands on the load card.

    \b
    Examples:
      itembank formats qti30
      itembank formats --json
    """
    from exporters import abilities
    from exporters.formats import FORMATS as KNOWN

    chosen = [KNOWN[name] for name in dict.fromkeys(names) or FORMATS]
    if as_json:
        say_json([abilities.as_json(f) for f in chosen])
    elif table:
        echo("\n".join(abilities.markdown(chosen)))
    else:
        echo(joined("\n\n", (joined("\n", abilities.lines(f)) for f in chosen)))
