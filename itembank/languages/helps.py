"""The texts of help of the commands, as a catalogue holds them.

A command's text is the docstring of its function: each paragraph is a message of its own, its
lines joined. Of a paragraph that stands verbatim (examples) only lines that are no command are.
An option's text is one message. They are read off the source, so that nothing is imported.
"""

import ast
import inspect
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

PARAGRAPHS = "\n\n"
_VERBATIM = "\b"


def pieces(paragraph: str) -> list[str]:
    """What is translated of a paragraph, as it stands in it."""
    if not paragraph.startswith(_VERBATIM):
        return [paragraph] if paragraph.strip() else []
    return [line for line in paragraph.split("\n")[1:] if line and not line.startswith(" ")]


def _helps(source: str) -> Iterator[str]:
    """The messages of help in the source of a module, in order."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef) and any(map(_makes_a_command, node.decorator_list)):
            text = inspect.cleandoc(ast.get_docstring(node) or "")
            for paragraph in text.split(PARAGRAPHS):
                yield from (" ".join(piece.split()) for piece in pieces(paragraph))
        if isinstance(node, ast.Call):
            yield from (
                keyword.value.value
                for keyword in node.keywords
                if keyword.arg == "help"
                and isinstance(keyword.value, ast.Constant)
                and isinstance(keyword.value.value, str)
            )


def _makes_a_command(decorator: ast.expr) -> bool:
    """@click.command(...) and @click.group(...)."""
    return (
        isinstance(decorator, ast.Call)
        and isinstance(decorator.func, ast.Attribute)
        and decorator.func.attr in ("command", "group")
    )


def helps_of(room: "Path") -> Iterator[str]:
    for path in sorted(room.glob("*.py")):
        yield from _helps(path.read_text(encoding="utf-8"))


OF_CLICK = (
    "Aborted!",
    "Commands",
    "Options",
    "Positional arguments",
    "Usage:",
    "Error: {message}",
    "Try '{command} {option}' for help.",
    "Invalid value: {message}",
    "Invalid value for {param_hint}: {message}",
    "Missing argument",
    "Missing option",
    "Missing parameter",
    "Missing command.",
    "No such option {name!r}.",
    "No such command {name!r}.",
    "Choose from:\n\t{choices}",
    "{value!r} is not a valid {number_type}.",
    "{value} is not in the range {range}.",
    "{name} {filename!r} does not exist.",
    "{name} {filename!r} is a file.",
    "{name} {filename!r} is a directory.",
    "{name} {filename!r} is not readable.",
    "{name} {filename!r} is not writable.",
    "Option {name!r} does not take a value.",
    "%(prog)s, version %(version)s",
    "Show the version and exit.",
    "Show this message and exit.",
    "env var: {var}",
    "default: {default}",
    "required",
)
"""Sentences of the library that reads the command line, which asks our catalogue for them.

Those alone that it says when it runs: what it asks for when it is imported would stay in the
language of that time.
"""

OF_CLICK_COUNTED = (
    ("Did you mean {possibility}?", "(Did you mean one of: {possibilities}?)"),
    ("{value!r} is not {choice}.", "{value!r} is not one of {choices}."),
    ("Got unexpected extra argument ({args})", "Got unexpected extra arguments ({args})"),
    ("Option {name!r} requires an argument.", "Option {name!r} requires {nargs} arguments."),
    ("Argument {name!r} takes {nargs} value.", "Argument {name!r} takes {nargs} values."),
)
