"""A set of residues of a modulus just below 2^30, made and audited: in little memory."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import main

FAMILY = """\
id: square-roots-large-prime
version: 1
title: Square roots modulo a large prime
about: The modulus is the largest prime below 2^30, 2^30 - 35 (OEIS A013603).
problem: polynomial
outcomes: [solve-quadratic-congruences]
level: medium
small: only the number of variants that the test needs
parameters:
  r: {integer: [1001, 1900]}
given: {congruence: x^2 = r^2, modulus: 2^30 - 35}
ask: all solutions
forms: [set, list]
substitutes: {set: list}
"""

POOL = """\
id: large-moduli
title: Large moduli
course: NT 210 Elementary Number Theory, Alder Ford College
language: en
seed: alder-ford-large-moduli
items:
  - {family: square-roots-large-prime, variants: 3, points: 1, form: set}
"""

RUN = """\
import json, re, resource, sys
from pathlib import Path

resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
from itembank.pipeline import making
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named

folder = Path(sys.argv[1])
pool = pool_named(str(folder / "large-moduli.yaml"), [folder / "square-roots-large-prime.yaml"])
making.make(pool, "2027-spring", folder, ("qti21", "qti30", "cc13"))
reports = [audit_package(path) for path in sorted(folder.glob("*.zip"))]
most = int(re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1])
print(json.dumps({"clean": [r.clean for r in reports], "kilobytes": most}))
"""
"""The most memory is that of this program alone: ru_maxrss counts what its parent held too."""


@pytest.mark.skipif(sys.platform != "linux", reason="limits of memory are those of Linux")
def test_a_set_modulo_a_number_near_2_to_the_30_takes_less_than_200_megabytes(tmp_path):
    (tmp_path / "square-roots-large-prime.yaml").write_text(FAMILY)
    (tmp_path / "large-moduli.yaml").write_text(POOL)
    root = str(Path(__file__).parents[1])

    run = subprocess.run(
        [sys.executable, "-c", RUN, str(tmp_path)],
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "PYTHONPATH": root},
    )

    assert run.returncode == 0, run.stderr[-2000:]
    found = json.loads(run.stdout)
    assert found["clean"] == [True, True, True]
    assert found["kilobytes"] < 200 * 1024


# ------------------------------------------------------------ what is typed

P, Q = 2**107 - 1, 2**127 - 1
"""Mersenne primes (OEIS A000043); their product has 71 digits and no small factor."""


def solved(statement: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["solve", statement])
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("statement", ["x^2 = 4 mod {m}", "phi({m})", "order of 2 mod {m}"])
def test_a_modulus_that_cannot_be_factored_is_refused_with_the_form_that_works(statement):
    code, _out, message = solved(statement.format(m=P * Q))

    assert code == 2
    assert message == (
        f"Error: {statement.format(m=P * Q)}: the composite number has no prime factor"
        " small enough to find; where its factors are known, write them as a product (mod p*q)\n"
    )
    code, out, _message = solved(statement.format(m=f"{P}*{Q}"))
    assert code == 0
    assert out


def test_a_number_of_too_many_digits_is_refused_with_the_form_that_works():
    p, q = 2**521 - 1, 2**1279 - 1

    code, _out, message = solved(f"x^2 = 4 mod {p * q}")
    assert code == 2
    assert "expected an integer of at most 400 digits (write a larger one as a product)" in message
    assert solved(f"x^2 = 4 mod {p}*{q}")[0] == 0


@pytest.mark.parametrize(
    "statement",
    [
        "x^200 + x + 1 = 0 mod 2^1279 - 1",
        "x^1500 + x + 1 = 0 mod 99991*99989*99971",
        "number of solutions of x^200 + x + 1 = 0 mod 2^1279 - 1",
    ],
)
def test_roots_that_take_too_much_work_are_refused_with_the_limit(statement):
    code, _out, message = solved(statement)

    assert code == 2
    assert "multiplications, more than 20000000; take a smaller degree" in message
    assert message.count("\n") == 1


def test_an_order_modulo_hundreds_of_primes_is_refused_with_the_limit():
    primes = [p for p in range(65_537, 68_000) if all(p % d for d in range(2, 261))][:200]

    code, _out, message = solved(f"order of 2 mod {'*'.join(map(str, primes))}")

    assert code == 2
    assert message.endswith("more than 20000000; take a smaller modulus\n")
    assert solved("order of 2 mod 10^15 + 37")[0] == 0
