"""A pool in several languages: the same questions in each, and packages that say for whom."""

import dataclasses

import pytest
from click.testing import CliRunner
from lxml import html

from itembank import cli
from itembank.cli.arguments import pool_named, workers
from itembank.languages.catalogue import languages
from itembank.pipeline import making
from itembank.spec import library
from itembank.values.errors import ExportError

POOLS = sorted(p.stem for p in (library() / "pools").glob("*.yaml"))

TERM = "2027-spring"

ENTRIES = """
  - {family: linear-one-solution, variants: 2}
  - {family: zero-product-composite, variants: 2, form: select one}
"""


@pytest.fixture
def pool_file(tmp_path):
    """A pool file with these languages."""

    def made(said):
        path = tmp_path / "practice.yaml"
        path.write_text(
            f"id: practice\ntitle: Practice\ncourse: NT 210\n{said}\nseed: tests\nitems:{ENTRIES}",
            encoding="utf-8",
        )
        return path

    return made


def items_of(release):
    return [item for group in release.groups for item in group.items]


def groups_of(release):
    """The groups with their items, however these are held."""
    return [dataclasses.replace(group, items=(*group.items,)) for group in release.groups]


@pytest.mark.parametrize("name", POOLS)
def test_each_language_has_the_same_questions_under_the_same_identifiers(name):
    pool = pool_named(name, ())
    entries = tuple(
        e.model_copy(update={"variants": min(e.variants, 2), "choose": 1}) for e in pool.entries
    )
    small = pool.model_copy(update={"entries": entries})
    english, german = making.editions(small.editions(["en", "de"]), TERM)

    assert (english.name, german.name) == (f"{name}-{TERM}", f"{name}-{TERM}-de")
    for ours, theirs in zip(items_of(english), items_of(german), strict=True):
        assert theirs.identifier == f"{ours.identifier}-de"
        assert theirs.question == ours.question
        assert (ours.language, theirs.language) == ("en", "de")
        assert ours.stem != theirs.stem
        if ours.plain:
            assert theirs.plain.identifier == f"{ours.plain.identifier}-de"


@pytest.mark.parametrize("jobs", [1, 2])
def test_editions_do_not_depend_on_who_composes_them(jobs, pool_file):
    pool = pool_named(str(pool_file("languages: [en, de]")), ())
    with workers(jobs) as executor:
        releases = making.editions(pool.editions(), TERM, executor=executor)

    assert [i.identifier for i in items_of(releases[1])] == [
        f"{i.identifier}-de" for i in items_of(releases[0])
    ]
    assert [groups_of(r) for r in releases] == [
        groups_of(r) for r in making.editions(pool.editions(), TERM)
    ]


def make(pool, out, *options):
    return CliRunner().invoke(
        cli.main,
        ["make", str(pool), "--term", TERM, "--out", str(out), "--to", "html", *options],
    )


def written_in(folder):
    return sorted(path.name for path in folder.iterdir())


IN_ENGLISH = [f"practice-{TERM}-html.zip", f"practice-{TERM}-load-card.html"]
IN_BRITISH = [f"practice-{TERM}-en-GB-html.zip", f"practice-{TERM}-en-GB-load-card.html"]


def test_a_pool_in_two_languages_has_packages_and_a_load_card_in_each(pool_file, tmp_path):
    made = make(pool_file("languages: [en, en-GB]"), tmp_path / "out")

    assert made.exit_code == 0, made.output
    assert written_in(tmp_path / "out") == sorted(IN_ENGLISH + IN_BRITISH)
    for name, language in (
        (f"practice-{TERM}", "English (en)"),
        (f"practice-{TERM}-en-GB", "English (United Kingdom) (en-GB)"),
    ):
        card = html.parse(tmp_path / "out" / f"{name}-load-card.html")
        (told,) = card.xpath("//p[@class='language']")
        assert told.text.startswith(f"Language of these packages: {language}. ")
        assert "English (en), English (United Kingdom) (en-GB)." in told.text
        assert f"{name}-html.zip" in card.xpath("string(//table)")


def test_one_run_may_be_in_another_language(pool_file, tmp_path):
    pool = pool_file("language: en")
    assert make(pool, tmp_path / "one").exit_code == 0
    assert make(pool, tmp_path / "other", "--language", "en-GB").exit_code == 0

    assert written_in(tmp_path / "one") == IN_ENGLISH
    assert written_in(tmp_path / "other") == IN_BRITISH
    assert not html.parse(tmp_path / "one" / IN_ENGLISH[1]).xpath("//p[@class='language']")


@pytest.mark.parametrize("tag", ["tlh", "en-../x", "EN"])
def test_an_unknown_language_is_refused_before_any_work(tag, pool_file, tmp_path):
    made = make(pool_file("language: en"), tmp_path / "out", "--language", tag)

    assert made.exit_code == 2
    assert f"with a catalogue: {', '.join(languages())}; got '{tag}'" in made.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--require-accepted"], "--require-accepted: reviewers sign for the questions in en"),
        (["--since", "practice-1"], "--since: releases on record are those in en"),
    ],
)
def test_what_is_told_of_one_language_is_refused_for_several(options, told, pool_file, tmp_path):
    made = make(pool_file("languages: [en, en-GB]"), tmp_path / "out", *options)

    assert made.exit_code == 2
    assert told in made.output and len(made.output.strip().splitlines()) == 1


def test_no_language_takes_its_place_unless_all_can(pool_file, tmp_path):
    pool = pool_named(str(pool_file("languages: [en, en-GB]")), ())
    english, british = making.editions(pool.editions(), TERM)
    group = british.groups[0]
    wrong = dataclasses.replace(group, items=(*group.items, group.items[0]))
    british = dataclasses.replace(british, groups=(wrong, *british.groups[1:]))
    (tmp_path / "out").mkdir()

    with pytest.raises(ExportError, match="expected each item once, got it twice"):
        making.written_together((english, british), tmp_path / "out", ("html",))
    assert written_in(tmp_path / "out") == []
