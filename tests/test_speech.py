"""The language of commands: which one is chosen, and that no English word is left in another.

The language is one that is none (`catalogues.put_pseudo_language`): every word of a template is
in another script, so that a word in Latin letters never went through the catalogue.
"""

import json
import re

import pytest
from click.testing import CliRunner, Result

from itembank.cli import COMMANDS, main
from itembank.cli.options import to_option
from itembank.languages import __main__ as keeping
from itembank.languages.spoken import of_environment, spoken
from itembank.spec import library
from itembank.values.errors import BankError, Fault, SpecError
from itembank.values.vocabulary import USUAL_FORMATS
from itembank.values.worded import figure, joined, laid_out, tallied, worded, wording
from tests.catalogues import PSEUDO, catalogues_in, forget, put_pseudo_language

TERM = "2027-spring"
POOL = """\
id: quiz
title: "1"
course: "1"
seed: s
items:
  - {family: quadratic-residues-listed, variants: 2}
  - {family: numbers-with-a-value-of-phi, variants: 2}
"""


@pytest.fixture(scope="module", autouse=True)
def pseudo(tmp_path_factory):
    with catalogues_in(tmp_path_factory.mktemp("locale")):
        put_pseudo_language()
        yield


def run(*arguments: object, **variables: str | None) -> Result:
    return CliRunner(env=variables).invoke(main, list(map(str, arguments)))


# ------------------------------------------------------------ which language


@pytest.mark.parametrize(
    ("variables", "expected"),
    [
        ({}, "en"),
        ({"LANG": "ru_RU.UTF-8"}, PSEUDO),
        ({"LANG": "en_GB.UTF-8", "LC_MESSAGES": "ru_RU"}, PSEUDO),
        ({"LC_MESSAGES": "ru_RU", "LC_ALL": "en_US.UTF-8"}, "en"),
        ({"LANG": "fr_FR.UTF-8"}, "en"),
        ({"LANG": "fr_FR.UTF-8", "LANGUAGE": "pt:ru:en"}, PSEUDO),
        ({"LANG": "C.UTF-8", "LANGUAGE": "ru"}, "en"),
        ({"LC_ALL": "", "LANG": "ru@latin"}, PSEUDO),
    ],
)
def test_the_variables_choose_as_the_manual_of_gettext_says(variables, expected):
    """GNU gettext manual, 2.3.3: LANGUAGE unless the locale is C; LC_ALL, LC_MESSAGES, LANG."""
    assert of_environment(variables) == expected


def test_the_option_goes_before_the_variable_of_ours_and_that_before_those_of_all_programs():
    wrong = ("releases", "--nonsense")
    english = run(*wrong, ITEMBANK_LANGUAGE=None, LC_ALL="C").stderr
    told = run(*wrong, ITEMBANK_LANGUAGE=None, LC_ALL="ru_RU.UTF-8").stderr

    assert english == "Error: No such option '--nonsense'.\n"
    assert told == "Еррор: Но суцх оптион '--nonsense'.\n"
    assert run(*wrong, ITEMBANK_LANGUAGE=PSEUDO, LC_ALL="C").stderr == told
    assert run("--speak", "en", *wrong, ITEMBANK_LANGUAGE=PSEUDO).stderr == english


def test_a_language_without_a_catalogue_is_a_fault_of_whoever_asks_for_it():
    result = run("--speak", "fr", "releases")

    assert result.exit_code == 2
    assert result.stderr.splitlines()[-1] == (
        "Error: Invalid value for '--speak': expected a language with a catalogue: en, ru; got 'fr'"
    )


# ------------------------------------------------------------ texts


def test_a_text_is_english_and_is_said_in_another_language_with_all_that_fills_it():
    inner = worded("no value")
    text = worded("{name} has no value", name=laid_out("{a}: {b}", a="k.yaml", b=inner))

    assert text == "k.yaml: no value has no value"
    assert spoken(worded("not accepted"), PSEUDO) == "нот аццептед"
    assert spoken(worded("chance {share}", share=worded("below 1 %")), PSEUDO) == "цханце белош 1 %"
    assert spoken(tallied("{n} student", "{n} students", 2), PSEUDO) == "2 студентс"
    assert (
        spoken(worded("chance {share}", share=figure("1,234.50")), PSEUDO) == "цханце 1\xa0234,50"
    )
    assert spoken("not accepted", PSEUDO) == "not accepted"


def test_errors_keep_what_they_say_through_other_errors():
    first = BankError(worded("not accepted"))
    faults = [Fault("k.yaml", line, 1, worded("not accepted")) for line in (1, 2)]
    outer = BankError(joined("; ", [worded("no value: {why}", why=first), wording(first)]))

    assert str(outer) == "no value: not accepted; not accepted"
    assert spoken(wording(outer), PSEUDO) == "но валуе: нот аццептед; нот аццептед"
    assert spoken(wording(SpecError(faults)), PSEUDO) == (
        "k.yaml:1:1: нот аццептед\nk.yaml:2:1: нот аццептед"
    )


def test_the_usual_formats_are_those_that_help_names():
    @to_option
    def command() -> None: ...

    (option,) = command.__click_params__
    assert option.help.endswith(f"Default: {', '.join(USUAL_FORMATS)}.")


# ------------------------------------------------------------ no English is left

LATIN = re.compile(r"[A-Za-z]{2,}")

KEPT = (
    r"\S*/\S*",  # paths
    r"quiz[\w.-]*|item-[0-9a-f]{16}",  # pools, packages, items
    r"quadratic-residues-listed|numbers-with-a-value-of-phi",
    r"(\d{4}-)?(spring|fall)",
    r"integer|list",  # words of specs
    r"--[a-z-]+|'not'",  # options; a word of a question
    r"cc13|qti21",
    r"[\w' ]+ \([A-Z]{4}\)",  # formats; titles, which are questions
)


def left(text: str) -> list[str]:
    """The words in Latin letters that are no name."""
    return LATIN.findall(re.sub("|".join(KEPT), " ", text))


def test_the_main_job_says_no_english_word(tmp_path):
    """From the draw to the results, and the same once more without a bank."""
    pool, bank, out = tmp_path / "quiz.yaml", tmp_path / "itembank.db", tmp_path / "out"
    pool.write_text(POOL, encoding="utf-8")
    term = ("--term", TERM)
    said = ""
    for arguments in (
        ("draw", pool, *term),
        ("draw", pool, *term, "--forms", 2),
        ("export", pool, *term, "--out", out, "--to", "cc13"),
        ("audit", out / f"quiz-{TERM}-cc13.zip", "--writing"),
        ("status", pool),
        ("packet", pool, *term, "--out", tmp_path / "review.html"),
        ("releases", "--bank", bank),
        ("history", "quiz", "--bank", bank),
        ("reports", "--bank", bank),
        ("check", pool),
        ("draw", pool, *term, "--undo"),
        ("export", pool, "--term", "2027-fall", "--out", out),
        ("results", f"quiz-{TERM}", pool, "--bank", bank),
        ("make", pool, "--term", "2028 spring", "--out", out),
    ):
        result = run("--speak", PSEUDO, *arguments)
        assert not isinstance(result.exception, Exception), (arguments, result.exc_info)
        said += result.output

    assert len(said.splitlines()) > 20
    assert left(said.replace(str(tmp_path), "/")) == []
    assert json.loads(run("--speak", PSEUDO, "releases", "--bank", bank, "--json").output)[0][
        "pool"
    ]


def test_the_faults_of_a_file_are_said_in_the_language(tmp_path):
    """Their place and the words of the file stay."""
    family = tmp_path / "quiz.yaml"
    shipped = library() / "families" / "linear" / "linear-one-solution.yaml"
    text = shipped.read_text(encoding="utf-8")
    family.write_text(text.replace("version: ", "version: x"), encoding="utf-8")

    english, told = (run(*speak, "check", family).output for speak in ((), ("--speak", PSEUDO)))

    places = re.compile(r":\d+:\d+: ")
    assert places.findall(english) == places.findall(told) != []
    assert "expected" in english
    assert "ещпецтед" in told
    assert "expected" not in told


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_help_says_no_english_sentence(name):
    """What stays: names of options, arguments and commands, what is typed, and examples."""
    lines = run("--speak", PSEUDO, name, "--help").output.splitlines()
    told = [line for line in lines if not line.startswith("    itembank ") and "Усаге:" not in line]
    names = r"\[[a-z0-9|]+\]|\[дефаулт: [^];]*|--?\w[\w-]*|[A-Z]{2,}|`[^`]*`"
    text = re.sub(names, " ", " ".join(told))

    assert [word for word in LATIN.findall(text) if word.islower()] == []


# ------------------------------------------------------------ a third language


def test_a_language_that_was_begun_and_left_at_one_sentence_is_told_for_what_it_is(
    tmp_path, monkeypatch, capsys
):
    """Commands say that sentence in it and the others in English; no package leaves."""
    agreed, unsaid = "{file}: {n} items, all agreed", "{file}: for the coordinator"
    pool = tmp_path / "quiz.yaml"
    pool.write_text(POOL, encoding="utf-8")
    make = ("make", pool, "--term", TERM, "--to", "cc13", "--out", tmp_path / "out")
    monkeypatch.setattr(keeping, "templates", lambda: {agreed: "", unsaid: ""})
    with catalogues_in(tmp_path / "begun"):
        before = run(*make, "--language", "fr")
        keeping.main(["begin", "fr"])
        begun = keeping.held("fr")
        begun.get(agreed).string = "{file} : {n} questions, toutes confirmées"
        keeping.write("fr", begun)
        keeping.main(["compile"])
        forget()

        assert keeping.main(["missing", "fr"]) == 1
        said = run("--speak", "fr", *make).output.splitlines()
        released = run(*make, "--language", "fr")

    assert before.exit_code == 2
    assert "expected a language with a catalogue: en; got 'fr'" in before.output
    assert capsys.readouterr().out == f"fr: not translated: {unsaid}\n"
    assert said[0].endswith("-cc13.zip : 4 questions, toutes confirmées")
    assert said[1].endswith("-load-card.html: for the coordinator")
    assert released.exit_code == 1
    assert "nothing was released" in released.output
    assert "unchecked: the language 'fr', whose phrases are not known" in released.output
