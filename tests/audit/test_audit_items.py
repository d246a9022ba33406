"""Items by hand, right and tampered with: what the audit says of each."""

import pytest

from tests.audit.handmade import (
    ENTRY,
    FORMULA_HTML,
    FORMULA_MATHML,
    GIVEN,
    IS_KEY,
    IS_NULL,
    OPTIONS,
    STEM,
    ZERO,
    base,
    choices,
    condition,
    qti_item,
    report_on,
    scored,
    set_outcome,
    slip_shown,
    ticked,
)

STATEMENT = "x^2 + 9x + 5 = 0 mod 117"


def findings(tmp_path, item):
    return report_on(tmp_path, item).findings


def pattern(source):
    return f'<patternMatch pattern="{source}">{GIVEN}</patternMatch>'


def listed(*values):
    blank = "[\\s\N{NO-BREAK SPACE}]"
    joint = f"({blank}*[,;]{blank}*|{blank}+)"
    spelled = joint.join(f"[+]?0*{x}" for x in values)
    return pattern(rf"^\s*[{{]?\s*{spelled}\s*[}}]?\s*$")


def question(formula, opening, *rest):
    return f"<p>{opening}</p><p>{formula}</p>" + "".join(f"<p>{p}</p>" for p in rest)


def integer_equal(n, modulus=0):
    value = GIVEN
    if modulus:
        m = base("integer", modulus)
        once = f"<integerModulus>{GIVEN}{m}</integerModulus>"
        value = f"<integerModulus><sum>{once}{m}</sum>{m}</integerModulus>"
    return f'<equal toleranceMode="exact">{base("integer", n)}{value}</equal>'


SLIPS = {
    "processing": scored(IS_KEY) + slip_shown(ticked(7, 20), ticked(7, 101)),
    "slips": ("If s is a square root, so is −s.", "Two and two make four combinations."),
}

SETS = {
    "a": "{7, 20}",
    "b": "{7, 20, 88, 101}",
    "c": "{10, 20, 46, 101}",
    "none": "no solutions",
}
SELECT_ONE = {
    "stem": question(
        "x² + 9x + 5 ≡ 0 (mod 117)",
        "Find <b>all</b> solutions of",
        "Choose the set that holds <b>all</b> solutions among the least residues (0 to 116), and"
        " nothing else.",
        "2 points for the right set, otherwise 0.",
    ),
    "interaction": choices(SETS, 1),
    "cardinality": "single",
    "key": ("b",),
    "processing": scored(IS_KEY).replace(base("float", 1), base("float", 2)),
    "maximum": "2",
}

COUNT = {
    "stem": question(
        "x² + 9x + 5 ≡ 0 (mod 117)",
        "How many solutions has",
        "Count the least residues (0 to 116) that solve it.",
        "1 point for the right number, otherwise 0.",
    ),
    "interaction": ENTRY,
    "cardinality": "single",
    "base_type": "integer",
    "key": (4,),
    "processing": scored(integer_equal(4)),
    "label": f"{STATEMENT}; how many",
}

COUNT_AS_TEXT = COUNT | {
    "base_type": "string",
    "processing": scored(pattern(r"^\s*[+]?0*4\s*$")),
}

LEAST = COUNT | {
    "stem": COUNT["stem"]
    .replace("How many solutions has", "Find the <b>least</b> residue that solves")
    .replace("Count the least residues (0 to 116) that solve it.", "Type it."),
    "key": (7,),
    "processing": scored(integer_equal(7)),
    "label": f"{STATEMENT}; the least",
}

LARGEST = LEAST | {
    "stem": LEAST["stem"].replace("least", "largest"),
    "key": (101,),
    "processing": scored(integer_equal(101)),
    "label": f"{STATEMENT}; the largest",
}

SOLUTION = COUNT | {
    "stem": question(
        "7x ≡ 3 (mod 26)",
        "Find the solution of",
        "There is exactly one residue class modulo 26. Type any integer of it.",
        "1 point for the right number, otherwise 0.",
    ),
    "key": (19,),
    "processing": scored(integer_equal(19, 26)),
    "label": "7x = 3 mod 26; the solution",
}

LIST = COUNT | {
    "stem": question(
        "9x ≡ 6 (mod 15)",
        "Find <b>all</b> solutions of",
        "Type all its least residues (0 to 14) in increasing order, separated by commas, such as"
        " 1, 2, 3. If there is no solution, type “none”.",
        "1 point for exactly the right list, otherwise 0.",
    ),
    "base_type": "string",
    "key": ("4, 9, 14",),
    "processing": scored(listed(4, 9, 14)),
    "label": "9x = 6 mod 15; all solutions",
}

LIST_NONE = LIST | {
    "stem": LIST["stem"].replace("9x ≡ 6 (mod 15)", "9x ≡ 7 (mod 15)"),
    "key": ("none",),
    "processing": scored(pattern(r"^\s*[nN][oO][nN][eE]\s*$")),
    "label": "9x = 7 mod 15; all solutions",
}

SOLVABLE = {
    "stem": question(
        "x<sup>2</sup> ≡ 2 (mod 21)",
        "Decide whether there is a solution of",
        "True or false: the congruence has at least one solution. 1 point for the right word,"
        " otherwise 0.",
    ),
    "interaction": choices({"true": "True", "false": "False"}, 1),
    "cardinality": "single",
    "key": ("false",),
    "label": "x^2 = 2 mod 21; whether any",
}

PLUS_MINUS = {
    "stem": STEM.replace(
        "1 point if exactly the solutions are ticked, otherwise 0.",
        "Each right tick adds 1, each wrong tick takes 1 away; the sum is never below 0.",
    ),
    "mapping": '<mapping lowerBound="0" upperBound="4" defaultValue="-1">'
    + "".join(
        f'<mapEntry mapKey="r{x}" mappedValue="1" caseSensitive="true"/>' for x in (7, 20, 88, 101)
    )
    + "</mapping>",
    "processing": condition(
        (IS_NULL, ZERO), otherwise=set_outcome("SCORE", '<mapResponse identifier="RESPONSE"/>')
    ),
    "maximum": "4",
}

RIGHT = {
    "select all": {},
    "select all, MathML": {"stem": STEM.replace(FORMULA_HTML, FORMULA_MATHML)},
    "select all, slips": SLIPS,
    "plus minus": PLUS_MINUS,
    "select one": SELECT_ONE,
    "how many": COUNT,
    "how many, as text": COUNT_AS_TEXT,
    "the least": LEAST,
    "the largest": LARGEST,
    "the solution": SOLUTION,
    "list": LIST,
    "list, none": LIST_NONE,
    "solvable or not": SOLVABLE,
}


@pytest.mark.parametrize("name", RIGHT)
def test_a_right_item_is_agreed(tmp_path, name):
    report = report_on(tmp_path, qti_item(**RIGHT[name]))

    assert report.findings == ()
    assert report.as_json() == {
        "package": "a.zip", "items": 1, "agreed": 1, "unchecked": 0, "disagreed": 0, "findings": [],
    }  # fmt: skip
    assert report.clean


TAMPERED = {
    "key with one dropped": (
        {"key": ("r7", "r20", "r88")},
        "item-1: key: expected 7, 20, 88, 101, got 7, 20, 88",
    ),
    "key with one added": (
        {"key": ("r7", "r10", "r20", "r88", "r101")},
        "item-1: key: expected 7, 20, 88, 101, got 7, 10, 20, 88, 101",
    ),
    "no solutions as key": (
        {"key": ("none",)},
        "item-1: key: expected 7, 20, 88, 101, got no solutions",
    ),
    "no solutions in the key": (
        {"key": ("r7", "r20", "r88", "r101", "none")},
        "item-1: key: expected “no solutions” alone, got it with solutions",
    ),
    "a number of the stem": (
        {"stem": STEM.replace("+ 9", "+ 8"), "label": ""},
        "item-1: key: expected no solutions, got 7, 20, 88, 101",
    ),
    "a number of the stem, with the statement": (
        {"stem": STEM.replace("+ 9", "+ 8")},
        "item-1: stem: expected the congruence of the statement 'x^2 + 9x + 5 = 0 mod 117', "
        "got another",
    ),
    "an exponent of the stem in MathML": (
        {"stem": STEM.replace(FORMULA_HTML, FORMULA_MATHML.replace("<mn>2<", "<mn>3<"))},
        "item-1: key: expected no solutions, got 7, 20, 88, 101",
    ),
    "the spoken form": (
        {"stem": STEM.replace(FORMULA_HTML, FORMULA_MATHML.replace("plus 5", "plus 6"))},
        "item-1: stem: expected the congruence in its spoken form, got 'x squared plus 9 x plus 6"
        " is congruent to 0, modulo 117'",
    ),
    "the number of ticks allowed": (
        {"interaction": OPTIONS.replace('maxChoices="0"', 'maxChoices="3"')},
        "item-1: options: expected any number of ticks, got at most 3",
    ),
    "a sign of the stem": (
        {"stem": STEM.replace("+ 5", "− 5")},
        "item-1: key: expected no solutions, got 7, 20, 88, 101",
    ),
    "the range of the stem": (
        {"stem": STEM.replace("116", "117")},
        "item-1: stem: expected least residues 0 to 116, got 0 to 117",
    ),
    "the statement": (
        {"label": "x^2 + 9x + 5 = 0 mod 118; all solutions"},
        "item-1: stem: expected the congruence of the statement 'x^2 + 9x + 5 = 0 mod 118', "
        "got another",
    ),
    "the ask of the statement": (
        {"label": f"{STATEMENT}; how many"},
        "item-1: stem: expected to ask how many, got all solutions",
    ),
    "a statement that is an ask alone": (
        {"label": "all solutions"},
        "item-1: statement: expected the congruence of the stem, got none: statement: expected a"
        " question, got none",
    ),
    "a solution that is no option": (
        {"interaction": OPTIONS.replace(">88<", ">89<")},
        "item-1: key: expected 7, 20, 88, 101, got 7, 20, 89, 101",
    ),
    "two options of one residue": (
        {"interaction": OPTIONS.replace(">16<", ">133<").replace(">10<", ">16<")},
        "item-1: options r10 and r16: expected different answers, got 16 twice",
    ),
    "an option beyond the least residues": (
        {"interaction": OPTIONS.replace(">16<", ">133<")},
        "item-1: option r16: expected least residues 0 to 116, got 133",
    ),
    "two options of one set": (
        SELECT_ONE | {"interaction": choices(SETS | {"c": "{20, 7}"}, 1)},
        "item-1: options a and c: expected different answers, got 7, 20 twice",
    ),
    "two options of one set under different moduli": (
        LIST
        | {
            "interaction": choices({"a": "x ≡ 4 (mod 5)", "b": "{4, 9, 14}", "c": "{4}"}, 1),
            "base_type": "identifier",
            "key": ("b",),
            "processing": scored(IS_KEY),
        },
        "item-1: options a and b: expected different answers, got 4, 9, 14 twice",
    ),
    "the scoring takes half of the key": (
        {"processing": scored(f"<or>{IS_KEY}{ticked(7, 20)}</or>")},
        "item-1: scoring: expected 0 for {7; 20}, got 1",
    ),
    "the scoring takes everything ticked": (
        {
            "processing": scored(
                f"<or>{IS_KEY}<gte><containerSize>{GIVEN}</containerSize>{base('integer', 9)}"
                "</gte></or>"
            )
        },
        "item-1: scoring: expected 0 for {7; 10; 16; 20; 46; 85; 88; 101; no solutions}, got 1",
    ),
    "the scoring takes nothing": (
        {"processing": condition((IS_KEY, ZERO), otherwise=ZERO)},
        "item-1: scoring: expected 1 for {7; 20; 88; 101} (the key), got 0",
    ),
    "the scoring gives points for no response": (
        {
            "processing": condition(
                (IS_NULL, set_outcome("SCORE", base("float", 1))),
                (IS_KEY, set_outcome("SCORE", base("float", 1))),
                otherwise=ZERO,
            )
        },
        "item-1: scoring: expected 0 for no response, got 1",
    ),
    "wrong ticks cost nothing": (
        PLUS_MINUS | {"mapping": PLUS_MINUS["mapping"].replace('Value="-1"', 'Value="0"')},
        "item-1: scoring: expected 3 for {7; 10; 20; 88; 101}, got 4",
    ),
    "points beyond those of the stem": (
        {"processing": scored(IS_KEY).replace(base("float", 1), base("float", 2))},
        "item-1: scoring: expected 1 for {7; 20; 88; 101} (the key), got 2",
    ),
    "the maximum": (
        {"maximum": "2"},
        "item-1: points: expected 1 as the stem says, got normalMaximum 2",
    ),
    "another option in select one": (
        SELECT_ONE | {"key": ("c",)},
        "item-1: key: expected 7, 20, 88, 101, got 10, 20, 46, 101",
    ),
    "a slip's response is the key": (
        SLIPS | {"processing": scored(IS_KEY) + slip_shown(ticked(7, 20), ticked(20, 7, 101, 88))},
        "item-1: feedback FEEDBACK=slip-2: expected for a wrong answer, got it for the key",
    ),
    "a slip that cannot be shown": (
        SLIPS | {"processing": scored(IS_KEY) + slip_shown(ticked(7, 20))},
        "item-1: feedback FEEDBACK=slip-2: expected an answer that shows it, got none",
    ),
    "a slip that prints the key": (
        SLIPS | {"slips": ("The solutions are 7, 20, 88 and 101.", "Think.")},
        "item-1: feedback FEEDBACK=slip-1: expected no answer key in it, got 7, 20, 88, 101",
    ),
    "the count": (
        COUNT | {"key": (2,), "processing": scored(integer_equal(2))},
        "item-1: key: expected 4 solutions, the answer says 2",
    ),
    "a count that is declared and another that is scored": (
        COUNT | {"processing": scored(integer_equal(5))},
        "item-1: scoring: expected 1 for '4', got 0",
    ),
    "the least": (
        LEAST | {"key": (20,), "processing": scored(integer_equal(20))},
        "item-1: key: expected 7 as the least solution, the answer says 20",
    ),
    "any representative where one is asked": (
        LEAST | {"processing": scored(integer_equal(7, 117))},
        "item-1: scoring: expected 0 for '124', got 1",
    ),
    "one representative where any is promised": (
        SOLUTION | {"processing": scored(integer_equal(19))},
        "item-1: scoring: expected 1 for '45', got 0",
    ),
    "a remainder that readers differ on": (
        SOLUTION
        | {
            "processing": scored(
                f"<equal>{base('integer', 19)}<integerModulus>{GIVEN}{base('integer', 26)}"
                "</integerModulus></equal>"
            )
        },
        "item-1: scoring: expected the same score for '-7' in readers that round quotients toward"
        " zero, got another",
    ),
    "the modulus in the words": (
        SOLUTION | {"stem": SOLUTION["stem"].replace("class modulo 26", "class modulo 62")},
        "item-1: stem: expected the modulus 26 of the congruence, got 62",
    ),
    "an integer as text with what may follow it": (
        COUNT_AS_TEXT | {"processing": scored(pattern(r"^\s*[+]?0*4[,.]?\s*$"))},
        "item-1: scoring: expected 0 for '4,', got 1",
    ),
    "an integer as text without zeros before it": (
        COUNT_AS_TEXT | {"processing": scored(pattern(r"^\s*[+]?4\s*$"))},
        "item-1: scoring: expected 1 for '04', got 0",
    ),
    "an integer as text without a plus sign": (
        COUNT_AS_TEXT | {"processing": scored(pattern(r"^\s*0*4\s*$"))},
        "item-1: scoring: expected 1 for '+04', got 0",
    ),
    "a list without zeros before its integers": (
        LIST | {"processing": scored(listed(4, 9, 14).replace("0*", ""))},
        "item-1: scoring: expected 1 for '04, 09, 014', got 0",
    ),
    "a list without no-break spaces": (
        LIST | {"processing": scored(listed(4, 9, 14).replace("\N{NO-BREAK SPACE}", ""))},
        "item-1: scoring: expected 1 for '+04,\N{NO-BREAK SPACE}+09,\N{NO-BREAK SPACE}+014', got 0",
    ),
    "a list with one dropped": (
        LIST | {"key": ("4, 9",), "processing": scored(listed(4, 9))},
        "item-1: key: expected 4, 9, 14, got 4, 9",
    ),
    "a list in another order": (
        LIST | {"processing": scored(f"<or>{listed(4, 9, 14)}{listed(14, 9, 4)}</or>")},
        "item-1: scoring: expected 0 for '14, 9, 4', got 1",
    ),
    "a list with more": (
        LIST | {"processing": scored(pattern(r"^\s*4\s*,\s*9\s*,\s*14.*$"))},
        "item-1: scoring: expected 0 for '4, 9, 14, 14', got 1",
    ),
    "a list without its separators": (
        LIST | {"processing": scored(pattern(r"^\s*[{]?\s*4\D*9\D*14\s*[}]?\s*$"))},
        "item-1: scoring: expected 0 for '4914', got 1",
    ),
    "a list that must be typed without spaces": (
        LIST | {"processing": scored(pattern("^4,9,14$"))},
        "item-1: scoring: expected 1 for '4, 9, 14', got 0",
    ),
    "no list where there are solutions": (
        LIST | LIST_NONE | {"stem": LIST["stem"], "label": LIST["label"]},
        "item-1: key: expected 4, 9, 14, got no solutions",
    ),
    "solvable": (
        SOLVABLE | {"key": ("true",)},
        "item-1: key: expected 0 solutions, the answer says that it is solvable",
    ),
}


@pytest.mark.parametrize("name", TAMPERED)
def test_a_tampered_item_is_disagreed_with_a_line_that_says_where(tmp_path, name):
    changes, line = TAMPERED[name]
    report = report_on(tmp_path, qti_item(**changes))

    assert line in report.findings
    assert (report.count("disagreed"), report.clean) == (1, False)


UNKNOWN = {
    "an ask": ({"stem": STEM.replace("Find <strong>all</strong>", "Sum the").replace("Tick", "T")},
               "a stem that asks nothing that is known"),
    "two asks": ({"stem": STEM + "<p>How many solutions are there?</p>"},
                 "a stem that asks all solutions and how many"),
    "a scoring rule": ({"stem": STEM.replace("1 point if", "Some points if")},
                       "a stem that states no scoring rule, or two"),
    "a formula": ({"stem": STEM.replace("≡", "∼")}, "a stem without a congruence"),
    "two unknowns": ({"stem": STEM.replace("+ 9<i>x</i>", "+ 9<i>y</i>")},
                     "statement: expected a linear congruence, got degree 2"),
    "a spoken form": (
        {"stem": STEM.replace(FORMULA_HTML, FORMULA_MATHML.replace("squared", "quadrat"))},
        "the word 'quadrat' in the spoken form of a formula",
    ),
    "no word for no solution": (
        LIST | {"stem": LIST["stem"].replace("If there is no solution, type “none”.", "")},
        "a stem that does not say what to answer if there is no solution",
    ),
    "no order": (
        LIST | {"stem": LIST["stem"].replace("in increasing order", "")},
        "a stem that does not say in which order to type the solutions",
    ),
    "another option element": (
        {"interaction": OPTIONS.replace("simpleChoice", "simpleAssociableChoice")},
        "an interaction with simpleAssociableChoice",
    ),
    "an operator": ({"processing": scored(f"<anyN min='1' max='1'>{IS_KEY}</anyN>")},
                    "the rule or expression anyN"),
    "rules nested without end": (
        {"processing": scored("<not>" * 200 + IS_KEY + "</not>" * 200)},
        "rules more than 60 deep",
    ),
    "rules without end": (
        {"processing": scored(IS_KEY) + scored(IS_KEY) * 900},
        "more than 6000 rules and expressions",
    ),
    "options without end": (
        {"interaction": choices({f"r{x}": str(x) for x in range(117)}, 0)},
        "117 options, 60 are read",
    ),
    "an option without end": (
        {"interaction": OPTIONS.replace(">16<", f">{'1' * 5000}<")},
        "an option of 5000 characters, 4000 are read",
    ),
    "a stem without end": (
        {"stem": STEM.replace("(0 to 116)", f"(0 to {'1' * 5000})")},
        "a stem of 5",
    ),
    "a key without end": (
        LIST | {"key": ("4, 9, " + "1" * 5000,)},
        "the key ('4, 9, 111",
    ),
    "two interactions": (
        {"interaction": OPTIONS + ENTRY},
        "interactions that do not each answer the declared",
    ),
    "an option": ({"interaction": OPTIONS.replace(">16<", ">sixteen<")}, "the option 'sixteen'"),
    "a key that is no option": ({"key": ("r7", "r99")}, "a key that is no option: r7, r99"),
    "a modulus too hard to factor": (
        COUNT | {
            "stem": COUNT["stem"].replace("(mod 117)", f"(mod {(10**40 + 121) * (10**41 + 109)})")
            .replace("(0 to 116)", ""),
            "label": "",
        },
        "the factor 1"),
}  # fmt: skip


@pytest.mark.parametrize("name", UNKNOWN)
def test_an_item_with_what_is_not_known_is_unchecked_and_never_agreed(tmp_path, name):
    changes, reason = UNKNOWN[name]
    report = report_on(tmp_path, qti_item(**changes))

    assert report.findings[0].startswith(f"item-1: unchecked: {reason}")
    assert (report.count("unchecked"), report.clean) == (1, False)
