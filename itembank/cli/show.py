"""show: variants of a family as its author looks at them."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import opened_bank
from itembank.cli.console import echo
from itembank.cli.options import bank_option
from itembank.cli.speech import LANGUAGE, spoken_here
from itembank.languages.spoken import spoken
from itembank.values.worded import worded

if TYPE_CHECKING:
    from collections.abc import Callable

    from itembank.pipeline.showing import Wish
    from itembank.pipeline.variants import Variant


@click.command()
@click.argument("family", metavar="FAMILY")
@click.option(
    "-n", "variants", type=click.IntRange(1, 200), default=1, show_default=True, help="How many."
)
@click.option("--form", help="The response form. Default: the family's first.")
@click.option(
    "--variant", "first", type=click.IntRange(0), default=0, help="The first of them, from 0."
)
@click.option(
    "--as",
    "form_of_text",
    type=click.Choice(["text", "html"]),
    default="text",
    show_default=True,
    help="For the terminal, or as a page.",
)
@click.option(
    "--watch",
    is_flag=True,
    help="Serve the page on this machine alone; it renews itself while the file is edited.",
)
@bank_option
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Of the page. Default: a free one."
)
def show(
    family: str,
    variants: int,
    form: str | None,
    first: int,
    form_of_text: str,
    watch: bool,
    bank: str | None,
    port: int,
) -> None:
    """Show variants of a FAMILY: a file, or the id of a shipped one.

    The question, its options with the slips that lead to them, the key, the feedback, the worked
    solution; of more than one also what guessers score. With --watch as a page that renews itself
    while the file is edited, and shows its faults; only this machine can open it, it writes
    nothing, and it is gone with the command.

    With --bank it tells what share of a class is expected to be right, by the results on record.

    \b
    Examples:
      itembank show linear-one-solution
      itembank show my-family.yaml -n 5 --form "select one"
      itembank show my-family.yaml --watch
    """
    from itembank.pipeline import showing

    path = _family_file(family)
    wish = showing.Wish(
        first=first, variants=variants, form=form, expected=_expected_by(bank) if bank else None
    )
    if watch:
        _serve(path, wish, port)
        return
    found = showing.shown(path, wish)
    if form_of_text == "html":
        click.echo(showing.as_page(found, told=spoken_here, language=LANGUAGE.get()))
    else:
        echo(showing.as_text(found))
    if found.faults:
        sys.exit(1)


def _expected_by(place: str) -> "Callable[[Variant, str], str]":
    """What is told of a variant in a form: the share of a class that is expected to be right."""
    from itembank.terms.scores import model_of
    from itembank.terms.status import features_of
    from itembank.values.errors import NoModel

    try:
        model = model_of(opened_bank(place))
    except NoModel as error:
        reason = worded("{why}; the steps are all that is known", why=error)
        return lambda _variant, _form: reason

    def expected(v: "Variant", form: str) -> str:
        share = model.share(features_of(v, form), v.family.id)
        return worded("of a class {share} expected", share=share)

    return expected


def _serve(path: Path, wish: "Wish", port: int) -> None:
    """The page, until the command is interrupted."""
    from itembank.cli.watching import server
    from itembank.pipeline import showing

    language = LANGUAGE.get()

    def page() -> str:
        found = showing.shown(path, wish)
        return showing.as_page(found, True, lambda text: spoken(text, language), language)

    with server(path, page, showing.RENEW, port) as it:
        echo(worded("http://127.0.0.1:{port}/ (Ctrl-C ends it)", port=it.server_port))
        try:
            it.serve_forever(poll_interval=0.25)
        except KeyboardInterrupt:
            echo("")


def _family_file(name: str) -> Path:
    """The file that is named, or that of the shipped family of this id."""
    from itembank.spec import find_families, library
    from itembank.spec.nodes import near_miss

    path = Path(name)
    if path.suffix or path.exists():
        if not path.is_file():
            raise click.UsageError(worded("no file '{name}'", name=name))
        return path
    shipped = find_families([library() / "families"])
    if name not in shipped:
        near = near_miss(name, shipped)
        if near:
            told = worded(
                "no file '{name}', and no shipped family of that id; did you mean '{near}'?",
                name=name,
                near=near,
            )
        else:
            told = worded(
                "no file '{name}', and no shipped family of that id; `itembank kinds KIND` lists "
                "them",
                name=name,
            )
        raise click.UsageError(told)
    return shipped[name]
