"""The command line: wires the rest together, and nothing else.

A command is a file here, or a few that belong together.  Each imports what it needs when it
runs, so that `--help` stays quick.  A user's mistake is an ItemBankError and becomes one clear
line here; exit code 0 is fine, 1 findings or an error, 2 a command or a statement that cannot be
understood.
"""

import gc
import sys
from importlib import import_module
from typing import Any

import click

from itembank import __version__
from itembank.cli import speech
from itembank.values.collecting import collect_seldom
from itembank.values.errors import ItemBankError, StatementError
from itembank.values.worded import worded

collect_seldom()

COMMANDS = {
    "make": "make",
    "solve": "solve",
    "check": "check",
    "kinds": "kinds",
    "show": "show",
    "begin": "begin",
    "audit": "audit",
    "draw": "bank",
    "export": "bank",
    "withdraw": "withdraw",
    "rescoring": "withdraw",
    "history": "record",
    "releases": "record",
    "record": "record",
    "copy": "record",
    "results": "results",
    "reports": "reports",
    "clear": "results",
    "status": "status",
    "formats": "formats",
    "packet": "packet",
    "decide": "packet",
}
"""The commands, each with the file that holds it and is imported when it is called."""


_SELDOM = (100_000, 20, 100)
"""How seldom cycles are looked for: items are trees, which have none, and many are held at once.
A packet of 300 items takes a sixth less time."""


class _Commands(click.Group):
    """Loads a command when it is named; turns every ItemBankError into its message and an exit
    code."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command = getattr(import_module(f"itembank.cli.{COMMANDS[cmd_name]}"), cmd_name)
        assert isinstance(command, click.Command)
        return speech.in_language(command)

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except StatementError as e:
            raise click.UsageError(speech.said_by(e)) from None
        except click.UsageError as e:
            e.ctx = None  # one line, without the usage of the command
            raise speech.usage_error(e) from None
        except ItemBankError as e:
            click.echo(speech.said_by(e), err=True)
            sys.exit(1)
        except RecursionError:
            told = worded("the input is nested too deeply; simplify it")
            click.echo(speech.spoken_here(told), err=True)
            sys.exit(1)

    def main(self, *args: Any, **kwargs: Any) -> Any:
        self._help_option = None  # it is made anew, in the language of this run
        with speech.speech():
            return super().main(*args, **kwargs)

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        click.Group.format_help(speech.in_language(self), ctx, formatter)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if not args:
            args = ["--help"]
        return super().parse_args(ctx, args)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="itembank")
@speech.speak_option
def main() -> None:
    """Congruence questions with proven answer sets, as open-standard QTI packages.

    \b
    Draw, prove, export and audit the pool of a term:
      itembank make week-3-homework --term 2027-spring --out packages
    Solve a congruence with its working:
      itembank solve "x^2 + 3x + 8 = 0 mod 36"

    Packages are for a person to review and sign before students see them; the assessment rules
    of your institution come first.
    """
    gc.set_threshold(*_SELDOM)
