"""A family file: what it says is read exactly, and all its faults are told at once."""

import pickle
from dataclasses import replace

import pytest

from itembank.spec import load_family
from itembank.spec.domain import Integers, Listed, Primes
from itembank.values.errors import SpecError
from itembank.values.vocabulary import FORMS_OF_ASK
from tests.spec.samples import COUNT, KINDS, QUADRATIC, SYSTEM, written


def faults_of(path) -> list[str]:
    """The lines a user reads, without the folder."""
    with pytest.raises(SpecError) as e:
        load_family(path, KINDS)
    return str(e.value).replace(f"{path.parent}/", "").splitlines()


# ------------------------------------------------------------ what is read


def test_a_family_says_what_its_file_says(tmp_path):
    path = written(tmp_path, QUADRATIC)

    family = load_family(path, KINDS)

    assert (family.id, family.version, family.kind) == (
        "quadratic-two-prime-powers",
        3,
        "polynomial",
    )
    assert family.title == "Quadratic congruence, modulus with two prime powers"
    assert family.outcomes == ("solve-polynomial-congruences", "lift-roots")
    assert family.level == "medium"
    assert family.about == (
        "Both primes are small enough for trial.\nThe square is completed by hand."
    )
    assert [p.name for p in family.parameters] == ["p", "q", "b", "c", "d"]
    assert [p.radical for p in family.parameters] == [False, True, False, False, False]
    assert [c.expression.text for c in family.conditions] == [
        "gcd(p, q) == 1",
        "legendre(d, p) == 1",
        "solutions in 2..6",
        "no singular root",
    ]
    assert (family.ask, family.forms) == ("all solutions", ("select all", "select one", "list"))
    assert family.slips == ("not-lifted", "lift-sign")
    assert (family.substitute("list"), family.substitute("select all")) == ("select one", None)
    assert (family.scoring, family.small, family.path) == ("plus minus", None, path)


def test_what_a_family_leaves_out_has_its_default(tmp_path):
    family = load_family(written(tmp_path, COUNT), KINDS)

    assert family.forms == FORMS_OF_ASK["how many"][:1]
    assert family.slips == KINDS["polynomial"].slips
    assert (family.about, family.conditions, family.substitutes) == (None, (), {})
    assert family.scoring == "all or nothing"
    assert family.small == "two primes below 20 give few moduli"


def test_domains_follow_from_the_parameters_before(tmp_path):
    p, q, b, c, d = load_family(written(tmp_path, QUADRATIC), KINDS).parameters

    env = {"p": 13, "q": 9, "b": 7, "c": -2}
    assert p.domain({}) == Primes(5, 13)
    assert q.domain({"p": 13}) == Listed((4, 8, 9))
    assert b.domain({"p": 13, "q": 9}) == Integers(1, 20)
    assert c.domain({"p": 13, "q": 9, "b": 7}) == Integers(-13, 52, (0,))
    assert d.domain(env) == Listed((57,))


def test_an_empty_domain_is_no_fault(tmp_path):
    text = COUNT.replace("a: {integer: [1, p*q - 1]}", "a: {integer: [p, q]}")
    *_, a = load_family(written(tmp_path, text), KINDS).parameters

    assert a.domain({"p": 11, "q": 3}).size == 0


def test_given_has_values_for_every_type_of_field(tmp_path):
    quadratic = load_family(written(tmp_path, QUADRATIC), KINDS)
    system = load_family(written(tmp_path, SYSTEM), KINDS)

    env = {"p": 13, "q": 9, "b": 7, "c": -2, "d": 57}
    assert quadratic.given.values(env) == {"congruence": ((-2, 7, 1), ()), "modulus": 1521}
    env = {"m": 4, "n": 7, "a": 3, "b": 5}
    assert system.given.values(env) == {"residues": (3, 5), "moduli": (4, 7)}


def test_given_may_hold_several_equations(tmp_path):
    kind = replace(KINDS["system"], given={"congruences": "equations", "moduli": "integers"})
    text = SYSTEM.replace("residues: [a, b]", "congruences: [x = a, 2*x - b = 0]")

    family = load_family(written(tmp_path, text), {"system": kind})

    assert family.given.values({"m": 4, "n": 7, "a": 3, "b": 5}) == {
        "congruences": (((0, 1), (3,)), ((-5, 2), ())),
        "moduli": (4, 7),
    }


@pytest.mark.parametrize(
    ("change", "draw", "line"),
    [
        (
            ("modulus: p^2*q", "modulus: p^2*q // (c - 3)"),
            lambda family, env: family.given.values(env),
            "21:49: given.modulus: 'p^2*q // (c - 3)' has no value at c = 3, p = 5, q = 4: "
            "a division by 0",
        ),
        (
            ("value: b^2 - 4*c", "value: 'inverse(b, q) + c'"),
            lambda family, env: family.parameters[4].domain(env),
            "15:14: parameters.d.value: 'inverse(b, q) + c' has no value at b = 2, c = 3, q = 4: "
            "2 has no inverse modulo 4",
        ),
        (
            ("prime: [5, 13]", "prime: [5, 10^6]"),
            lambda family, env: family.parameters[0].domain(env),
            None,
        ),
        (
            ("integer: [1, 20]", "prime: [1, 10^6 + p]"),
            lambda family, env: family.parameters[2].domain(env),
            "13:18: parameters.b.prime[2]: '10^6 + p' has no value at p = 5: "
            "1000005 is beyond 1000000",
        ),
    ],
)
def test_a_variant_without_value_is_told_with_place_and_parameters(tmp_path, change, draw, line):
    path = written(tmp_path, QUADRATIC.replace(*change))
    family = load_family(path, KINDS)
    env = {"p": 5, "q": 4, "b": 2, "c": 3, "d": 1}

    if line is None:
        assert draw(family, env).size > 0
        return
    with pytest.raises(SpecError) as e:
        draw(family, env)
    assert str(e.value) == f"{path}:{line}"


def test_a_family_survives_pickling(tmp_path):
    family = load_family(written(tmp_path, QUADRATIC), KINDS)

    copy = pickle.loads(pickle.dumps(family))

    env = {"p": 13, "q": 9, "b": 7, "c": -2, "d": 57}
    assert copy == family
    assert copy.given.values(env) == family.given.values(env)


# ------------------------------------------------------------ fingerprint


def fingerprint(tmp_path, text: str) -> str:
    return load_family(written(tmp_path, text), KINDS).fingerprint


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Quadratic", "title: A quadratic"),
        ("about: |", "about: >"),
        ("Both primes", "All primes"),
        ("version: 3", "version: 4"),
        ("x^2 + b*x + c = 0", "x**2+b * x + c=0"),
        ("b^2 - 4*c", '"b^2-4 * c"'),
        ("scoring: plus minus", "scoring: plus minus  # a comment\nsmall: few primes"),
        ("forms: [select all, select one, list]", "forms:\n- select all\n- select one\n- list"),
    ],
)
def test_what_does_not_determine_the_variants_leaves_the_fingerprint(tmp_path, old, new):
    assert old in QUADRATIC
    changed = fingerprint(tmp_path, QUADRATIC.replace(old, new))

    assert changed == fingerprint(tmp_path, QUADRATIC)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("prime: [5, 13]", "prime: [5, 17]"),
        ("prime: [5, 13]", "integer: [5, 13]"),
        ("[4, 8, 9]", "[9, 8, 4]"),
        (", radical: true", ""),
        (", except: [0]", ""),
        ("4*c}", "8*c}"),
        ("  - no singular root\n", ""),
        ("2..6", "2..8"),
        ("c = 0", "c = 1"),
        ("p^2*q", "p^3*q"),
        ("lift-roots", "lift-root"),
        ("level: medium", "level: difficult"),
        ("[select all, select one, list]", "[select one, select all, list]"),
        ("ask: all solutions\nforms: [select all, select one, list]", "ask: how many"),
        ("slips: [not-lifted, lift-sign]\n", ""),
        ("{list: select one}", "{list: select all}"),
        ("scoring: plus minus\n", ""),
    ],
)
def test_what_determines_the_variants_changes_the_fingerprint(tmp_path, old, new):
    assert old in QUADRATIC
    text = QUADRATIC.replace(old, new)
    if "how many" in new:
        text = text.replace("substitutes: {list: select one}\nscoring: plus minus\n", "")

    assert fingerprint(tmp_path, text) != fingerprint(tmp_path, QUADRATIC)


def test_a_slip_that_a_kind_gains_leaves_the_fingerprint(tmp_path):
    path = written(tmp_path, COUNT)
    kind = KINDS["polynomial"]
    more = {"polynomial": replace(kind, slips=(*kind.slips, "shift-sign"))}

    before, after = load_family(path, KINDS), load_family(path, more)

    assert before.fingerprint == after.fingerprint
    assert after.slips == (*before.slips, "shift-sign")


# ------------------------------------------------------------ faults

MANY_FAULTS = """\
id: many-fault
version: 0
titel: A family with a fault in every line
problem: polynomal
outcomes: [Lift Roots, lift-roots, lift-roots]
level: no
about: &note twelve or more
parameters:
  p: {prime: [13, 5]}
  q: {primes: [24, 28], radical: yes}
  x: {integer: [1, 9]}
  gcd: {one of: [2, 3, 2]}
  b: {integer: [1, r], except: [2^10^9]}
  r: {integer: [1, 20], value: 3}
  idle: {integer: [1, 5]}
where:
  - gcd(p, qq) == 1
  - solution count in 6..2
  - no singular rots
  - 1 == 2
  - p = 5
given: {congruence: x^2 + b x + r, modulis: p/q}
ask: how much
forms: [integer]
slips: [not-lifted, lift-sing]
scoring: plus-minus
colour: red
"""

ALL_OF_THEM = """\
1:5: id: expected 'many-faults', the name of the file, found 'many-fault'
2:10: version: expected an integer of at least 1, found the integer 0
3:1: unknown field 'titel'; did you mean 'title'?
4:10: problem: unknown kind of problem 'polynomal'; did you mean 'polynomial'?
5:12: outcomes[1]: expected an id of lower-case letters, digits and single hyphens, \
at most 64 characters, found the text 'Lift Roots'
5:36: outcomes[3]: 'lift-roots' stands in this list twice
6:8: level: expected text, found the truth value no; put it in quotes
7:8: about: expected a plain value, found the anchor &note: specs repeat a value instead of \
naming it; text that begins with * or & belongs in quotes
9:14: parameters.p.prime: expected a range [low, high], found [13, 5], which is empty
10:7: parameters.q: unknown field 'primes'; did you mean 'prime'?
10:15: parameters.q.primes: there is no prime from 24 to 28
10:34: parameters.q.radical: expected true or false, found the truth value yes
11:3: parameters: 'x' is the unknown of an equation: name the parameter otherwise
12:3: parameters: 'gcd' is a function: name the parameter otherwise
12:17: parameters.gcd.one of: 2 stands in this list twice
13:20: parameters.b.integer[2]: 'r' comes after 'b': a parameter uses those above it
13:33: parameters.b.except[1]: no value: a power is beyond 4096 bits
14:6: parameters.r: expected one of: integer, prime, one of, value; found integer and value
15:3: parameters: 'idle' is never used
17:12: where[1]: unknown name 'qq'; did you mean 'q'?
18:5: where[2]: unknown measure 'solution count'; did you mean 'solutions'?
19:8: where[3]: unknown measure 'singular rots'; did you mean 'singular roots'?
20:5: where[4]: this never holds: no parameter or measure is in it
21:7: where[5]: expected == for a comparison, found =
22:21: given.congruence: expected 'polynomial = polynomial', found no =
22:36: given: unknown field 'modulis'; did you mean 'modulus'?
22:46: given.modulis: '/' is not part of an expression; write //, which leaves out the remainder
23:6: ask: unknown ask 'how much'; did you mean 'how many'?
25:21: slips[2]: unknown slip 'lift-sing'; did you mean 'lift-sign'?
26:10: scoring: unknown scoring rule 'plus-minus'; did you mean 'plus minus'?
27:1: unknown field 'colour'; expected one of: id, title, version, problem, shown as, \
outcomes, level, about, parameters, where, given, ask, answer, story, formal, forms, slips, hints, \
feedback, substitutes, scoring, shortcuts, same, coefficients, spare, small, solutions, guessing
"""


def test_all_faults_of_a_file_are_told_at_once_each_at_its_place(tmp_path):
    path = written(tmp_path, MANY_FAULTS, "many-faults")

    assert faults_of(path) == [f"many-faults.yaml:{line}" for line in ALL_OF_THEM.splitlines()]


PARAMETER_FAULTS = [
    ("{}", "11:6: parameters.p: expected one of: integer, prime, one of, value; "
           "found none of them"),
    ("5", "11:6: parameters.p: expected fields written 'name: value', found the integer 5"),
    ("{prime: 5}", "11:14: parameters.p.prime: expected two bounds [low, high], "
                   "found the integer 5"),
    ("{prime: [5]}", "11:14: parameters.p.prime: expected two bounds [low, high], found 1"),
    ("{prime: []}", "11:14: parameters.p.prime: expected two bounds [low, high], "
                    "found an empty list"),
    ("{prime: [24, 28]}", "11:14: parameters.p.prime: there is no prime from 24 to 28"),
    ("{prime: [4, 6], except: [5]}", "11:14: parameters.p.prime: there is no prime from 4 to 6 "
                                     "but those excepted"),
    ("{prime: [5, 10^7]}", "11:14: parameters.p.prime: expected primes up to 1000000, "
                           "found the bound 10000000"),
    ("{integer: [1, 1], except: [1]}", "11:16: parameters.p.integer: there is no integer "
                                       "from 1 to 1 but those excepted"),
    ("{one of: [5], except: [5]}", "11:28: parameters.p.except: expected no 'except' beside "
                                   "'one of'"),
    ("{one of: 5}", "11:15: parameters.p.one of: expected a list, found the integer 5; write [5]"),
    ("{one of: [5, 1.5]}", "11:19: parameters.p.one of[2]: expected an expression, "
                           "found the number 1.5"),
    ("{one of: [5, yes]}", "11:19: parameters.p.one of[2]: expected an expression, "
                           "found the truth value yes"),
    ("{one of: [5, [7]]}", "11:19: parameters.p.one of[2]: expected an expression, found a list"),
    ("{one of: [5, 0x10]}", "11:19: parameters.p.one of[2]: expected an expression, "
                            "found the integer 0x10"),
    ("{value: p}", "11:14: parameters.p.value: 'p' is the parameter itself"),
    ("{value: solutions}", "11:14: parameters.p.value: 'solutions' is a measure of the solution, "
                           "known only to 'where'"),
    ("{value: 5 > 3}", "11:14: parameters.p.value: expected a number, found a condition"),
    ("{value: '5 +* 3'}", "11:18: parameters.p.value: expected a value before '*'"),
    ("{one of: []}", "11:15: parameters.p.one of: expected 1 or more values, found 0"),
    ("{prime: [3, 5, 7]}", "11:14: parameters.p.prime: expected two bounds [low, high], found 3"),
    ("{prime: [5, 13], radical: 1}", "11:32: parameters.p.radical: expected true or false, "
                                     "found the integer 1"),
    ("{prime: [gcd(5, 10), 13]}", "11:15: parameters.p.prime[1]: a comma inside [ ] or { } ends "
                                  "the value 'gcd(5': put the whole value in quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("source", "line"), PARAMETER_FAULTS)
def test_a_fault_of_a_parameter_is_told_whole(tmp_path, source, line):
    path = written(tmp_path, QUADRATIC.replace("{prime: [5, 13]}", source))

    assert faults_of(path) == [f"quadratic-two-prime-powers.yaml:{line}"]


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("x", "'x' is the unknown of an equation: name the parameter otherwise"),
        ("order", "'order' is a function: name the parameter otherwise"),
        ("steps", "'steps' is a measure of the solution: name the parameter otherwise"),
        ("in", "'in' has a meaning of its own: name the parameter otherwise"),
        ("no", "'no' has a meaning of its own: name the parameter otherwise"),
        ("On", "'On' has a meaning of its own: name the parameter otherwise"),
        ("2p", "expected a name of at most 20 letters, digits and underscores, a letter first, "
               "found '2p'"),
        ("_p", "expected a name of at most 20 letters, digits and underscores, a letter first, "
               "found '_p'"),
        ("\u03c0", "expected a name of at most 20 letters, digits and underscores, a letter "
                   "first, found '\u03c0'"),
    ],
)  # fmt: skip
def test_a_name_that_no_parameter_can_have_is_told(tmp_path, name, message):
    text = QUADRATIC.replace("  d: {value", f"  {name}: {{value: 1}}\n  d: {{value")
    path = written(tmp_path, text)

    expected = f"quadratic-two-prime-powers.yaml:15:3: parameters: {message}"
    assert expected in faults_of(path)


FIELD_FAULTS = [
    ("version: 3", "version: '3'", "2:10: version: expected an integer (digits alone), "
                                   "found the text '3'"),
    ("version: 3", "version: 1_000", "2:10: version: expected an integer (digits alone), "
                                     "found the integer 1_000"),
    ("version: 3", "version: 3.0", "2:10: version: expected an integer (digits alone), "
                                   "found the number 3.0"),
    ("version: 3\n", "", "1:1: the field 'version' is missing"),
    ("title: Quadratic", "title:\n#", "3:7: title: expected text, found nothing"),
    ("title: Quadratic", "title: null #", "3:8: title: expected text, found null, which stands "
                                          "for nothing; put it in quotes"),
    ("title: Quadratic congruence, modulus with two prime powers", "title: 2027-01-01",
     "3:8: title: expected text, found the date 2027-01-01; put it in quotes"),
    ("title: Q", "title: |\n  Two\n  lines\n#", "3:8: title: expected text on one line, "
                                                "found the text 'Two lines'"),
    ("title: Q", f"title: {'long ' * 41}", "3:8: title: expected at most 200 characters, "
                                           "found 255"),
    ("outcomes: [", f"outcomes: [{'long-' * 13}id, ",
     "5:12: outcomes[1]: expected at most 64 characters, found 67"),
    ("problem: polynomial", "problem: quartic", "4:10: problem: unknown kind of problem "
     "'quartic'; expected one of: polynomial, system"),
    ("[solve-polynomial-congruences, lift-roots]", "lift-roots",
     "5:11: outcomes: expected a list, found the text 'lift-roots'; write [lift-roots]"),
    ("level: medium", "level: hard", "6:8: level: unknown level 'hard'; did you mean 'difficult'?"),
    ("level: medium", "level: grim", "6:8: level: unknown level 'grim'; expected one of: "
     "very easy, easy, medium, difficult, very difficult"),
    ("level: medium", "level: Medium", "6:8: level: unknown level 'Medium'; "
                                       "did you mean 'medium'?"),
    ("  - no singular root\n", "  - no: singular root\n",
     "20:5: where[4]: expected a condition, found fields"),
    ("  - no singular root\n", "  - true\n",
     "20:5: where[4]: expected a condition, found the truth value true"),
    ("  - no singular root\n", "  - no singular root\n" * 48,
     "17:3: where: expected at most 50 values, found 51"),
    ("modulus: p^2*q", "modulus: [p, q]", "21:49: given.modulus: expected an expression, "
                                          "found a list"),
    ("modulus: p^2*q", "modulus: p == q", "21:49: given.modulus: expected a number, "
                                          "found a condition"),
    (", modulus: p^2*q", "", "21:8: given: the field 'modulus' is missing"),
    ("ask: all solutions", "ask: the solution", "22:6: ask: the ask 'the solution' does not go "
     "with the kind of problem 'polynomial'; expected one of: all solutions, how many, "
     "the least, the largest, whether any"),
    ("forms: [select all,", "forms: [integer,", "23:9: forms[1]: the form 'integer' does not go "
     "with the ask 'all solutions'; expected one of: select all, select one, list, set"),
    ("forms: [select all,", "forms: [match,", "23:9: forms[1]: the form 'match' is not for the "
                                              "kind of problem 'polynomial'"),
    ("select one, list]", "select one, lists]", "23:33: forms[3]: unknown form 'lists'; "
                                                "did you mean 'list'?"),
    ("[not-lifted, lift-sign]", "[not-lifted, not-lifted]",
     "24:21: slips[2]: 'not-lifted' stands in this list twice"),
    ("{list: select one}", "{lists: select one}", "25:15: substitutes: unknown form of this "
     "family 'lists'; did you mean 'list'?"),
    ("{list: select one}", "{list: list}", "25:21: substitutes.list: the substitute 'list' does "
     "not go with the form 'list'; expected one of: select all, select one"),
    ("{list: select one}", "{list: set}", "25:21: substitutes.list: the substitute 'set' does "
     "not go with the form 'list'; expected one of: select all, select one"),
    ("[select all, select one, list]", "[list]", "26:10: scoring: 'plus minus' scores the form "
     "'select all' only, which is not a form here"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line"), FIELD_FAULTS)
def test_a_fault_of_a_field_is_told_whole(tmp_path, old, new, line):
    assert old in QUADRATIC
    path = written(tmp_path, QUADRATIC.replace(old, new))

    assert faults_of(path) == [f"quadratic-two-prime-powers.yaml:{line}"]


def test_a_word_at_fault_is_not_told_as_repeated_too(tmp_path):
    path = written(tmp_path, QUADRATIC.replace("[not-lifted, lift-sign]", "[lifted, lifted]"))

    assert [fault.split(": ")[2] for fault in faults_of(path)] == [
        "unknown slip 'lifted'; did you mean 'not-lifted'?"
    ] * 2


def test_too_many_parameters_are_one_fault(tmp_path):
    more = "".join(f"  k{i}: {{value: p}}\n" for i in range(26))
    uses = "".join(f"  - k{i} > 1\n" for i in range(26))
    path = written(tmp_path, QUADRATIC.replace("where:\n", f"{more}where:\n{uses}"))

    assert faults_of(path) == [
        "quadratic-two-prime-powers.yaml:11:3: parameters: expected at most 30 values, found 31"
    ]


def test_the_words_and_the_values_of_a_parameter_are_told_with_its_sources(tmp_path):
    source = "{prime: [5, qq], value: 5 +, except: 3, radical: 1, colour: red}"
    path = written(tmp_path, QUADRATIC.replace("{prime: [5, 13]}", source))

    assert [fault.split(": ", 1)[1] for fault in faults_of(path)] == [
        "parameters.p: expected one of: integer, prime, one of, value; found prime and value",
        "parameters.p.prime[2]: unknown name 'qq'; expected one of: none",
        "parameters.p.value: expected a value after '+'",
        "parameters.p.except: expected a list, found the integer 3; write [3]",
        "parameters.p.radical: expected true or false, found the integer 1",
        "parameters.p: unknown field 'colour'; expected one of: "
        "except, integer, prime, one of, value, radical",
    ]


def test_what_does_not_depend_on_an_unknown_kind_is_told_with_it(tmp_path):
    text = QUADRATIC.replace("problem: polynomial", "problem: quartic").replace(
        "ask: all solutions", "ask: how much"
    )
    path = written(tmp_path, text.replace("4*c}", "4*k}"))

    assert [fault.split(": ", 2)[1] for fault in faults_of(path)] == [
        "problem",
        "parameters.d.value",
        "ask",
    ]


@pytest.mark.parametrize(
    ("parameters", "where", "unused"),
    [
        ("", "", []),
        ("  k: {integer: [1, 5]}\n", "", ["16:3: parameters: 'k' is never used"]),
        ("  k: {value: p}\n", "", ["16:3: parameters: 'k' is never used"]),
        ("  k: {value: p}\n", "  - k > 2\n", []),
        (
            "  k: {integer: [1, 5]}\n",
            "  - k > 2\n",
            ["16:3: parameters: 'k' is drawn, but nothing in 'given' depends on it"],
        ),
        (
            "  k: {integer: [1, 5]}\n  m: {value: k + 1}\n",
            "  - m > 2\n",
            ["16:3: parameters: 'k' is drawn, but nothing in 'given' depends on it"],
        ),
    ],
)
def test_a_parameter_that_makes_no_difference_is_told(tmp_path, parameters, where, unused):
    text = QUADRATIC.replace("where:\n", f"{parameters}where:\n{where}")
    path = written(tmp_path, text)

    if unused:
        assert faults_of(path) == [f"quadratic-two-prime-powers.yaml:{line}" for line in unused]
    else:
        assert load_family(path, KINDS).id == "quadratic-two-prime-powers"


@pytest.mark.parametrize("content", ["just text\n", "- a\n- b\n", "42\n"])
def test_a_file_that_is_no_mapping_is_one_fault(tmp_path, content):
    path = written(tmp_path, content, "family")

    (line,) = faults_of(path)

    assert line.startswith("family.yaml:1:1: expected fields written 'name: value', found ")
