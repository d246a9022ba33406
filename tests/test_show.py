"""Variants shown to their author: in the terminal, as a page, and while the file is edited."""

import http.client
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank import cli
from itembank.cli.watching import server
from itembank.pipeline import showing

FAMILY = """\
id: fam
version: 1
title: Remainders
problem: polynomial
outcomes: [solve]
level: easy
parameters:
  p: {prime: [13, 97]}
  a: {integer: [1, 12]}
where: [solutions == 2]
given: {congruence: x^2 + a*x = 3, modulus: p}
ask: all solutions
forms: [list, select one]
"""


@pytest.fixture
def family(tmp_path: Path) -> Path:
    path = tmp_path / "fam.yaml"
    path.write_text(FAMILY, encoding="utf-8")
    return path


def show(*args: object):
    return CliRunner().invoke(cli.main, ["show", *map(str, args)])


def test_a_variant_is_shown_with_options_slips_key_feedback_and_working(family: Path):
    result = show(family, "--form", "select one")

    assert result.exit_code == 0, result.output
    text = result.stdout
    assert text.startswith("fam: Remainders\n\nvariant 0, select one: p = ")
    for part in ("question", "answer", "worked solution", "effort"):
        assert f"\n[{part}]\n" in text
    assert text.count("\nright option ") == 1
    assert text.count("\nwrong option ") == 3
    assert text.count("\n[to option-") == 3


def test_the_third_variant_is_the_third_of_three(family: Path):
    alone = show(family, "--variant", "2").stdout
    third = show(family, "-n", "3").stdout

    assert "variant 2, list: " in alone
    assert alone.partition("variant 2")[2] in third


def test_of_several_it_is_told_what_guessers_score(family: Path):
    assert (
        "\n[guessing]\nof 12: select one: chance 25 %"
        in show(family, "-n", "2", "--form", "select one").stdout
    )


def test_a_shipped_family_is_named_by_its_id():
    assert show("linear-one-solution").stdout.startswith("linear-one-solution: ")
    missed = show("linear-one-soluton")
    assert missed.exit_code == 2
    assert missed.stderr == (
        "Error: no file 'linear-one-soluton', and no shipped family of that id; did you mean "
        "'linear-one-solution'?\n"
    )


def test_a_form_that_the_family_has_not_is_told(family: Path):
    result = show(family, "--form", "set")

    assert result.exit_code == 1
    assert result.stdout.splitlines()[1] == (
        f"{family}: the form 'set' is none of this family; expected one of: list, select one"
    )


def test_a_fault_is_shown_with_its_line(family: Path):
    family.write_text(FAMILY.replace("a*x = 3", "a*x = 3*c"), encoding="utf-8")

    result = show(family)

    assert result.exit_code == 1
    assert f"{family}:11:35: given.congruence: unknown name 'c'" in result.stdout
    assert result.stdout.endswith("\n    given: {congruence: x^2 + a*x = 3*c, modulus: p}\n")


def test_the_page_is_a_page_that_holds_the_same(family: Path):
    text = show(family, "--as", "html").stdout

    assert text.startswith("<!DOCTYPE html>\n")
    assert "<h1>fam: Remainders</h1>" in text
    assert "<script" not in text


def test_the_page_speaks_the_language_of_the_command_and_the_question_its_own(family: Path):
    text = (
        CliRunner().invoke(cli.main, ["--speak", "de", "show", str(family), "--as", "html"]).stdout
    )

    assert '<html lang="de">' in text
    assert "Variante 0, list" in text and '<h3>Frage</h3><div lang="en"><p>Find' in text
    assert '<section aria-labelledby="variant-0"><h2 id="variant-0">' in text


# ------------------------------------------------------------ served


def page_of(family: Path, wish: showing.Wish) -> str:
    return showing.as_page(showing.shown(family, wish), renews=True)


@pytest.fixture
def served(family: Path) -> Iterator[int]:
    wish = showing.Wish()
    with server(family, lambda: page_of(family, wish), showing.RENEW) as it:
        thread = threading.Thread(target=it.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        assert it.server_address[0] == "127.0.0.1"
        yield it.server_address[1]
        it.shutdown()
        thread.join()


def asked(port: int, method: str = "GET", path: str = "/", host: str = "127.0.0.1"):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request(method, path, headers={"Host": host})
    return connection.getresponse()


def test_the_page_is_served_to_this_machine_alone_and_only_read(served: int):
    assert asked(served).status == 200
    assert asked(served, host=f"localhost:{served}").status == 200
    assert asked(served, host="elsewhere.example").status == 403
    assert asked(served, path="/fam.yaml").status == 404
    assert {asked(served, method).status for method in ("POST", "PUT", "DELETE")} == {501}
    assert "default-src 'none'" in asked(served).headers["Content-Security-Policy"]


def test_a_change_is_told_and_then_shown(served: int, family: Path):
    changes = asked(served, path="/changes")
    time.sleep(0.3)
    family.write_text(FAMILY.replace("Remainders", "Leftovers"), encoding="utf-8")

    assert changes.fp.readline() == b"data: changed\n"
    assert "<h1>fam: Leftovers</h1>" in asked(served).read().decode()


def test_a_fault_is_shown_on_the_page_and_gone_once_mended(served: int, family: Path):
    family.write_text(FAMILY.replace("level: easy", "level: hard"), encoding="utf-8")
    faulty = asked(served).read().decode()
    family.write_text(FAMILY, encoding="utf-8")

    assert '<p class="fault">' in faulty and "<pre>level: hard</pre>" in faulty
    assert 'class="fault"' not in asked(served).read().decode()
