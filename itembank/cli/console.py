"""What all commands share on the terminal: JSON, and progress."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

from itembank.cli.speech import spoken_here

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def echo(text: str, err: bool = False) -> None:
    """A text for people, in the language of the command; `err` for standard error."""
    click.echo(spoken_here(text), err=err)


def say_json(value: object) -> None:
    """One JSON document on standard output."""
    import json

    click.echo(json.dumps(value, ensure_ascii=False, indent=2))


@contextmanager
def progress(label: str, length: int) -> Iterator[Callable[[str], None]]:
    """What to call for each thing done: a bar on standard error, where that is a terminal."""
    if not sys.stderr.isatty():
        yield lambda _name: None
        return
    with click.progressbar(length=length, label=spoken_here(label), file=sys.stderr) as bar:
        yield lambda _name: bar.update(1)
