"""A form listed beside another does not shrink the family: a variant is admitted for the form that
is used, after those that go in all forms."""

from click.testing import CliRunner

from itembank import cli
from itembank.pipeline.coverage import composed
from itembank.pipeline.selection import fits, goes_in
from itembank.pipeline.variants import Stream
from itembank.values.item import Item
from tests.wishes import family_of, written

BOXES = """\
id: some-boxes
version: 1
title: Linear congruences
problem: linear
outcomes: [solve]
level: easy
parameters:
  m: {one of: [7, 11, 20, 30]}
  a: {one of: [2, 3, 10]}
  b: {integer: [1, m - 1]}
given: {congruence: a*x = b, modulus: m}
ask: all solutions
forms: [list, select all]
small: small numbers
guessing: small numbers
"""


def names(family, form=""):
    return [variant.name for variant in Stream(family, "apart", fits(family, form))]


def test_a_form_has_what_it_has_alone_and_first_what_goes_in_all(tmp_path):
    family = family_of(tmp_path, BOXES)
    alone = family_of(tmp_path, BOXES.replace("[list, select all]", "[list]"))
    strict, listed, ticked = names(family), names(family, "list"), names(family, "select all")

    assert len(strict) < len(listed)
    assert listed[: len(strict)] == ticked == strict
    assert len(set(listed)) == len(listed)
    assert set(listed) == set(names(alone))


def test_each_variant_leaves_in_the_forms_that_it_goes_in(tmp_path):
    family = family_of(tmp_path, BOXES)

    for variant in Stream(family, "apart", fits(family, "list")):
        assert isinstance(composed(variant, "list"), Item)
        assert isinstance(composed(variant, "select all"), Item) == goes_in(variant, "select all")


def test_a_check_counts_the_first_form_and_names_one_that_no_variant_goes_in(tmp_path):
    fine = written(tmp_path, BOXES)
    few = written(
        tmp_path,
        BOXES.replace("some-boxes", "no-boxes") + "slips: [wrong-spacing]\n",
    )

    told = CliRunner().invoke(cli.main, ["check", str(fine)])
    refused = CliRunner().invoke(cli.main, ["check", str(few)])

    assert told.stdout.startswith("some-boxes: 110 variants, ")
    assert told.exit_code == 0
    assert refused.exit_code == 1
    assert refused.stdout.startswith(
        f"{few}:13:15: forms[2]: no variant can be put in 'select all': "
    )
    assert " x select all: the slips give 0 wrong residues, expected 3" in refused.stdout
