"""Keeping catalogues: `python -m itembank.languages COMMAND`.

    extract [LANGUAGE ...]   every template of the code into the catalogues, old translations kept
    compile                  catalogues as the program reads them
    missing [LANGUAGE ...]   templates without a translation, and those whose slots differ
    begin LANGUAGE           a catalogue for a new language

Run from a checkout: catalogues (`.po`) and their compiled form (`.mo`) lie in `locale/` here.
Extraction and compilation are Babel's.
"""

import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from string import Formatter

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from itembank.languages.catalogue import LOCALE, NUMBER_WORDS
from itembank.languages.helps import OF_CLICK, OF_CLICK_COUNTED, helps_of

_PRODUCT = Path(__file__).parent.parent.parent
_ROOMS = ("itembank", "exporters")
_COMMANDS_ROOM = Path("itembank") / "cli"

_KEYWORDS = {
    "say": None,
    "lead": None,
    "done": None,
    "counted": (1, 2),
    "_": None,
    "ngettext": (1, 2),
    "worded": None,
    "tallied": (1, 2),
}
"""What marks a template: the functions whose first argument, or first two, are one."""

_UNDATED = datetime(2026, 1, 1, tzinfo=UTC)
"""Catalogues carry no clock: the same templates give the same bytes."""

Templates = dict[str, str]
"""Every template with its plural, or ""."""


def templates() -> Templates:
    """The templates of the code, sorted; a template has one plural wherever it stands."""
    found = dict.fromkeys((*NUMBER_WORDS, *OF_CLICK, *helps_of(_PRODUCT / _COMMANDS_ROOM)), "")
    found |= dict(OF_CLICK_COUNTED)
    for room in _ROOMS:
        for _file, _line, message, _comments, _context in extract_from_dir(
            _PRODUCT / room, [("**.py", "python")], keywords=_KEYWORDS
        ):
            one, many = message if isinstance(message, tuple) else (message, "")
            if found.get(one, many) != many and found[one] and many:
                raise SystemExit(f"{one!r}: two plurals, {found[one]!r} and {many!r}")
            found[one] = found.get(one) or many
    return dict(sorted(found.items()))


def path(language: str, ending: str) -> Path:
    return Path(LOCALE) / language.replace("-", "_") / "LC_MESSAGES" / f"itembank.{ending}"


def held(language: str) -> Catalog:
    """The catalogue of a language as it stands."""
    file = path(language, "po")
    if not file.exists():
        raise SystemExit(f"{language}: no catalogue; begin one with: begin {language}")
    with file.open("rb") as stream:
        return read_po(stream, locale=language.replace("-", "_"))


def renewed(language: str, old: Catalog | None) -> Catalog:
    """Every template of the code, with the translations of the old catalogue that still serve."""
    catalogue = Catalog(
        locale=language.replace("-", "_"),
        project="itembank",
        copyright_holder="the maintainers of itembank",
        last_translator="the maintainers of itembank",
        language_team=language,
        creation_date=_UNDATED,
        revision_date=_UNDATED,
        fuzzy=False,
    )
    for one, many in templates().items():
        kept = old.get(one) if old else None
        empty: str | tuple[str, ...] = ("",) * catalogue.num_plurals if many else ""
        same = kept is not None and isinstance(kept.id, tuple) == bool(many)
        catalogue.add((one, many) if many else one, kept.string if kept and same else empty)
    return catalogue


def write(language: str, catalogue: Catalog) -> None:
    text = BytesIO()
    write_po(text, catalogue, width=0, sort_output=True, no_location=True)
    file = path(language, "po")
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(text.getvalue())


def compiled(catalogue: Catalog) -> bytes:
    """The catalogue as the program reads it."""
    stream = BytesIO()
    write_mo(stream, catalogue)
    return stream.getvalue()


def languages() -> list[str]:
    return sorted(
        file.parent.parent.name.replace("_", "-") for file in Path(LOCALE).glob("*/*/*.po")
    )


def faults(language: str) -> Iterator[str]:
    """What a catalogue lacks or says with other slots than the code fills, a line each."""
    catalogue = held(language)
    for one, many in templates().items():
        message = catalogue.get(one)
        if message is None or not all(strings(message)):
            yield f"{language}: not translated: {one}"
            continue
        allowed = _slot_names(one) | (_slot_names(many) if many else frozenset())
        for text in strings(message):
            if strange := _slot_names(text) - allowed:
                yield f"{language}: unknown slots {', '.join(sorted(strange))}: {text}"
            elif not many and (lost := allowed - _slot_names(text)):
                yield f"{language}: lost slots {', '.join(sorted(lost))}: {text}"


def _slot_names(template: str) -> frozenset[str]:
    """The names of the slots of a template, also of one that another library fills."""
    return frozenset(name for _text, name, _spec, _ in Formatter().parse(template) if name)


def strings(message: Message) -> tuple[str, ...]:
    found = message.string
    return tuple(found) if isinstance(found, tuple | list) else (found or "",)


# ------------------------------------------------------------ commands


def extract(named: Sequence[str]) -> int:
    for language in named or languages():
        write(language, renewed(language, held(language)))
    return 0


def _begin(named: Sequence[str]) -> int:
    (language,) = named
    if path(language, "po").exists():
        raise SystemExit(f"{language}: there is a catalogue; bring it up to date with: extract")
    write(language, renewed(language, None))
    return 0


def compile_all(_named: Sequence[str]) -> int:
    for language in languages():
        path(language, "mo").write_bytes(compiled(held(language)))
    return 0


def _missing(named: Sequence[str]) -> int:
    found = [fault for language in named or languages() for fault in faults(language)]
    print(*found, sep="\n" if found else "")
    return 1 if found else 0


_COMMANDS: dict[str, Callable[[Sequence[str]], int]] = {
    "extract": extract,
    "compile": compile_all,
    "missing": _missing,
    "begin": _begin,
}


def main(arguments: Sequence[str]) -> int:
    if not arguments or arguments[0] not in _COMMANDS:
        print(f"expected a command: {', '.join(_COMMANDS)}", file=sys.stderr)
        return 2
    return _COMMANDS[arguments[0]](arguments[1:])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
