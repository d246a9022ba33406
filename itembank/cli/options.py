"""Options that several commands share, each with one meaning."""

from pathlib import Path

import click

from itembank.values.vocabulary import DIALECTS, FORMATS, PAPERS, PROFILES, PURPOSES

term_option = click.option(
    "--term", required=True, help="The term, such as 2027-spring; it names the packages."
)
out_option = click.option(
    "--out",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for what is written; made if it is missing.",
)
to_option = click.option(
    "--to",
    "formats",
    multiple=True,
    type=click.Choice(FORMATS),
    help="A format; may be given several times; `itembank formats` says what each carries. "
    "Default: qti21, cc13.",
)
math_option = click.option(
    "--math",
    type=click.Choice(DIALECTS),
    help="How mathematics is written. Default: what is usual for each format.",
)
as_option = click.option(
    "--as",
    "purpose",
    type=click.Choice(PURPOSES),
    help="A question bank to draw from, or a quiz to be sat. Default: what is usual for each "
    "format.",
)
profile_option = click.option(
    "--profile",
    type=click.Choice(PROFILES),
    default=PROFILES[0],
    show_default=True,
    help="plain: one choice or one entry an item, its answer complete; full: every form that the "
    "format carries.",
)
specs_option = click.option(
    "--specs",
    multiple=True,
    type=click.Path(exists=True, path_type=Path),
    help="Folder or file with families; may be given several times. Default: those in the folder "
    "of the pool and below, and the shipped library.",
)
bank_option = click.option(
    "--bank",
    metavar="URL",
    envvar="ITEMBANK_BANK",
    help="The bank: a file, or postgresql+psycopg://USER@HOST/DATABASE; also from the variable "
    "ITEMBANK_BANK. Default: itembank.db beside the pool's file, or here for a shipped pool.",
)
jobs_option = click.option(
    "--jobs",
    type=click.IntRange(1, 64),
    default=1,
    show_default=True,
    help="Processes that share the work; the result does not depend on it.",
)
cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS",
    help="A Dask scheduler, such as tcp://host:8786, whose workers share the work instead (the "
    "extra `cluster`); the result does not depend on it.",
)
copies_option = click.option(
    "--copies",
    type=click.IntRange(1, 2000),
    metavar="N",
    help="A quiz on paper (html, latex): N copies, each drawn as the pool says, each with a code. "
    "Default: one sheet.",
)
paper_option = click.option(
    "--paper",
    type=click.Choice(PAPERS),
    default=PAPERS[0],
    show_default=True,
    help="The size of a sheet (html, latex).",
)
pdf_option = click.option(
    "--pdf",
    is_flag=True,
    help="Compile the sources of the format latex too, with the pdflatex or lualatex of this "
    "machine.",
)
languages_option = click.option(
    "--language",
    "languages",
    multiple=True,
    metavar="TAG",
    help="A language, such as de; may be given several times: the same questions in each. "
    "Default: those of the pool.",
)
canary_option = click.option(
    "--canary",
    is_flag=True,
    help="Put questions first that count nothing and show every symbol and each response form, "
    "to see what the platform keeps.",
)
new_term_option = click.option(
    "--new-term",
    is_flag=True,
    help="The term is a new one, though its name is nearly that of one before.",
)
dry_run_option = click.option(
    "--dry-run", is_flag=True, help="Say what would be done; change neither the bank nor a file."
)
