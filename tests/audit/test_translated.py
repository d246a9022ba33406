"""Items in each language but English, audited with what the audit knows of it.

They are agreed, and no wrong word passes. The sentences are those of the catalogue, the patterns
those of `audit/languages/de.toml` and its like, written apart from it. A wrong catalogue is made
here, a word of one sentence exchanged for another.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import cycle, islice
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.audit.rules_of_writing import writing_findings
from itembank.forms import FORMS
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from itembank.languages import __main__ as keeping
from itembank.languages.catalogue import ENGLISH, languages
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.selection import item_of
from itembank.pipeline.variants import Variant
from itembank.spec import Family, PoolEntry
from itembank.values.errors import ComposeError
from itembank.values.item import Item, Provenance
from itembank.values.vocabulary import FORMS_OF_ASK
from tests.catalogues import catalogues_in, forget
from tests.shipped import FAMILIES, drawn

LANGUAGES = [language for language in languages() if language != ENGLISH]


POINTS = {
    "stage-by-stage": 5,
    "singular-stage-by-stage": 4,
    "linear-stage-by-stage": 4,
    "gcd-stage-by-stage": 3,
    "order-stage-by-stage": 3,
    "power-stage-by-stage": 3,
    "system-stage-by-stage": 4,
    "wilson-stage-by-stage": 3,
    "inverse-stage-by-stage": 3,
    "root-stage-by-stage": 3,
}
"""The points of guided questions, one for each stage."""


@cache
def family(name: str) -> Family:
    return FAMILIES[name]


def variants(name: str) -> list[Variant]:
    """The first two."""
    return drawn(name, 2)


def points(name: str, form: str) -> int:
    return POINTS[name] if form == "guided" else 1


def item_in(language: str, name: str, form: str, variant: Variant) -> Item:
    entry = PoolEntry.model_construct(
        family=family(name), variants=1, choose=1, points=points(name, form), form=form
    )
    return item_of(variant, entry, language)


def audited(path: Path, language: str, format: str, *groups: Group) -> Report:
    release = Release(
        pool_id="translated", title=language, course="NT 210", term="2027-spring",
        language=language, groups=groups,
    )  # fmt: skip
    write_package(format, release, path)
    return audit_package(path)


def group(name: str, form: str, *items: Item) -> Group:
    return Group(
        family=name, title=family(name).title, items=items, choose=1, points=points(name, form)
    )


# ------------------------------------------------------------ as it is


@pytest.fixture(scope="module", params=LANGUAGES)
def translated(request) -> tuple[str, tuple[Group, ...]]:
    """A language, and each shipped family in each of its forms, an item of each."""
    language = request.param
    groups = tuple(
        group(name, form, item_in(language, name, form, variants(name)[0]))
        for name in FAMILIES
        for form in family(name).forms
    )
    return language, groups


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_every_family_is_agreed_in_every_form(tmp_path, translated, format):
    language, groups = translated

    report = audited(tmp_path / "a.zip", language, format, *groups)

    assert report.findings == ()
    assert report.count("agreed") == len(groups)


def test_the_rules_of_writing_read_every_language(tmp_path, translated):
    """No item breaks one: "nichtnegativ" denies nothing, "de 0 a 6" is a range of residues.

    A sum that is not reduced, and primes that do not divide, are denied on purpose; so is, in a
    step under its letter, that a number is a primitive root.
    """
    language, groups = translated
    audited(tmp_path / "a.zip", language, "cc13", *groups)

    found = writing_findings(tmp_path / "a.zip")

    long = re.compile("stem: [0-9]+ words, expected at most 120")  # steps under letters
    denied = {
        item.identifier
        for group in groups
        if re.match("sum-of-|residue-primes-|primitive-root-test-steps-", group.family)
        for item in group.items
    }
    broken = [f for f in found if f.item and not long.fullmatch(f.message)]
    assert [f for f in broken if f.item not in denied or f.severity != "note"] == []


def of_kinds(language: str) -> Iterator[Item]:
    """Each kind in every ask and form: the first of its samples that can be so asked."""
    for kind in KINDS.values():
        for ask in kind.problem.signature.asks:
            for form in FORMS_OF_ASK[ask]:
                asked = (asked_in(language, sample, ask, form) for sample in kind.samples)
                yield from islice(filter(None, asked), 1)


def asked_in(language: str, sample: str, ask: str, form: str) -> Item | None:
    """None if the sample cannot be asked in this form."""
    problem = problem_from([line.strip() for line in sample.split(";")])
    solution = problem.solve()
    slips = problem.slips(solution)
    wording = Wording(
        title=f"{sample}, {ask}", ask=ask, form=form, rule="all or nothing", points=2,
        outcomes=(), level="easy", language=language,
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


@pytest.mark.parametrize(("language", "format"), tuple(zip(LANGUAGES, cycle(["qti21", "cc13"]))))
def test_every_kind_is_agreed_in_every_ask_and_form(tmp_path, language, format):
    items = list(of_kinds(language))
    groups = tuple(
        Group(family=f"f{n}", title="F", items=(i,), choose=1, points=i.scoring.points)
        for n, i in enumerate(items)
    )

    report = audited(tmp_path / "a.zip", language, format, *groups)

    assert {item.response.form for item in items} == set(FORMS)
    assert report.findings == ()
    assert report.count("agreed") == len(items)


# ------------------------------------------------------------ a word exchanged

SWAPS = {"de": """
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
""", "es": """
quadratic-mod-prime, list
  Find **all** solutions of | todas las soluciones -> las soluciones
  Find **all** solutions of | todas las soluciones -> la menor solución
  Type all of them as | todas las respuestas -> una respuesta
  Type all of them as | mínimos -> máximos
  Type all of them as | de $0$ a ${last}$ -> de $1$ a ${last}$
  Type all of them as | ${last}$) -> ${last} + 1$)
  Type all of them as | creciente -> decreciente
  Type all of them as | ninguna -> más de una
  Type all of them as | comas -> puntos
  none | ninguna -> todas
  {n} point for exactly the right list | si no, 0 -> si no, 1
  {n} point for exactly the right list | exacta -> errónea
  {left} is congruent to {right} | congruente con -> igual a
  {a} plus {b} | más -> menos
  {base} squared | cuadrado -> cubo
  {a}, modulo {m} | módulo -> de
quadratic-mod-prime, select all
  Tick every least residue ($0$ to ${last}$) that is a solution | sea solución -> no sea solución
  Tick every least residue ($0$ to ${last}$) that is a solution | cada residuo -> un residuo
  Tick every least residue ($0$ to ${last}$) that is a solution | no negativo -> negativo
  Tick every least residue ($0$ to ${last}$) that is a solution | no hay ninguno -> hay alguno
quadratic-mod-prime, select one
  Which set contains **all** of them | todos -> algunos de
  Which set contains **all** of them | nada más -> algo más
  Which set contains **all** of them | ¿Qué conjunto -> ¿Qué número
roots-one-by-one, set
  There is at least one. Type all of them in digits | al menos una -> a lo sumo una
  There is at least one. Type all of them in digits | cualquier orden -> orden creciente
  There is at least one. Type all of them in digits | representante módulo -> representante de
  There is at least one. Type all of them in digits | más casillas -> menos casillas
linear-one-solution, integer
  Find the solution of | la solución -> todas las soluciones
  The solution is one residue class | módulo -> de
  The solution is one residue class | cualquier -> el menor
least-solution, integer
  Find the **least** residue that solves | menor -> mayor
  Type the smallest of all solutions | menor -> mayor
  Type the smallest of all solutions | de $0$ a -> de $1$ a
count-by-indices, integer
  Count the least residues | Cuente los -> Sume los
  Count the least residues | que son solución -> que no son solución
  Count the least residues | escriba 0 -> escriba 1
  How many solutions does this congruence | Cuántas -> Qué
number-of-square-roots, integer
  Find the **number of solutions** of | número -> producto
root-solvable-or-not, solvable or not
  Decide whether there is a solution of | existe alguna -> no existe ninguna
  True or false: the congruence has | al menos -> a lo sumo
  True or false: the congruence has | al menos una -> exactamente una
  True | Verdadero -> Falso
  False | Falso -> Verdadero
lifts-of-roots, match
  The solutions modulo ${below}$ | congruencia módulo ${m}$ -> congruencia módulo ${below}$
  The solutions modulo ${below}$ | mínimo -> máximo
  The solutions modulo ${below}$ | ningún levantamiento -> todo levantamiento
  The solutions modulo ${below}$ | ella módulo ${below}$ -> ella módulo ${m}$
  no lift | ningún -> todo
  every lift | todo -> ningún
stage-by-stage, guided
  Stage {n}. All solutions modulo | Todas -> Algunas de
  Stage {n}. All solutions modulo | ${last}$ -> ${m}$
  Stage {n}. At how many | es la derivada -> no es la derivada
  Stage {n}. At how many | derivada de -> suma con
  none of them | ninguna -> todas
  1 point for each right stage | correcta -> incorrecta
steps-in-order, order
  Put the steps in the order | realizan -> deshacen
  Split the modulus: | módulo -> coeficiente
  Lift the roots | Levantar -> Combinar
  Substitute the solutions | ${m}$ -> ${m} + 1$
linear-steps-in-order, order
  Invert the coefficient | Invertir -> Duplicar
  Multiply by the inverse | inverso -> coeficiente
singular-stage-by-stage, guided
  some of them, but not all | algunas, pero no en todas -> todas
gcd-steps-in-order, order
  The steps of finding the greatest common divisor | máximo común divisor -> mínimo común múltiplo
  Take the last divisor | último -> primer
inverse-steps-in-order, order
  Work backwards from the last remainder | Retroceder -> Avanzar
order-steps-in-order, order
  Count the coprime residues | coprimos -> primos
  Take the first exponent | primer exponente -> último exponente
power-steps-in-order, order
  Divide the exponent | exponente -> módulo
symbol-steps-in-order, order
  Turn the symbol over | Invertir -> Conservar
phi-steps-in-order, order
  Split off the smallest prime | menor -> mayor
gcd-stage-by-stage, guided
  Stage {n}. The second remainder | segundo -> tercer
  Stage {n}. The greatest common divisor | máximo común divisor -> mínimo común múltiplo
powers-matched, match
  Only a step on the way is asked for: match each of these exponents | mínimo -> máximo
claims-about-powers, select one
  always true | siempre -> nunca
  never true | nunca -> siempre
  Is this claim about integers | nunca -> casi nunca
inverse-by-euclid, integer
  Find the inverse of | inverso -> opuesto
inverse-or-none, solvable or not
  True or false: {a} has an inverse | tiene -> no tiene
power-by-fermat, integer
  Find the power | módulo -> de
order-modulo-prime, integer
  Find the order of {a} modulo | menor -> mayor
  Find the order of {a} modulo | positivo -> negativo
  Find the order of {a} modulo | orden de {a} módulo {m} -> orden de {m} módulo {a}
index-modulo-prime, integer
  Find the index of {a} to the base | de {a} en base {g} -> de {g} en base {a}
squares-listed, list
  Find **all** squares modulo | cuadrados -> restos cuadráticos
  A square modulo {m} is a residue | 0 lo es -> 0 no lo es
quadratic-residues-composite, list
  Find **all** quadratic residues | restos cuadráticos -> cuadrados
square-or-not-composite, solvable or not
  True or false: {a} is a square | es un -> no es un
primitive-root-or-not, solvable or not
  True or false: {a} is a primitive root | es una -> no es una
number-of-primitive-roots, integer
  Find the number of primitive roots | número -> producto
units-listed, list
  Find **all** units modulo | las unidades -> los divisores de cero
zero-divisors-listed, list
  A zero divisor modulo {m} is | ab ≡ 0 -> ab ≡ 1
phi-of-a-number, integer
  Find {value}: how many | son coprimos -> no son coprimos
legendre-by-reciprocity, integer
  It is 1 if | es un cuadrado módulo -> no es un cuadrado módulo
isbn-10-check-digit, integer
  In the ISBN {text} one character | es válido -> no es válido
isbn-valid-or-not, solvable or not
  True or false: the ISBN | es válido -> no es válido
iban-check-digits, integer
  Type the two check digits | 5 en lugar de 05 -> 50 en lugar de 05
system-two-coprime, integer
  Find the solution of the system | del sistema -> de
system-consistent-or-not, solvable or not
  True or false: the system has | al menos -> a lo sumo
pair-how-many, integer
  Count the pairs | ambas -> una de las
first-wrong-line, select one
  Which line is the first that is wrong | primera -> última
  Which line is the first that is wrong | incorrecta -> correcta
  No line is wrong | Ninguna -> Toda
  Line {n} | Línea -> Etapa
missing-line, select one
  Which line belongs in the place | corresponde -> no corresponde
  The only solution modulo ${q}$ | módulo -> no módulo
next-line, select one
  Which line is right and comes next | correcta -> incorrecta
  Which line is right and comes next | a continuación -> al final
system-first-wrong-line, select one
  The congruences modulo {moduli} hold | a la vez -> por separado
linear-reasons, select one
  Which of these is true and proves | demuestra -> refuta
  Which of these is true and proves | es cierta -> no es cierta
exponents-repeating, list
  Give $x$ modulo | módulo ${n} -> módulo ${m}
"""}  # fmt: skip
"""Of each language, under a family and a form: how a sentence begins in English, and the words
that are exchanged in its translation."""


def swaps() -> Iterator[tuple[str, ...]]:
    for language, lines in SWAPS.items():
        place: list[str] = []
        for line in lines.strip().splitlines():
            if line.startswith("  "):
                begins, exchanged = line.strip().split(" | ")
                yield language, *place, begins, *exchanged.split(" -> ")
            else:
                place = line.split(", ")


def test_words_are_exchanged_in_every_language():
    assert set(SWAPS) == set(LANGUAGES)
    assert len(list(swaps())) >= 100 * len(LANGUAGES)


held = cache(keeping.held)


def messages_of(catalogue: Catalog, begins: str) -> list[Message]:
    """The messages whose English begins so (to be typed, or written), or is no more than that."""
    found = [m for m in catalogue if m.id and english(m).startswith(begins)]
    return [m for m in found if english(m) == begins] or found


def english(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def exchanged(text: str, old: str, new: str) -> str:
    """Once where a word begins; marks of emphasis stand aside."""
    return re.sub(rf"(?<!\w){re.escape(old)}", lambda _: new, text.replace("**", ""), count=1)


def put_with(language: str, begins: str, old: str, new: str) -> None:
    """The catalogue of the language is spoken, with another word where English begins so."""
    catalogue = held(language)
    said = [(message, message.string) for message in messages_of(catalogue, begins)]
    assert said, f"no message begins with {begins!r}"
    for message, string in said:
        wrong = tuple(exchanged(text, old, new) for text in keeping.strings(message))
        message.string = wrong[0] if isinstance(string, str) else wrong
    try:
        found = keeping.compiled(catalogue)
    finally:
        for message, string in said:
            message.string = string
    file = keeping.path(language, "mo")
    file.parent.mkdir(parents=True)
    file.write_bytes(found)
    forget()


@cache
def as_it_is(language: str, name: str, form: str) -> tuple[Item, ...]:
    return tuple(item_in(language, name, form, variant) for variant in variants(name))


@pytest.mark.parametrize(("language", "name", "form", "begins", "old", "new"), tuple(swaps()))
def test_a_sentence_that_asks_for_something_else_is_not_agreed(
    tmp_path, language, name, form, begins, old, new
):
    right = as_it_is(language, name, form)
    held(language)
    with catalogues_in(tmp_path / "locale"):
        put_with(language, begins, old, new)
        items = [item_in(language, name, form, variant) for variant in variants(name)]
        report = audited(tmp_path / "a.zip", language, "qti21", group(name, form, *items))

    changed = {new.identifier for new, old in zip(items, right, strict=True) if new != old}
    assert changed
    assert changed.isdisjoint(r.identifier for r in report.items if r.status == "agreed")
