"""Items made by hand: every response form, and what is hard to carry.

`test_samples.py` holds each key against exhaustion or substitution.
"""

from dataclasses import replace

from exporters.release import Group, Release
from itembank.notation.prose import display, paragraph, prose, table
from itembank.notation.tree import Blocks
from itembank.values.item import (
    Choice,
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    Option,
    Provenance,
    PutInOrder,
    Scoring,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    Stage,
    TrueFalse,
)

QUADRATIC = "x^2 + 9x + 5 = 0 mod 117"

WORKED = (
    paragraph("$117 = 9 · 13$, and $9$ and $13$ have no common factor.", "Split the modulus."),
    paragraph("Trying $0$, $1$, $2$ gives $x ≡ 1$ and $x ≡ 2 mod 3$.", "Modulo 3."),
    table(
        ["$r$", "$f(r)$", "$f(r)/3$", "$f'(r)$", "congruence for $t$", "$t$", "root modulo $9$"],
        [
            ["$1$", "$15$", "$5 ≡ 2$", "$11 ≡ 2$", "$2 + 2t ≡ 0 mod 3$", "$2$", "$1 + 3·2 = 7$"],
            ["$2$", "$27$", "$9 ≡ 0$", "$13 ≡ 1$", "$0 + t ≡ 0 mod 3$", "$0$", "$2 + 3·0 = 2$"],
        ],
    ),
    display("x^2 + 9x + 5 ≡ (x + 11)^2 + 1", "(x + 11)^2 ≡ -1 ≡ 12 ≡ 25 mod 13"),
    table(
        ["", "$b = 7$", "$b = 10$"],
        [
            ["$a = 2$", "$182 + 189 = 371 ≡ 20$", "$182 + 270 = 452 ≡ 101$"],
            ["$a = 7$", "$637 + 189 = 826 ≡ 7$", "$637 + 270 = 907 ≡ 88$"],
        ],
        row_heads=True,
    ),
    paragraph("$x ≡ 7, 20, 88, 101 mod 117$: four solutions.", "Answer."),
)


def stem(ask: str, *rows: str) -> Blocks:
    return (
        paragraph(ask if ask.endswith("?") else f"{ask}:"),
        display(*rows),
        paragraph("**1 point** if right, otherwise 0."),
    )


def residue(n: int, correct: bool = False, *slips: str) -> Option:
    return Option(
        identifier=f"r{n}", label=prose(f"${n}$"), residues=(n,), correct=correct, slips=slips
    )


def residue_set(identifier: str, *residues: int, slip: str = "") -> Option:
    return Option(
        identifier=identifier,
        label=prose(f"${{{', '.join(map(str, residues))}}}$"),
        residues=residues,
        correct=not slip,
        slips=(slip,) if slip else (),
    )


def none(correct: bool = False) -> Option:
    return Option(
        identifier="none", label=("no solutions",), residues=(), correct=correct, none=True
    )


def slip(name: str, response: tuple[str, ...] | tuple[int, ...], *texts: str) -> SlipFeedback:
    return SlipFeedback(slips=(name,), response=response, text=tuple(map(paragraph, texts)))


SELECT_ALL = Item(
    title="Quadratic congruence, variant 3",
    statement=(QUADRATIC,),
    kind="polynomial",
    ask="all solutions",
    stem=(
        paragraph("Find **all** solutions of"),
        display("x^2 + 9x + 5 ≡ 0 mod 117"),
        paragraph("Tick every least residue ($0$ to $116$) that is a solution."),
    ),
    spoken="Find all solutions of: x squared plus 9 x plus 5 is congruent to 0, modulo 117.",
    response=SelectAll(
        options=(
            residue(7, True),
            residue(10, False, "roots-not-lifted"),
            residue(16, False, "shift-sign"),
            residue(20, True),
            residue(46, False, "roots-not-lifted"),
            residue(85, False, "lift-sign"),
            residue(88, True),
            residue(101, True),
            none(),
        )
    ),
    scoring=Scoring(),
    feedback=(
        slip(
            "one-square-root",
            ("r7", "r20"),
            "You solved $(x + 11)^2 ≡ 12 mod 13$ with one square root.",
            "If $s$ is a square root of $12$, so is $-s$.",
        ),
        slip("matched-pairs", ("r7", "r101"), "Two and two make four combinations."),
    ),
    solution=WORKED,
    outcomes=("solve-polynomial-congruences", "lift-roots"),
    level="medium",
    steps=23,
    language="en",
    provenance=Provenance(family="quadratic", version=2, seed="alder-7", index=3),
)

SELECT_ALL_NONE = replace(
    SELECT_ALL,
    title="Quadratic congruence, variant 4",
    statement=("x^2 = 2 mod 21",),
    stem=stem("Find **all** solutions of", "x^2 ≡ 2 mod 21"),
    response=SelectAll(options=(*(residue(n) for n in (3, 4, 10, 11, 17, 18)), none(True))),
    feedback=(
        slip(
            "unsolvable-factor",
            ("r3", "r4", "r10", "r11", "r17", "r18"),
            "Modulo $3$ there is no solution: $x^2 ≡ 2 mod 3$ fails for $0$, $1$ and $2$.",
        ),
    ),
    solution=(paragraph("Modulo $3$ no residue has the square $2$."),),
    provenance=Provenance(family="quadratic", version=2, seed="alder-7", index=4),
)

PLUS_MINUS = replace(SELECT_ALL, scoring=Scoring(rule="plus minus", points=4))

SELECT_ONE = replace(
    SELECT_ALL,
    title="Quadratic congruence as sets, variant 0",
    response=SelectOne(
        options=(
            residue_set("a", 7, 20, slip="one-square-root"),
            residue_set("b", 7, 20, 88, 101),
            residue_set("c", 10, 20, 46, 101, slip="roots-not-lifted"),
            residue_set("d", 16, 29, 97, 110, slip="shift-sign"),
            none(),
        )
    ),
    feedback=(
        slip("one-square-root", ("a",), "If $s$ is a square root of $12$, so is $-s$."),
        slip("roots-not-lifted", ("c",), "$f(1) = 15$ is divisible by $3$, not by $9$."),
    ),
    scoring=Scoring(points=2),
    provenance=Provenance(family="quadratic-sets", version=1, seed="alder-7", index=0),
)

INTEGER = replace(
    SELECT_ALL,
    title="Linear congruence, variant 1",
    statement=("7x = 3 mod 26",),
    kind="linear",
    ask="the solution",
    stem=stem("Give the solution of", "7x ≡ 3 mod 26"),
    response=IntegerEntry(
        value=19,
        modulus=26,
        least_stem=stem("Give the least residue that solves", "7x ≡ 3 mod 26"),
    ),
    feedback=(slip("inverse-sign", (7,), "Check: $7 · 11 = 77 ≡ -1 mod 26$."),),
    solution=(paragraph("$7 · 15 = 105 ≡ 1$, so $x ≡ 15 · 3 = 45 ≡ 19 mod 26$."),),
    outcomes=("linear-congruences",),
    level="easy",
    provenance=Provenance(family="linear", version=1, seed="alder-7", index=1),
)

SYSTEM = replace(
    INTEGER,
    title="Two congruences, variant 0",
    statement=("x = 2 mod 3", "x = 3 mod 5"),
    kind="system",
    stem=stem("Give the solution modulo $15$ of", "x ≡ 2 mod 3", "x ≡ 3 mod 5"),
    response=IntegerEntry(
        value=8,
        modulus=15,
        least_stem=stem("Give the least residue that solves", "x ≡ 2 mod 3", "x ≡ 3 mod 5"),
    ),
    feedback=(),
    provenance=Provenance(family="system", version=1, seed="alder-7", index=0),
)

COUNT = replace(
    SELECT_ALL,
    title="Number of solutions, variant 0",
    ask="how many",
    stem=stem(
        "How many solutions modulo $117$ does this congruence have?", "x^2 + 9x + 5 ≡ 0 mod 117"
    ),
    response=IntegerEntry(value=4),
    feedback=(slip("matched-pairs", (2,), "Two and two make four combinations."),),
    provenance=Provenance(family="counting", version=1, seed="alder-7", index=0),
)

SYMBOL = replace(
    COUNT,
    title="Symbol, variant 0",
    statement=("(2/5)",),
    ask="the value",
    stem=(paragraph("Find the value of the Legendre symbol $(2/5)$."),),
    response=IntegerEntry(value=-1),
    feedback=(slip("sign-of-two", (1,), "The squares modulo $5$ are $1$ and $4$."),),
    solution=(paragraph("The squares modulo $5$ are $1$ and $4$."),),
    provenance=Provenance(family="symbols", version=1, seed="alder-7", index=0),
)

NONE_TO_COUNT = replace(
    COUNT,
    title="Number of solutions, variant 1",
    statement=("x^2 = 2 mod 21",),
    stem=stem("How many solutions modulo $21$ has", "x^2 ≡ 2 mod 21"),
    response=IntegerEntry(value=0),
    feedback=(slip("unsolvable-factor", (6,), "Modulo $3$ there is no solution."),),
    solution=(paragraph("Modulo $3$ no residue has the square $2$."),),
    provenance=Provenance(family="counting", version=1, seed="alder-7", index=1),
)

ANY_OF_SEVERAL = replace(
    COUNT,
    title="Primitive roots, variant 0",
    statement=("primitive roots mod 17",),
    kind="primitive_roots",
    ask="an example",
    stem=(
        paragraph("Find a primitive root modulo 17."),
        paragraph("Type one such number from $3$ to $9$. Every right one counts."),
    ),
    response=IntegerEntry(value=3, others=(5, 6, 7)),
    feedback=(slip("odd-exponents", (9,), "The square of $9$ is $13$, and so on."),),
    solution=(paragraph("Each of these 4 counts: $3, 5, 6, 7$."),),
    provenance=Provenance(family="roots", version=1, seed="alder-7", index=0),
)

BIG = 10**30 + 57

BIG_INTEGER = replace(
    INTEGER,
    title="Linear congruence with a large modulus, variant 0",
    statement=(f"3x = 1 mod {BIG}",),
    stem=stem("Give the solution of", f"3x ≡ 1 mod {BIG}"),
    response=IntegerEntry(
        value=666666666666666666666666666705,
        modulus=BIG,
        least_stem=stem("Give the least residue that solves", f"3x ≡ 1 mod {BIG}"),
    ),
    feedback=(slip("inverse-sign", (333333333333333333333333333352,), "Check the sign."),),
    provenance=Provenance(family="large", version=1, seed="alder-7", index=0),
)

LIST = replace(
    INTEGER,
    title="Linear congruence with several solutions, variant 2",
    statement=("9x = 6 mod 15",),
    ask="all solutions",
    stem=stem("List **all** solutions, least residues in increasing order, of", "9x ≡ 6 mod 15"),
    response=ListEntry(values=(4, 9, 14), modulus=15, none_word="none"),
    feedback=(
        slip("wrong-spacing", (4, 7, 10), "Solutions are $15/3 = 5$ apart."),
        slip("quotient-or-nothing", (), "Divide $9$, $6$ and $15$ by $3$ first."),
    ),
    provenance=Provenance(family="linear-several", version=1, seed="alder-7", index=2),
)

LIST_EMPTY = replace(
    LIST,
    title="Linear congruence with several solutions, variant 5",
    statement=("4x = 3 mod 10",),
    stem=stem("List **all** solutions, least residues in increasing order, of", "4x ≡ 3 mod 10"),
    response=ListEntry(values=(), modulus=10, none_word="none"),
    feedback=(slip("test-skipped", (3, 8), "$gcd(4, 10) = 2$ must divide $3$."),),
    provenance=Provenance(family="linear-several", version=1, seed="alder-7", index=5),
)

LIST_ANY_ORDER = replace(
    LIST,
    title="Square roots, variant 0",
    statement=("x^2 = 2 mod 7",),
    stem=stem("List **all** solutions in any order of", "x^2 ≡ 2 mod 7"),
    response=ListEntry(values=(3, 4), modulus=7, none_word="none", any_order=True),
    feedback=(slip("one-square-root", (3,), "If $s$ is a square root, so is $-s$."),),
    provenance=Provenance(family="square-roots", version=1, seed="alder-7", index=0),
)

LIST_ZERO = replace(
    LIST,
    title="Linear congruence with several solutions, variant 6",
    statement=("3x = 0 mod 9",),
    stem=stem("List **all** solutions, least residues in increasing order, of", "3x ≡ 0 mod 9"),
    response=ListEntry(values=(0, 3, 6), modulus=9, none_word="none"),
    feedback=(),
    provenance=Provenance(family="linear-several", version=1, seed="alder-7", index=6),
)

SET = replace(
    LIST,
    title="Linear congruence with several solutions, variant 7",
    stem=stem("Find **all** solutions modulo $15$, one to an entry, of", "9x ≡ 6 mod 15"),
    response=SetEntry(values=(4, 9, 14), modulus=15, entries=6),
    feedback=(
        slip("wrong-spacing", (4, 7, 10), "Solutions are $15/3 = 5$ apart."),
        slip("one-solution", (4,), "A common factor of $3$ gives $3$ solutions."),
    ),
    provenance=Provenance(family="linear-set", version=1, seed="alder-7", index=7),
    plain=replace(
        LIST, provenance=Provenance(family="linear-set", version=1, seed="alder-7", index=7)
    ),
)

TRUE_FALSE = replace(
    SELECT_ALL,
    title="Solvable or not, variant 0",
    statement=("x^2 = 2 mod 21",),
    ask="whether any",
    stem=stem("Has this congruence a solution", "x^2 ≡ 2 mod 21"),
    response=TrueFalse(
        truth=False, yes=("it has a solution",), no=prose("no residue modulo $21$ solves it")
    ),
    feedback=(slip("symbol-one", ("true",), "Every Legendre symbol must be $1$."),),
    solution=(paragraph("Modulo $3$ no residue has the square $2$."),),
    provenance=Provenance(family="solvable", version=1, seed="alder-7", index=0),
)

STEPS = {
    "step-split": "Split the modulus: $117 = 3^2 · 13$.",
    "step-solve": "Solve modulo each prime: $x ≡ 1, 2 mod 3$ and $x ≡ 7, 10 mod 13$.",
    "step-lift": "Lift the roots: $x ≡ 2, 7 mod 9$.",
    "step-combine": "Combine the residues in every way: $x ≡ 7, 20, 88, 101 mod 117$.",
}


def choice(identifier: str, text: str) -> Choice:
    return Choice(identifier=identifier, label=prose(text))


ORDER = replace(
    SELECT_ALL,
    title="Steps in order, variant 0",
    ask="the steps",
    stem=stem("Put the steps in the order in which they are done", "x^2 + 9x + 5 ≡ 0 mod 117"),
    response=PutInOrder(
        lines=tuple(
            choice(name, STEPS[name])
            for name in ("step-combine", "step-split", "step-lift", "step-solve")
        ),
        order=tuple(STEPS),
    ),
    feedback=(
        slip(
            "combined-before-lifting",
            ("step-split", "step-solve", "step-combine", "step-lift"),
            "Roots modulo $3$ must be lifted first.",
        ),
    ),
    provenance=Provenance(family="steps", version=1, seed="alder-7", index=0),
    plain=replace(
        SELECT_ONE,
        ask="the steps",
        stem=stem("Choose the right order of the steps for", "x^2 + 9x + 5 ≡ 0 mod 117"),
        response=SelectOne(
            options=(
                Option(identifier="a", label=("P, Q, R, S",), residues=(), correct=False),
                Option(identifier="b", label=("Q, S, R, P",), residues=(), correct=True),
                Option(identifier="c", label=("Q, S, P, R",), residues=(), correct=False),
                Option(identifier="d", label=("S, Q, R, P",), residues=(), correct=False),
            )
        ),
        feedback=(),
        scoring=Scoring(),
        provenance=Provenance(family="steps", version=1, seed="alder-7", index=0),
    ),
)

AMONG_OTHERS = replace(
    ORDER,
    response=PutInOrder(
        lines=tuple(choice(name, name) for name in "abcd"),
        order=("c", "a", "b"),
        not_used=("not used",),
        by_places=(paragraph("Match each line with its place."),),
    ),
    feedback=(slip("d-for-a", ("c", "d", "b"), "Look again."),),
    plain=None,
)
"""Lines of which one does not belong; written as pairs where all lines are ordered or none."""

MATCH = replace(
    SELECT_ALL,
    title="Roots and lifts, variant 0",
    statement=("x^2 + x + 3 = 0 mod 25",),
    stem=stem(
        "Match every solution modulo $5$ with its lift modulo $25$", "x^2 + x + 3 ≡ 0 mod 25"
    ),
    response=MatchPairs(
        sources=(choice("root-1", "$1$"), choice("root-3", "$3$")),
        targets=(
            choice("lift-8", "$8$"),
            choice("lift-11", "$11$"),
            choice("lift-16", "$16$"),
            choice("lift-23", "$23$"),
            choice("lift-none", "no lift"),
        ),
        pairs=("root-1 lift-16", "root-3 lift-8"),
    ),
    feedback=(slip("lift-sign", ("root-1 lift-11", "root-3 lift-23"), "Check: $f(11) = 135$."),),
    solution=(paragraph("$f(16) = 275 = 11 · 25$ and $f(8) = 75 = 3 · 25$."),),
    provenance=Provenance(family="lifts", version=1, seed="alder-7", index=0),
    plain=replace(
        LIST,
        statement=("x^2 + x + 3 = 0 mod 25",),
        stem=stem("List **all** solutions in increasing order of", "x^2 + x + 3 ≡ 0 mod 25"),
        response=ListEntry(values=(8, 16), modulus=25, none_word="none"),
        feedback=(),
        provenance=Provenance(family="lifts", version=1, seed="alder-7", index=0),
    ),
)


def stage(text: str, response: ListEntry | SelectOne) -> Stage:
    return Stage(prompt=prose(text), response=response)


GUIDED = replace(
    MATCH,
    title="Stage by stage, variant 0",
    stem=(
        paragraph("Find **all** solutions of"),
        display("x^2 + x + 3 ≡ 0 mod 25"),
        paragraph("1 point for each right stage, 3 in all."),
    ),
    response=Guided(
        stages=(
            stage(
                "Stage 1. All solutions modulo $5$ ($0$ to $4$):",
                ListEntry(values=(1, 3), modulus=5, none_word="none"),
            ),
            stage(
                "Stage 2. At how many of the solutions modulo $5$ is the derivative of "
                "$x^2 + x + 3$ divisible by $5$?",
                SelectOne(
                    options=(
                        Option(identifier="at-none", label=("at none",), residues=(), correct=True),
                        Option(identifier="at-all", label=("at all",), residues=(), correct=False),
                    )
                ),
            ),
            stage(
                "Stage 3. All solutions modulo $25$ ($0$ to $24$):",
                ListEntry(values=(8, 16), modulus=25, none_word="none"),
            ),
        )
    ),
    scoring=Scoring(rule="by stage", points=3),
    feedback=(
        slip("constant-sign", ("none", "", ""), "The constant term has changed its sign."),
        slip("one-root", ("1", "", ""), "There is another root."),
        slip("lift-sign", ("", "", "11, 23"), "Check: $f(11) = 135$."),
    ),
    provenance=Provenance(family="guided", version=1, seed="alder-7", index=0),
    plain=replace(
        MATCH.plain,
        scoring=Scoring(points=3),
        provenance=Provenance(family="guided", version=1, seed="alder-7", index=0),
    ),
)

ITEMS = {
    "select all": SELECT_ALL,
    "select all, none": SELECT_ALL_NONE,
    "select one": SELECT_ONE,
    "integer": INTEGER,
    "system": SYSTEM,
    "count": COUNT,
    "big integer": BIG_INTEGER,
    "list": LIST,
    "list, none": LIST_EMPTY,
    "list, any order": LIST_ANY_ORDER,
    "list with zero": LIST_ZERO,
    "true or false": TRUE_FALSE,
}
"""The items that every format carries."""

BEYOND = {"plus minus": PLUS_MINUS, "set": SET, "order": ORDER, "match": MATCH, "guided": GUIDED}
"""Those that some formats do not carry as they are."""

NUMBERS = {
    "symbol": SYMBOL,
    "nothing to count": NONE_TO_COUNT,
    "any of several": ANY_OF_SEVERAL,
}
"""Single integers that are not positive; for the readers, beside those above."""


def group(*items: Item, choose: int = 1, title: str = "") -> Group:
    """The items as a group that counts what they score."""
    return Group(
        family=items[0].provenance.family,
        title=title or items[0].title.rpartition(",")[0] or items[0].title,
        items=items,
        choose=choose,
        points=items[0].scoring.points,
    )


def release(*groups: Group) -> Release:
    return Release(
        pool_id="nt210-quiz-3",
        title="Quiz 3: congruences",
        course="NT 210 Elementary Number Theory",
        term="2027-spring",
        language="en",
        groups=groups,
    )


GROUPS = (
    group(SELECT_ALL, SELECT_ALL_NONE),
    group(SELECT_ONE),
    group(INTEGER, title="Linear congruence"),
    group(SYSTEM),
    group(COUNT),
    group(BIG_INTEGER),
    group(LIST, LIST_EMPTY, LIST_ZERO, choose=2),
    group(LIST_ANY_ORDER),
    group(TRUE_FALSE),
)

RELEASE = release(*GROUPS)
