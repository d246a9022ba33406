"""A reader of worked solutions who takes nothing on trust.

It knows no step and no solver. From the tree of a worked solution it learns what f and g
are, and recomputes each relation between numbers, each identity between polynomials, each
condition modulo a prime, each cell of each table. Wrong is an AssertionError.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import gcd, prod

from itembank.kinds.base import Problem
from itembank.notation import plain
from itembank.notation.layout import NOTHING
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Block,
    Blocks,
    Call,
    Display,
    Formula,
    Group,
    Inline,
    Inlines,
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Paragraph,
    Power,
    Product,
    Quotient,
    Relation,
    Subscript,
    Sum,
    Table,
)

Poly = tuple[int, ...]
Numbers = dict[str, int]
Row = tuple[Inlines, ...]


class Unknown(Exception):
    """An expression with letters that have no value here."""


@dataclass
class Reader:
    """A student with pencil and paper: what f, g and the e_i are, and how much was checked."""

    problem: Problem | None
    functions: dict[str, Math] = field(default_factory=dict)
    multipliers: dict[str, int] = field(default_factory=dict)
    checked: Counter[str] = field(default_factory=Counter)
    said: str = ""
    """The last paragraph."""
    branch: bool = False
    """Whether one of two conditions is pursued, after "or"."""
    left: tuple[Poly, int] | None = None
    """What is left to solve modulo a prime when a factor was divided out, and the prime."""
    digits: list[tuple[int, int, int]] = field(default_factory=list)
    """(p, j, t) of the last table of digits: the root that follows is r + sum of t p^j."""

    @property
    def x(self) -> str:
        return self.problem.letter

    # -------------------------------------------------------- expressions

    def value(self, node: Math, letters: Numbers, m: int = 0) -> Fraction:
        """The value; modulo m if m is given, where a power may be long."""
        match node:
            case Number(n):
                return Fraction(n)
            case Letter(name, 0) if name in letters:
                return Fraction(letters[name])
            case Subscript(Letter(name), Number(i)):
                key = f"{name}_{i}"
                if key in letters:
                    return Fraction(letters[key])
                if key in self.multipliers:
                    return Fraction(self.multipliers[key])
            case Group(inside):
                return self.value(inside, letters, m)
            case Minus(term):
                return -self.value(term, letters, m)
            case Sum(terms):
                return sum((s * self.value(t, letters, m) for s, t in terms), Fraction(0))
            case Product(factors):
                return prod((self.value(t, letters, m) for t in factors), start=Fraction(1))
            case Quotient(num, den):
                return self.value(num, letters) / self.value(den, letters)
            case Power(base, exponent):
                b, e = self.value(base, letters, m), self.value(exponent, letters)
                if m and b.denominator == 1:
                    return Fraction(pow(int(b), int(e), m))
                if e <= 5000:
                    return b ** int(e)
            case Call(Letter("gcd"), arguments):
                return Fraction(gcd(*(int(self.value(a, letters)) for a in arguments)))
            case Call(Letter(name, primes), (argument,)) if name in self.functions:
                at = self.value(argument, letters, m)
                if primes == 0:
                    return self.value(self.functions[name], {self.x: int(at)}, m)
                return self.slope(name, int(at))
        raise Unknown(node)

    def slope(self, name: str, at: int) -> Fraction:
        """f'(at), exactly: the coefficients of f by interpolation, differentiated."""
        coefficients = self.coefficients(self.functions[name])
        return Fraction(sum(i * c * at ** (i - 1) for i, c in enumerate(coefficients) if i))

    def coefficients(self, node: Math) -> Poly:
        """Of a polynomial in x, read from its tree by evaluating at a large number."""
        base = 10**400
        rest = int(self.value(node, {self.x: base}))
        found = []
        while rest:
            digit = (rest + base // 2) % base - base // 2
            found.append(digit)
            rest = (rest - digit) // base
        return tuple(found)

    @classmethod
    def number_of(cls, node: Math) -> Fraction:
        """The value of an expression in numbers alone."""
        return cls(problem=None).value(node, {})

    def number(self, node: Math, m: int = 0) -> Fraction | None:
        """The value of an expression without free letters, else None."""
        try:
            return self.value(node, {}, m)
        except Unknown:
            return None

    def polynomial(self, node: Math) -> Poly | None:
        """The coefficients of a polynomial in x alone that holds x, else None."""
        if self.number(node) is not None:
            return None
        try:
            return self.coefficients(node)
        except Unknown:
            return None

    # -------------------------------------------------------- relations

    def learn(self, relation: Relation) -> None:
        """f(x) = x^2 + ... says what f is; e_1 = 91 = 7 · 13 what e_1 is."""
        first, second = relation.sides[:2]
        if relation.signs[0] != "=":
            return
        match first:
            case Call(Letter(name, 0), (Letter(x, 0),)) if x == self.x:
                if name not in self.functions:
                    self.functions[name] = second
            case Subscript(Letter(name), Number(i)):
                value = self.number(second)
                if value is not None:
                    self.multipliers[f"{name}_{i}"] = int(value)

    def read(self, node: Math, moduli: set[int]) -> None:
        """Every relation within a formula."""
        match node:
            case Modulo(inside, modulus):
                n = self.number(modulus)
                if n is not None and isinstance(inside, Relation):
                    self.is_left(inside, int(n))
                self.read(inside, {int(n)} if n is not None else moduli)
                if n is not None and isinstance(inside, Relation):
                    self.solves(inside, int(n))
                    self.means_the_same(inside, int(n))
            case Listing(items):
                for item in items:
                    self.read(item, moduli)
            case Relation(sides, signs):
                self.learn(node)
                for left, sign, right in zip(sides, signs, sides[1:], strict=False):
                    self.compare(left, sign, right, moduli)

    def is_left(self, relation: Relation, n: int) -> None:
        """g(x) = x^2 + 3x + 5 ≡ 0 (mod p): from here on the conditions modulo p are about g."""
        match relation.sides:
            case (Call(Letter(name, 0), (Letter(x, 0),)), q, Number(0)) if x == self.x:
                found = self.polynomial(q)
                if found is not None:
                    self.functions[name] = q
                    self.left = found, n

    def compare(self, left: Math, sign: str, right: Math, moduli: set[int]) -> None:
        """Two neighbours of a chain that are both numbers, or both polynomials in x."""
        if sign in "≡≢" and self.number(left, 1) is not None and self.number(right, 1) is not None:
            holds = [self.congruent(left, right, m) for m in moduli if m > 0]
            assert holds, f"no modulus in force for {plain.math(left)} {sign} {plain.math(right)}"
            right_so = any(holds) if sign == "≡" else not any(holds)
            assert right_so, f"{plain.math(left)} {sign} {plain.math(right)} modulo {moduli}"
            self.checked["congruences between numbers"] += 1
            return
        a, b = self.number(left), self.number(right)
        if a is not None and b is not None:
            assert sign == "=" and a == b, f"{plain.math(left)} {sign} {plain.math(right)}"
            self.checked["equalities between numbers"] += 1
            return
        f, g = self.polynomial(left), self.polynomial(right)
        if isinstance(left, Call) and b is not None and right != Number(0):
            g = (int(b),)  # what f becomes modulo a prime may have lost its unknown
        if f is None or g is None:
            return
        if sign == "=":
            assert f == g, f"{plain.math(left)} = {plain.math(right)}"
        else:
            difference = [a - b for a, b in zip_long(f, g)]
            holds = [all(c % m == 0 for c in difference) for m in moduli if m > 0]
            assert any(holds), f"{plain.math(left)} {sign} {plain.math(right)} modulo {moduli}"
        self.checked["identities between polynomials"] += 1

    def congruent(self, left: Math, right: Math, m: int) -> bool:
        difference = self.value(left, {}, m) - self.value(right, {}, m)
        return difference.denominator == 1 and difference % m == 0

    def solves(self, relation: Relation, n: int) -> None:
        """x ≡ 7, 20 (mod n) says that these solve the congruence modulo gcd(n, m)."""
        if relation.sides[0] != Letter(self.x):
            return
        last = relation.sides[-1]
        claimed = last.items if isinstance(last, Listing) else (last,)
        values = [self.number(c) for c in claimed]
        if None not in values:
            d = gcd(n, self.problem.modulus)
            for v in values:
                self.adds_up(int(v))
                assert at(self.problem.f, int(v)) % d == 0, f"{self.x} = {v} modulo {n}"
                self.checked["residues that solve"] += 1

    def adds_up(self, root: int) -> None:
        """A root found digit by digit is r + t_1 p + t_2 p^2 + ..., with r below p."""
        if self.digits:
            rest = root - sum(p**j * t for p, j, t in self.digits)
            assert 0 <= rest < self.digits[0][0], f"the digits do not make up {root}"
            self.digits.clear()
            self.checked["roots of digits"] += 1

    def means_the_same(self, relation: Relation, n: int) -> None:
        """A condition modulo a prime that divides m has the solutions of the congruence.

        One of two conditions, either of which will do, has some of them.
        """
        first, *others = relation.sides
        f = self.problem.f
        if not is_small_prime(n) or self.problem.modulus % n or all(c % n == 0 for c in f):
            return
        left, right = self.polynomial(first), self.number(others[0])
        if left is None or right is None or isinstance(first, Letter | Call):
            return
        if all(c % n == 0 for c in left[1:]) and (left[0] - right) % n == 0:
            return  # no condition: coefficients were replaced by their residues
        met = {t for t in range(n) if (at(left, t) - right) % n == 0}
        roots = {t for t in range(n) if at(f, t) % n == 0}
        if self.left and self.left[1] == n:
            rest = {t for t in range(n) if at(self.left[0], t) % n == 0}
            assert rest <= roots, f"{self.left} has other roots"
            roots = rest
        holds = met and met <= roots if self.branch else met == roots
        assert holds, f"{plain.math(relation)} ({n})"
        self.checked["conditions modulo a prime"] += 1

    # -------------------------------------------------------- paragraphs

    def read_inlines(self, content: Inlines, also: set[int]) -> None:
        moduli = also | moduli_of(content) | {self.problem.modulus}
        self.branch = False
        for before, part in zip(("", *content), content, strict=False):
            if isinstance(part, Formula):
                self.branch |= before == " or "
                self.read(part.math, moduli)
                if isinstance(before, str) and before.endswith("since "):
                    self.is_one(part.math)
        self.multipliers_told(plain.inlines(content))
        self.residues_told(content)
        self.values_told(content, moduli)

    def is_one(self, shown: Math) -> None:
        """What makes a number an inverse, or a half, is a product congruent to 1."""
        if isinstance(shown, Relation) and self.number(shown.sides[0]) is not None:
            assert shown.sides[-1] == Number(1), plain.math(shown)
            self.checked["inverses"] += 1

    def multipliers_told(self, text: str) -> None:
        """The number 91 = 13 · 7 is 1 modulo 9 and 0 modulo 13."""
        for made, m, others in re.findall(
            r"[Tt]he number (?:\S+ = )?(\d+)(?: = [^.]*?)? is 1 modulo (\d+) and 0 ([^.]*)\.", text
        ):
            assert int(made) % int(m) == 1 % int(m), (made, m)
            if others.replace(" and", "").replace("modulo", "").replace(" ", "").isdecimal():
                assert all(int(made) % int(o) == 0 for o in re.findall(r"\d+", others))
            self.checked["multipliers"] += 1

    def residues_told(self, content: Inlines) -> None:
        """x ≡ 9 (mod 14) stands for 6 residues modulo 84: 9, 23, ..."""
        if "stands for" in plain.inlines(content):
            for shown in formulas(content):
                if isinstance(shown, Listing):
                    assert all(self.is_root(int(self.number(x)), 0) for x in shown.items)
                    self.checked["residues of a class"] += 1

    def values_told(self, content: Inlines, moduli: set[int]) -> None:
        """Trying 0, 1, 2 gives 2, 3 ≡ 0 and 6 ≡ 0: the values of f or of g."""
        if not any(isinstance(part, str) and part.endswith("Trying ") for part in content):
            return
        start = next(i for i, p in enumerate(content) if str(p).endswith("Trying "))
        tried, *values = [n for part in content[start:] for n in numbers_in(part)]
        assert isinstance(tried, Listing)
        values = values[: len(tried.items)]
        for t, shown in zip(tried.items, values, strict=True):
            least = self.number(shown.sides[-1] if isinstance(shown, Relation) else shown)
            found = [self.value(f, {self.x: int(self.number(t))}) for f in self.functions.values()]
            assert any(
                congruent_to(v, least, moduli - {self.problem.modulus} or moduli) for v in found
            )
            self.checked["values of f in sentences"] += 1

    # -------------------------------------------------------- tables

    def read_table(self, t: Table, moduli: set[int]) -> None:
        if not t.row_heads:
            self.digits = digits_of(t)
            for row in t.rows:
                self.read_row(t.head, row, moduli | {m for cell in t.head for m in moduli_of(cell)})
        elif formulas(t.head[0]):
            self.read_values(t, moduli)
        else:
            for row in t.rows:
                for cell in row[1:]:
                    self.read_inlines(cell, moduli)
                    self.combination(*formulas(cell))

    def read_values(self, t: Table, moduli: set[int]) -> None:
        """The row of f(x) under the row of x: residues modulo the prime of the paragraph."""
        (row,) = t.rows
        (function,) = formulas(row[0])
        for head, cell in zip(t.head[1:], row[1:], strict=True):
            (x,), (y,) = map(formulas, (head, cell))
            assert isinstance(x, Number) and isinstance(y, Number)
            found = self.value(function, {self.x: x.value})
            assert any((found - y.value) % m == 0 and y.value < m for m in moduli)
            self.checked["values of f in tables"] += 1

    def combination(self, shown: Math) -> None:
        """The last number of a cell solves the congruence, modulo its own modulus if it has one."""
        d = Fraction(self.problem.modulus)
        if isinstance(shown, Modulo):
            shown, modulus = shown.inside, self.number(shown.modulus)
            assert modulus is not None
            d = modulus
        last = self.number(shown.sides[-1] if isinstance(shown, Relation) else shown)
        assert last is not None and self.is_root(int(last), int(d)), plain.math(shown)
        self.checked["combinations"] += 1

    def is_root(self, x: int, n: int) -> bool:
        """Whether x solves the congruence modulo gcd(n, m)."""
        return at(self.problem.f, x) % gcd(n, self.problem.modulus) == 0

    def read_row(self, head: Row, row: Row, moduli: set[int]) -> None:
        """The cells against the headings, with the letters that the row gives values to."""
        letters = letters_of(head, row)
        for heading, cell in zip(head, row, strict=True):
            words = plain.inlines(heading)
            if words.startswith("condition on"):
                self.condition(heading, formulas(cell)[0], plain.inlines(row[-2]), letters)
            elif words.startswith("roots modulo"):
                self.lifted(cell, max(moduli_of(heading)))
            elif words.startswith(f"{self.x} modulo") or is_class(cell):
                self.combination(*formulas(cell))
            elif words.startswith("root modulo"):
                (above,) = formulas(heading)
                self.lifted(cell, int(self.value(above, letters)))
            elif words == "division":
                self.read_inlines(cell, moduli)
                self.euclid(row)
            elif isinstance(heading[0], Formula):
                self.cell(heading[0].math, cell, letters, moduli)

    def cell(self, heading: Math, cell: Inlines, letters: Numbers, moduli: set[int]) -> None:
        """Under f(r)/3 stands 5 ≡ 2: the value, then what is congruent to it, or that alone."""
        if isinstance(heading, Letter | Subscript):
            return
        try:
            expected = self.value(heading, letters)
        except Unknown:
            return
        (shown,) = formulas(cell)
        self.read(shown, moduli)
        sides = shown.sides if isinstance(shown, Relation) else (shown,)
        numbers = [self.number(side) for side in sides if side != NOTHING]
        assert None not in numbers
        assert numbers[0] == expected or len(numbers) == 1, plain.inlines(cell)
        assert all(n == expected or congruent_to(expected, n, moduli) for n in numbers), (
            f"{plain.math(heading)} is {expected}, not {plain.inlines(cell)}"
        )
        self.checked["cells"] += 1

    def euclid(self, row: Row) -> None:
        """The remainder of a row of Euclid's algorithm is congruent to a times its last number."""
        ((a, m),) = re.findall(r"congruent to (\d+)[a-z] \(mod (\d+)\)", self.said)
        remainder, u = (self.number(formulas(cell)[0]) for cell in row[1:])
        assert (remainder - int(a) * u) % int(m) == 0, plain.inlines(row[0])
        self.checked["rows of Euclid"] += 1

    def lifted(self, cell: Inlines, above: int) -> None:
        """The roots in a cell, 1 + 3 · 2 = 7 or 1, 4, 7, are roots modulo `above`."""
        for shown in formulas(cell):
            self.read(shown, set())
            last = shown.sides[-1] if isinstance(shown, Relation) else shown
            for root in last.items if isinstance(last, Listing) else (last,):
                value = self.number(root)
                assert value is not None and self.is_root(int(value), above), plain.inlines(cell)
                self.checked["lifted roots"] += 1

    def condition(self, heading: Inlines, shown: Math, told: str, letters: Numbers) -> None:
        """The t of the row are exactly those that meet the condition modulo p."""
        (p,) = moduli_of(heading)
        (t,) = formulas(heading)
        assert isinstance(shown, Relation) and isinstance(t, Letter)
        left, right = shown.sides
        tried = range(p) if p < 200 else [letters.get(t.name, 0), *range(100)]
        met = {n for n in tried if (self.value(left, {t.name: n}) - self.value(right, {})) % p == 0}
        if told == "none":
            assert not met, plain.math(shown)
        elif told.startswith("every"):
            assert met == set(tried), plain.math(shown)
        else:
            assert met == {letters[t.name]}, plain.math(shown)
        self.checked["conditions on t"] += 1


def congruent_to(a: Fraction, b: Fraction, moduli: set[int]) -> bool:
    """Modulo one of the moduli in force."""
    return any((a - b) % m == 0 for m in moduli)


def letters_of(head: Row, row: Row) -> Numbers:
    """The values that a row gives to the letters of its headings: r = 1, a_2 = 7."""
    letters: Numbers = {}
    for heading, cell in zip(head, row, strict=True):
        match formulas(heading)[:1], formulas(cell):
            case [Letter(name, 0)], [Number(n)]:
                letters[name] = n
            case [Subscript(Letter(name), Number(i))], [Number(n)]:
                letters[f"{name}_{i}"] = n
    return letters


def digits_of(t: Table) -> list[tuple[int, int, int]]:
    """(p, j, t) of a table that gives the digits of a root and not the roots between."""
    head = [plain.inlines(cell) for cell in t.head]
    if len(head) != 3 or "^" not in head[1]:
        return []
    (p,) = moduli_of(t.head[1])
    rows = [[formulas(cell)[0] for cell in row] for row in t.rows]
    return [(p, j.value, digit.value) for j, _quotient, digit in rows]


def is_class(cell: Inlines) -> bool:
    """Whether a cell holds a residue with its modulus: 17 (mod 45)."""
    return any(isinstance(f, Modulo) and isinstance(f.inside, Number) for f in formulas(cell))


def at(f: Poly, x: int) -> int:
    return sum(c * x**i for i, c in enumerate(f))


def zip_long(f: Poly, g: Poly) -> Iterator[tuple[int, int]]:
    n = max(len(f), len(g))
    return zip((*f, *[0] * (n - len(f))), (*g, *[0] * (n - len(g))), strict=True)


def is_small_prime(n: int) -> bool:
    return 1 < n < 300 and all(n % d for d in range(2, n))


def numbers_in(part: Inline) -> list[Math]:
    """A formula, or the numbers among words."""
    if isinstance(part, Formula):
        return [part.math]
    return [Number(int(digits)) for digits in re.findall(r"\d+", str(part))]


def formulas(content: Inlines) -> list[Math]:
    return [part.math for part in content if isinstance(part, Formula)]


SUPERSCRIPT = "⁰¹²³⁴⁵⁶⁷⁸⁹"


def moduli_of(content: Inlines) -> set[int]:
    """The moduli that a line mentions: in (mod m), or after the word modulo."""
    text = plain.inlines(content)
    found = set()
    for product in re.findall(
        rf"mod(?:ulo)? (\d+[{SUPERSCRIPT}]*(?: · \d+[{SUPERSCRIPT}]*)*)", text
    ):
        found.add(int(Reader.number_of(formula(product))))
    return found


def read_board(problem: Problem, blocks: Blocks) -> Counter[str]:
    """Check every block; the moduli of a paragraph hold for what stands under it."""
    reader = Reader(problem)
    moduli: set[int] = set()
    for block in blocks:
        read_block(reader, block, moduli)
        if isinstance(block, Paragraph):
            reader.said = plain.inlines(block.content)
            moduli = moduli_of((f"{block.lead.lower()} ", *block.content))
    return reader.checked


def read_block(reader: Reader, block: Block, moduli: set[int]) -> None:
    match block:
        case Paragraph(content, lead):
            reader.read_inlines(content, moduli_of((lead.lower(),)))
        case Display(rows):
            for row in rows:
                reader.read(row, moduli | {reader.problem.modulus})
                if isinstance(row, Relation) and row.sides[0] == Letter(reader.x):
                    reader.solves(row, max(moduli, default=reader.problem.modulus))
        case Table():
            reader.read_table(block, moduli)
