"""begin: a family file to change."""

from pathlib import Path

import click

from itembank.cli.console import echo
from itembank.values import files
from itembank.values.worded import worded


@click.command()
@click.argument("family", metavar="ID")
@click.option("--kind", required=True, help="The kind of problem; `itembank kinds` lists them.")
@click.option(
    "--out",
    default=".",
    type=click.Path(file_okay=False, path_type=Path),
    help="The folder of the new file. Default: this one.",
)
def begin(family: str, kind: str, out: Path) -> None:
    """Begin a family: write ID.yaml, a file with comments that passes check, to be changed.

    \b
    Example:
      itembank begin parcels --kind linear
    """
    from itembank.kinds.table import SIGNATURES
    from itembank.pipeline.reference import kind_reference
    from itembank.spec import library
    from itembank.spec.beginning import begun, is_id, plainest
    from itembank.spec.nodes import unknown
    from itembank.values.errors import ItemBankError

    if kind not in SIGNATURES:
        raise click.BadParameter(
            unknown("kind of problem", kind, SIGNATURES), param_hint="'--kind'"
        )
    if not is_id(family):
        raise click.BadParameter(
            worded(
                "expected lower-case letters, digits and single hyphens, such as "
                "parcels-in-boxes; got {family}",
                family=repr(family),
            ),
            param_hint="'ID'",
        )
    path = out / f"{family}.yaml"
    if path.exists():
        raise ItemBankError(
            worded("{path}: expected no file of this name, found one; choose another ID", path=path)
        )
    families = kind_reference(kind).families
    if not families:
        raise ItemBankError(
            worded("no family of the kind '{kind}' is shipped to begin from", kind=kind)
        )
    text = begun(
        family,
        SIGNATURES[kind],
        plainest([found.read_text(encoding="utf-8") for _id, found in families]),
        (library() / "schema" / "family.schema.json").resolve().as_uri(),
    )
    files.write_whole(path, text.encode())
    echo(worded("{path}: a family of the kind '{kind}' to change", path=path, kind=kind))
