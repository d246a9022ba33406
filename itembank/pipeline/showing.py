"""Variants of one family as its author looks at them: the question, the options with the slips
that lead to them, the key, feedback, working, and what guessers score.

As text for the terminal, or as a page that can renew itself.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from itembank.forms import form_of
from itembank.guessing import telling
from itembank.kinds.table import SIGNATURES
from itembank.languages.catalogue import ENGLISH
from itembank.notation import markup, plain
from itembank.notation.elements import HTML, Element, Maker, written
from itembank.notation.page import STYLE
from itembank.notation.tree import Blocks
from itembank.pipeline.answers import told_of_part
from itembank.pipeline.guesses import figures_over
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream, Variant, reasons
from itembank.spec import Family, load_family
from itembank.values.errors import Fault, ItemBankError, SpecError
from itembank.values.item import Item
from itembank.values.worded import joined, laid_out, worded

_GUESSED = 12
"""Variants of which guessers are scored, where more than one is shown."""


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is to be shown: so many variants from the first, in a form; None for the family's.

    expected: what results on record tell of a variant in a form, if any are to be asked.
    """

    first: int = 0
    variants: int = 1
    form: str | None = None
    expected: Callable[[Variant, str], str] | None = None


@dataclass(frozen=True)
class Part:
    """A part of what is shown: its name, and blocks or lines of text."""

    name: str
    blocks: Blocks = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class ShownVariant:
    """One variant: its title, and its parts in the order in which an author reads.

    language: that of what students read.
    """

    title: str
    parts: tuple[Part, ...]
    language: str = ENGLISH


@dataclass(frozen=True, kw_only=True)
class Shown:
    """What is shown of a family: variants and the guessers' score, or faults, each with its
    line of the file."""

    title: str
    variants: tuple[ShownVariant, ...] = ()
    guessing: tuple[str, ...] = ()
    faults: tuple[tuple[str, str], ...] = ()


def shown(path: Path, wish: Wish) -> Shown:
    """What a file shows; its faults where it has some."""
    try:
        return _of_family(load_family(path, SIGNATURES), wish)
    except SpecError as e:
        lines = _lines_of(path)
        return Shown(title=path.name, faults=tuple((f.worded, _source(f, lines)) for f in e.faults))
    except ItemBankError as e:
        return Shown(title=path.name, faults=((laid_out("{path}: {why}", path=path, why=e), ""),))


def _of_family(family: Family, wish: Wish) -> Shown:
    if family.parts and wish.form:
        raise ItemBankError(
            worded("the parts of this family have forms of their own; leave --form out")
        )
    form = wish.form or family.forms[0]
    if form not in family.forms:
        known = ", ".join(family.forms)
        raise ItemBankError(
            worded(
                "the form '{form}' is none of this family; expected one of: {known}",
                form=form,
                known=known,
            )
        )
    stream = Stream(family, "show", fits(family, form))
    end = wish.first + wish.variants
    drawn = tuple(islice(stream, end if wish.variants == 1 else max(end, _GUESSED)))
    if len(drawn) <= wish.first:
        none = worded("variant {n}: the family has {held}", n=wish.first, held=len(drawn))
        why = [reasons(stream.rejected)] if stream.rejected else []
        raise ItemBankError(joined(": ", [none, *why]))
    return Shown(
        title=f"{family.id}: {family.title}",
        variants=tuple(
            _variant_shown(part, part.family.forms[0] if family.parts else form, wish)
            for v in drawn[wish.first : end]
            for part in v.each
        ),
        guessing=tuple(_guessed(family, form, drawn)) if wish.variants > 1 else (),
    )


def _guessed(family: Family, form: str, drawn: Sequence[Variant]) -> Iterator[str]:
    """What guessers score on some variants, at each part of them."""
    for part in family.each:
        used = part.forms[0] if part.part else form
        figures = figures_over(part, [v.of_part(part) for v in drawn], [used])[used]
        found = worded("of {n}: {guesses}", n=len(drawn), guesses=telling.summary(figures))
        yield told_of_part(part, found) if part.part else found


def _lines_of(path: Path) -> list[str]:
    try:
        return path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []


def _source(fault: Fault, lines: Sequence[str]) -> str:
    """The line of the file where a fault stands."""
    return lines[fault.line - 1] if 0 < fault.line <= len(lines) else ""


def _variant_shown(variant: Variant, form: str, wish: Wish) -> ShownVariant:
    item = item_in_form(variant, form)
    numbers = ", ".join(f"{name} = {n}" for name, n in variant.parameters.items())
    *parts, effort = _parts_of(item)
    if wish.expected:
        effort = replace(effort, lines=(*effort.lines, wish.expected(variant, form)))
    letter = variant.family.part
    told = {"n": variant.index, "form": form, "numbers": numbers}
    title = (
        worded("variant {n} ({part}), {form}: {numbers}", part=letter, **told)
        if letter
        else worded("variant {n}, {form}: {numbers}", **told)
    )
    return ShownVariant(title=title, parts=(*parts, effort), language=item.language)


def _parts_of(item: Item) -> Iterator[Part]:
    yield Part(worded("question"), item.stem)
    slips = {o.identifier: o.slips for o in form_of(item.response).options(item.response)}
    rows = [_with_slips(line, slips) for line in form_of(item.response).seen(item.response)]
    yield Part(worded("answer"), lines=tuple(rows))
    for feedback in item.feedback:
        answer = ", ".join(map(str, feedback.response)) or worded("no solutions")
        name = worded("to {answer} ({slips})", answer=answer, slips=", ".join(feedback.slips))
        yield Part(name, feedback.text)
    if item.otherwise:
        yield Part(worded("to any other wrong answer"), item.otherwise)
    yield Part(worded("worked solution"), item.solution)
    yield Part(
        worded("effort"),
        lines=(worded("{n} steps; level: {level}", n=item.steps, level=item.level),),
    )


def _with_slips(line: str, slips: dict[str, tuple[str, ...]]) -> str:
    """A line about an option with the slips that lead to it; another line as it is."""
    name = _option_named(line, slips)
    if not name:
        return line
    return laid_out("{line} ({slips})", line=line, slips=", ".join(slips[name]))


def _option_named(line: str, slips: dict[str, tuple[str, ...]]) -> str:
    """The identifier of the option with slips that a line is about; "" for another line."""
    words = line.partition(":")[0].split()
    return next((name for name in words if slips.get(name)), "")


# ------------------------------------------------------------ as text


def as_text(found: Shown) -> str:
    lines = [found.title]
    for fault, line in found.faults:
        lines += [fault, *([f"    {line}"] if line else [])]
    for variant in found.variants:
        lines += ["", variant.title]
        for part in variant.parts:
            lines += ["", laid_out("[{part}]", part=part.name), *part.lines]
            if part.blocks:
                lines.append(plain.blocks(part.blocks).strip("\n"))
    if found.guessing:
        lines += ["", laid_out("[{part}]", part=worded("guessing")), *found.guessing]
    return joined("\n", lines)


# ------------------------------------------------------------ as a page

_h = Maker(HTML)

_LOOKS = """
section { border-top: 2px solid #444; margin-top: 2rem; }
h3 { font-size: 1rem; margin: 1.2rem 0 0; color: #444; }
pre { white-space: pre-wrap; background: #f6f6f6; padding: 0.5rem; }
.fault { color: #8b0000; font-weight: bold; }
"""

RENEW = """
const status = document.getElementById("status");
const said = status.dataset;
const changes = new EventSource("/changes");
changes.onmessage = async () => {
  const text = await (await fetch("/")).text();
  const page = new DOMParser().parseFromString(text, "text/html");
  document.querySelector("main").replaceWith(page.querySelector("main"));
  document.title = page.title;
  const faults = document.querySelectorAll("main .fault").length;
  status.textContent = faults ? said.faults.replace("{n}", faults) : said.renewed;
};
changes.onopen = () => { window.ready = true; };
changes.onerror = () => { status.textContent = said.ended; };
"""
"""Shows the file anew when the command says that it has changed, and says so aloud."""

Told = Callable[[str], str]
"""What says a text in the language of whoever reads it."""


def as_page(found: Shown, renews: bool = False, told: Told = str, language: str = ENGLISH) -> str:
    """The page as text; whether it renews itself. What is `told` to the author is in a language."""
    script = f"<script>{RENEW}</script>" if renews else ""
    title = told(found.title)
    body = _h(
        "body",
        _h("main", _h("h1", title), *_faults_of(found, told), *_sections(found, told, language)),
        _status(renews, told),
    )
    head = _h(
        "head",
        _h("meta", {"charset": "utf-8"}),
        _h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
        _h("title", title),
        _h("style", STYLE + _LOOKS),
    )
    page = written([_h("html", {"lang": language}, head, body)])
    return "<!DOCTYPE html>\n" + page.replace("</body>", f"{script}</body>")


def _status(renews: bool, told: Told) -> Element:
    """What a page that renews itself says aloud, with all that it may come to say."""
    if not renews:
        return _h("p", {"id": "status", "role": "status"})
    words = {
        "data-renewed": worded("Renewed"),
        "data-faults": worded("Renewed: faults in the file: {n}", n="{n}"),
        "data-ended": worded("The command has ended: nothing is renewed"),
    }
    attributes = {name: told(text) for name, text in words.items()}
    watching = told(worded("Watching the file"))
    return _h("p", {"id": "status", "role": "status", **attributes}, watching)


def _faults_of(found: Shown, told: Told) -> Iterator[Element]:
    for fault, line in found.faults:
        yield _h("p", {"class": "fault"}, told(fault))
        if line:
            yield _h("pre", line)


def _sections(found: Shown, told: Told, language: str) -> Iterator[Element]:
    """A section for each variant, named by its heading; what students read in their language."""
    for n, variant in enumerate(found.variants):
        dialect = markup.DIALECTS["html"](_h, variant.language)
        heading = f"variant-{n}"
        children: list[Element] = [_h("h2", {"id": heading}, told(variant.title))]
        for part in variant.parts:
            children.append(_h("h3", told(part.name)))
            read = markup.blocks(part.blocks, _h, dialect)
            if read and variant.language != language:
                children.append(_h("div", {"lang": variant.language}, *read))
            else:
                children += read
            if part.lines:
                children.append(_h("ul", *(_h("li", told(line)) for line in part.lines)))
        yield _h("section", {"aria-labelledby": heading}, *children)
    if found.guessing:
        lines = (_h("li", told(line)) for line in found.guessing)
        named = _h("h2", {"id": "guessing"}, told(worded("guessing")))
        yield _h("section", {"aria-labelledby": "guessing"}, named, _h("ul", *lines))
