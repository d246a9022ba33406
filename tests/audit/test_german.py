"""German items, audited with what the audit knows of German: agreed, and no wrong word passes.

The sentences are those of the catalogue, the patterns those of `audit/languages/de.toml`, written
apart from it. A wrong catalogue is made here, a word of one sentence exchanged for another.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import islice
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from catalogues import catalogues_in, forget

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.audit.rules_of_writing import writing_findings
from itembank.forms import FORMS
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.languages import __main__ as keeping
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family, PoolEntry, find_families, library, load_family
from itembank.values.errors import ComposeError
from itembank.values.item import Item, Provenance
from itembank.values.vocabulary import FORMS_OF_ASK

FAMILIES = find_families([library() / "families"])

POINTS = {
    "stage-by-stage": 5,
    "singular-stage-by-stage": 4,
    "linear-stage-by-stage": 4,
    "gcd-stage-by-stage": 3,
    "order-stage-by-stage": 3,
    "power-stage-by-stage": 3,
    "system-stage-by-stage": 4,
    "wilson-stage-by-stage": 3,
}
"""The points of guided questions, one for each stage."""


@cache
def family(name: str) -> Family:
    return load_family(FAMILIES[name], SIGNATURES)


@cache
def variants(name: str) -> tuple[Variant, ...]:
    """The first two."""
    found = family(name)
    return tuple(islice(Stream(found, "german", fits(found)), 2))


def points(name: str, form: str) -> int:
    return POINTS[name] if form == "guided" else 1


def german(name: str, form: str, variant: Variant) -> Item:
    entry = PoolEntry.model_construct(
        family=family(name), variants=1, choose=1, points=points(name, form), form=form
    )
    return item_of(variant, entry, "de")


def audited(path: Path, format: str, *groups: Group) -> Report:
    release = Release(
        pool_id="german", title="Deutsch", course="NT 210", term="2027-spring",
        language="de", groups=groups,
    )  # fmt: skip
    write_package(format, release, path)
    return audit_package(path)


def group(name: str, form: str, *items: Item) -> Group:
    return Group(
        family=name, title=family(name).title, items=items, choose=1, points=points(name, form)
    )


# ------------------------------------------------------------ as it is


@pytest.fixture(scope="module")
def library_in_german() -> tuple[Group, ...]:
    """Each shipped family in each of its forms, two items of each."""
    return tuple(
        group(name, form, *(german(name, form, variant) for variant in variants(name)))
        for name in FAMILIES
        for form in family(name).forms
    )


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_every_family_is_agreed_in_every_form(tmp_path, library_in_german, format):
    report = audited(tmp_path / "a.zip", format, *library_in_german)

    assert report.findings == ()
    assert report.count("agreed") == sum(len(g.items) for g in library_in_german)


def test_the_rules_of_writing_read_german(tmp_path, library_in_german):
    """No item breaks one: "nichtnegativ" denies nothing, "0 bis 6" is a range of residues."""
    audited(tmp_path / "a.zip", "cc13", *library_in_german)

    found = writing_findings(tmp_path / "a.zip")

    long = re.compile("stem: [0-9]+ words, expected at most 120")  # steps under letters, in German
    assert [f for f in found if f.item and not long.fullmatch(f.message)] == []


def of_kinds() -> Iterator[Item]:
    """Each kind in every ask and form: the first of its samples that can be so asked."""
    for kind in KINDS.values():
        for ask in kind.problem.signature.asks:
            for form in FORMS_OF_ASK[ask]:
                asked = (in_german(sample, ask, form) for sample in kind.samples)
                yield from islice(filter(None, asked), 1)


def in_german(sample: str, ask: str, form: str) -> Item | None:
    """None if the sample cannot be asked in this form."""
    problem = problem_from([line.strip() for line in sample.split(";")])
    solution = problem.solve()
    slips = problem.slips(solution)
    wording = Wording(
        title=f"{sample}, {ask}", ask=ask, form=form, rule="all or nothing", points=2,
        outcomes=(), level="easy", language="de",
        provenance=Provenance(family="of-kinds", version=1, seed=f"{sample} {form}", index=0),
    )  # fmt: skip
    try:
        item = compose(problem, solution, slips, wording)
    except ComposeError:
        return None
    if (
        stand_in := "integer"
        if ask == "the value" and FORMS[form].stand_in == "list"
        else (FORMS[form].stand_in)
    ):
        said = replace(wording, form=stand_in, points=item.scoring.points)
        item = replace(item, plain=compose(problem, solution, slips, said))
    return item


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_every_kind_is_agreed_in_every_ask_and_form(tmp_path, format):
    items = list(of_kinds())
    groups = tuple(
        Group(family=f"f{n}", title="F", items=(i,), choose=1, points=i.scoring.points)
        for n, i in enumerate(items)
    )

    report = audited(tmp_path / "a.zip", format, *groups)

    assert {item.response.form for item in items} == set(FORMS)
    assert report.findings == ()
    assert report.count("agreed") == len(items)


# ------------------------------------------------------------ a word exchanged

SWAPS = """
quadratic-mod-prime, list
  Find **all** solutions of | alle -> die
  Type all of them as | alle -> eine
  Type all of them as | kleinste -> größte
  Type all of them as | 0$ bis -> 1$ bis
  Type all of them as | bis ${last}$ -> bis ${last} + 1$
  Type all of them as | aufsteigend -> absteigend
  Type all of them as | Gibt es keine -> Gibt es eine
  none | keine -> alle
  {n} point for exactly the right list | sonst 0 -> sonst 1
  {left} is congruent to {right} | kongruent -> gleich
  {a} plus {b} | plus -> minus
  {base} squared | Quadrat -> hoch drei
  {a}, modulo {m} | modulo -> von
quadratic-mod-prime, select all
  Tick every least residue ($0$ to ${last}$) that is a solution | eine Lösung -> keine Lösung
  Tick every least residue ($0$ to ${last}$) that is a solution | jeden kleinsten -> einen
  Tick every least residue ($0$ to ${last}$) that is a solution | Gibt es keinen -> Gibt es einen
quadratic-mod-prime, select one
  Which set contains **all** of them | alle -> einige
  Which set contains **all** of them | sonst nichts -> noch mehr
roots-one-by-one, set
  There is at least one. Type all of them in digits | nicht leer -> leer
  There is at least one. Type all of them in digits | beliebiger -> aufsteigender
  There is at least one. Type all of them in digits | Vertreter modulo -> Vertreter von
linear-one-solution, integer
  Find the solution of | die Lösung -> alle Lösungen
  The solution is one residue class | modulo -> von
  The solution is one residue class | eine beliebige -> die kleinste
least-solution, integer
  Find the **least** residue that solves | kleinste -> größte
  Type the smallest of all solutions | kleinste -> größte
  Type the smallest of all solutions | 0$ bis -> 1$ bis
count-by-indices, integer
  Count the least residues | Anzahl -> Summe
  Count the least residues | Lösungen sind -> keine Lösungen sind
  Count the least residues | so geben Sie 0 -> so geben Sie 1
  How many solutions does this congruence | Wie viele -> Welche
number-of-square-roots, integer
  Find the **number of solutions** of | Anzahl -> Summe
root-solvable-or-not, solvable or not
  Decide whether there is a solution of | eine -> keine
  True or false: the congruence has | mindestens -> höchstens
  True or false: the congruence has | mindestens eine -> keine
  True | Wahr -> Falsch
  False | Falsch -> Wahr
lifts-of-roots, match
  The solutions modulo ${below}$ | modulo ${m}$ löst -> modulo ${below}$ löst
  The solutions modulo ${below}$ | kleinsten -> größten
  The solutions modulo ${below}$ | „kein Lift“ -> „jeder Lift“
  no lift | kein -> jeder
stage-by-stage, guided
  Stage {n}. All solutions modulo | Alle -> Einige
  Stage {n}. All solutions modulo | ${last}$ -> ${m}$
  Stage {n}. At how many | teilbar -> nicht teilbar
  Stage {n}. At how many | Ableitung von -> Summe mit
  none of them | keiner -> allen
  1 point for each right stage | richtige -> falsche
steps-in-order, order
  Put the steps in the order | ausgeführt -> rückgängig gemacht
  Lift the roots | liften -> kombinieren
  Substitute the solutions | ${m}$ -> ${m} + 1$
linear-steps-in-order, order
  Invert the coefficient | invertieren -> quadrieren
  Multiply by the inverse | Inversen -> Koeffizienten
gcd-stage-by-stage, guided
  Stage {n}. The second remainder | zweite -> dritte
  Stage {n}. The greatest common divisor | größte gemeinsame Teiler -> kleinste gemeinsame Vielfache
powers-matched, match
  Only a step on the way is asked for: match each of these exponents | kleinsten -> größten
claims-about-powers, select one
  always true | immer -> nie
  Is this claim about integers | nie wahr -> nie falsch
inverse-by-euclid, integer
  Find the inverse of | Inverse -> Negative
inverse-or-none, solvable or not
  True or false: {a} has an inverse | ein Inverses -> kein Inverses
power-by-fermat, integer
  Find the power | modulo -> von
order-modulo-prime, integer
  Find the order of {a} modulo | kleinsten -> größten
  Find the order of {a} modulo | Ordnung von {a} modulo {m} -> Ordnung von {m} modulo {a}
index-modulo-prime, integer
  Find the index of {a} to the base | von {a} zur Basis {g} -> von {g} zur Basis {a}
squares-listed, list
  Find **all** squares modulo | Quadrate -> quadratischen Reste
  A square modulo {m} is a residue | 0 ist eines -> 0 ist keines
quadratic-residues-composite, list
  Find **all** quadratic residues | quadratischen Reste -> Quadrate
square-or-not-composite, solvable or not
  True or false: {a} is a square | ein Quadrat -> kein Quadrat
primitive-root-or-not, solvable or not
  True or false: {a} is a primitive root | eine -> keine
number-of-primitive-roots, integer
  Find the number of primitive roots | Anzahl -> Summe
units-listed, list
  Find **all** units modulo | Einheiten -> Nullteiler
zero-divisors-listed, list
  A zero divisor modulo {m} is | ab ≡ 0 -> ab ≡ 1
phi-of-a-number, integer
  Find {value}: how many | teilerfremd -> nicht teilerfremd
legendre-by-reciprocity, integer
  It is 1 if | ein Quadrat modulo -> kein Quadrat modulo
isbn-10-check-digit, integer
  In the ISBN {text} one character | gültig -> ungültig
isbn-valid-or-not, solvable or not
  True or false: the ISBN | gültig -> ungültig
iban-check-digits, integer
  Type the two check digits | 5 für 05 -> 50 für 05
system-two-coprime, integer
  Find the solution of the system | des Systems -> von
system-consistent-or-not, solvable or not
  True or false: the system has | mindestens -> höchstens
pair-how-many, integer
  Count the pairs | beide -> eine der
first-wrong-line, select one
  Which line is the first that is wrong | die erste -> die letzte
  Which line is the first that is wrong | falsch ist -> richtig ist
  No line is wrong | Keine -> Jede
  Line {n} | Zeile -> Stufe
missing-line, select one
  Which line belongs in the place | gehört -> passt nicht
  The only solution modulo ${q}$ | modulo -> nicht modulo
next-line, select one
  Which line is right and comes next | richtig -> falsch
  Which line is right and comes next | nächste -> letzte
system-first-wrong-line, select one
  The congruences modulo {moduli} hold | zusammen -> einzeln
linear-reasons, select one
  Which of these is true and proves | beweist -> widerlegt
  Which of these is true and proves | trifft zu -> trifft nicht zu
exponents-repeating, list
  Give $x$ modulo | modulo ${n} -> modulo ${m}
"""
"""Under a family and a form: how a sentence begins in English, and the German words that are
exchanged in it."""


def swaps() -> Iterator[tuple[str, ...]]:
    place: list[str] = []
    for line in SWAPS.strip().splitlines():
        if line.startswith("  "):
            begins, exchanged = line.strip().split(" | ")
            yield *place, begins, *exchanged.split(" -> ")
        else:
            place = line.split(", ")


@pytest.fixture(scope="module")
def right() -> Catalog:
    return keeping.held("de")


def message_of(catalogue: Catalog, begins: str) -> Message:
    """The one message whose English begins so, or is no more than that."""
    found = [m for m in catalogue if m.id and english(m).startswith(begins)]
    exact = [m for m in found if english(m) == begins]
    (message,) = exact or found
    return message


def english(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def exchanged(text: str, old: str, new: str) -> str:
    """Once where a word begins; marks of emphasis stand aside."""
    found, n = re.subn(rf"(?<!\w){re.escape(old)}", lambda _: new, text.replace("**", ""), count=1)
    assert n, f"{old!r} does not stand in {text!r}"
    return found


def put_with(catalogue: Catalog, begins: str, old: str, new: str) -> None:
    """The catalogue is spoken, with one message that has another word."""
    message = message_of(catalogue, begins)
    said = message.string
    wrong = tuple(exchanged(text, old, new) for text in keeping.strings(message))
    message.string = wrong[0] if isinstance(said, str) else wrong
    try:
        found = keeping.compiled(catalogue)
    finally:
        message.string = said
    file = keeping.path("de", "mo")
    file.parent.mkdir(parents=True)
    file.write_bytes(found)
    forget()


@pytest.mark.parametrize(("name", "form", "begins", "old", "new"), tuple(swaps()))
def test_a_sentence_that_asks_for_something_else_is_not_agreed(
    tmp_path, right, name, form, begins, old, new
):
    as_it_is = [german(name, form, variant) for variant in variants(name)]
    with catalogues_in(tmp_path / "locale"):
        put_with(right, begins, old, new)
        items = [german(name, form, variant) for variant in variants(name)]
        report = audited(tmp_path / "a.zip", "qti21", group(name, form, *items))

    assert items != as_it_is
    assert {"agreed"}.isdisjoint(r.status for r in report.items)
