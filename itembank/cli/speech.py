"""The language that the commands speak, which need not be that of a pool or of a packet.

`--speak`, else the variable ITEMBANK_LANGUAGE, else the variables by which every program is told
(LANGUAGE, LC_ALL, LC_MESSAGES, LANG); English where none asks for a language that we have. JSON
is for programs and stays as it is.

What the library of the command line says itself (usage, options, missing arguments) comes from
the same catalogue: that library asks Python's gettext, which asks the variable LANGUAGE.
"""

import copy
import gettext
import inspect
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

import click

from itembank.languages import catalogue
from itembank.languages.catalogue import ENGLISH, held_for, languages, translated
from itembank.languages.helps import PARAGRAPHS, pieces
from itembank.languages.spoken import of_environment, spoken
from itembank.values.errors import LanguageError
from itembank.values.worded import worded, wording

_VARIABLE = "ITEMBANK_LANGUAGE"

LANGUAGE: ContextVar[str] = ContextVar("LANGUAGE", default=ENGLISH)
"""The language of the command that runs."""


@contextmanager
def speech() -> Iterator[None]:
    """While a command runs: it begins in the language of the environment, and leaves no trace."""
    kept = os.environ.get("LANGUAGE")
    gettext.bindtextdomain("itembank", str(catalogue.LOCALE))
    gettext.textdomain("itembank")
    try:
        _speak_in(of_environment(os.environ))
        yield
    finally:
        if kept is None:
            os.environ.pop("LANGUAGE", None)
        else:
            os.environ["LANGUAGE"] = kept


Spoken = TypeVar("Spoken", bound=click.Command)


def _speak_in(language: str) -> None:
    LANGUAGE.set(language)
    os.environ["LANGUAGE"] = language.replace("-", "_")


def spoken_here(text: str) -> str:
    """A text in the language of the command that runs."""
    return spoken(text, LANGUAGE.get())


def _chosen(_ctx: click.Context, _param: click.Parameter, tag: str | None) -> None:
    """What --speak or the variable of ours asks for."""
    if not tag:
        return
    try:
        _speak_in(held_for(tag.partition(".")[0].replace("_", "-")))
    except LanguageError:
        known = ", ".join(languages())
        raise click.BadParameter(
            worded(
                "expected a language with a catalogue: {known}; got {tag}",
                known=known,
                tag=repr(tag),
            )
        ) from None


speak_option = click.option(
    "--speak",
    metavar="TAG",
    envvar=_VARIABLE,
    is_eager=True,
    expose_value=False,
    callback=_chosen,
    help="The language of messages, such as de; also from the variable ITEMBANK_LANGUAGE. "
    "Default: the language of this machine, or English.",
)


def usage_error(error: click.UsageError) -> click.UsageError:
    """The error with what it says in the language of the command."""
    error.message = spoken_here(error.message)  # type: ignore[misc]  # the library reads it when it prints
    return error


def said_by(error: BaseException) -> str:
    """What an error of ours says, in the language of the command."""
    return spoken_here(wording(error))


# ------------------------------------------------------------ help


def in_language(command: Spoken) -> Spoken:
    """A copy of the command that tells of itself in the language of the command line."""
    language = LANGUAGE.get()
    if language == ENGLISH:
        return command
    found = copy.copy(command)
    found._help_option = None  # made when it is asked for, in the language of that time
    found.help = _help_in(language, command.help or "")
    found.params = [_param_in(language, param) for param in command.params]
    return found


def _param_in(language: str, param: click.Parameter) -> click.Parameter:
    if not isinstance(param, click.Option) or not param.help:
        return param
    found = copy.copy(param)
    found.help = translated(language, param.help)
    return found


def _help_in(language: str, text: str) -> str:
    """A text of help, paragraph by paragraph; what stands in it verbatim, line by line."""
    done = []
    for paragraph in inspect.cleandoc(text).split(PARAGRAPHS):
        for piece in pieces(paragraph):
            paragraph = paragraph.replace(piece, translated(language, " ".join(piece.split())))
        done.append(paragraph)
    return PARAGRAPHS.join(done)
