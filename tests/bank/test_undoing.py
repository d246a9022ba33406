"""A draw undone, a term mistyped, a draw that is only tried."""

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from itembank.bank import standing
from itembank.cli import main
from itembank.kinds.statement import problem_from
from itembank.terms import assembly, draw, export
from itembank.terms.decisions import drawn_release
from itembank.terms.naming import distance
from itembank.terms.status import status
from itembank.values.errors import BankError, DrawError, ShortageError

SPRING, AUTUMN = "2027-spring", "2027-autumn"
ENTRIES = (
    "  - {family: linear-one-solution, variants: 3}\n  - {family: least-solution, variants: 4}\n"
)


def run(*arguments: object):
    return CliRunner().invoke(main, list(map(str, arguments)))


def lines(*arguments: object) -> list[str]:
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.stdout.splitlines()


def counted(bank) -> dict[str, int]:
    with bank.reading() as connection:
        return {
            table: connection.scalar(text(f"SELECT count(*) FROM {table}"))
            for table in ("terms", "draws", "uses", "items", "undone")
        }


def problems_of(bank, term: str) -> set[object]:
    release = export_of(bank, term)
    return {problem_from(i.statement).canonical for g in release.groups for i in g.items}


def export_of(bank, term: str):
    return drawn_release(bank, "quiz", term)


def test_an_undone_draw_counts_for_nothing_and_stays_on_record(bank, pool_of):
    pool = pool_of(ENTRIES, rests="1")
    draw.draw(bank, pool, SPRING)
    undone = problems_of(bank, SPRING)
    before = counted(bank)

    assert draw.undo(bank, "quiz", SPRING) == {"linear-one-solution": 3, "least-solution": 4}

    assert counted(bank) == {**before, "undone": 1}
    assert [f.use.used for f in status(bank, pool).families] == [0, 0]
    with pytest.raises(BankError, match="it was not drawn for 2027-spring"):
        export_of(bank, SPRING)
    with pytest.raises(BankError) as error:
        draw.undo(bank, "quiz", SPRING)
    assert str(error.value) == "pool quiz: expected a draw for 2027-spring to undo, found none"
    again = draw.draw(bank, pool, SPRING)
    assert again.fresh == {"linear-one-solution": 3, "least-solution": 4}
    assert not problems_of(bank, SPRING) & undone
    assert counted(bank)["undone"] == 1


def test_the_questions_of_an_undone_draw_are_free_for_other_terms(bank, pool_of):
    entries = "  - {family: phi-of-a-number, variants: 40}\n"
    pool = pool_of(entries)
    draw.draw(bank, pool, SPRING)
    draw.undo(bank, "quiz", SPRING)

    drawn = draw.draw(bank, pool, AUTUMN)

    assert drawn.fresh == {"phi-of-a-number": 40}
    with bank.reading() as connection:
        assert standing.family_use(connection, "phi-of-a-number").by_term == {AUTUMN: 40}


def test_a_term_whose_draws_are_undone_is_none_and_shortens_no_rest(bank, pool_of):
    """18 variants there are; of 9 a term each rests a term after it, whatever was mistyped."""
    entries = "  - {family: primitive-roots-listed, variants: 9}\n"
    pool = pool_of(entries, rests="1")
    draw.draw(bank, pool, "t1")
    mistyped = pool_of("  - {family: linear-one-solution, variants: 1}\n", id="other")
    draw.draw(bank, mistyped, "tt", new_term=True)
    draw.undo(bank, "other", "tt")
    draw.draw(bank, pool, "t2")

    (family,) = status(bank, pool).families

    assert family.use.following == 3
    assert family.use.resting == 9
    draw.draw(bank, pool, "t3")
    with pytest.raises(ShortageError):
        draw.draw(bank, pool_of(entries, rests="2", id="third"), "t4")


def test_only_the_last_draw_is_undone_and_none_that_was_exported(bank, pool_of, tmp_path):
    draw.draw(bank, pool_of(ENTRIES), SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(bank, pool_of(ENTRIES.replace("variants: 3", "variants: 5")), SPRING)

    assert draw.undo(bank, "quiz", SPRING) == {"linear-one-solution": 2}
    with pytest.raises(BankError) as error:
        draw.undo(bank, "quiz", SPRING)
    assert str(error.value) == (
        "pool quiz: its last draw for 2027-spring is released as quiz-2027-spring, so students may "
        "have met it and it stays; `itembank withdraw` takes single items out"
    )
    assert export.export(bank, "quiz", SPRING, tmp_path, ("cc13",)).release.name == (
        "quiz-2027-spring"
    )


def test_forms_of_an_undone_draw_are_assembled_anew(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 6}\n")
    draw.draw(bank, pool, SPRING)
    first = assembly.assemble(bank, "quiz", SPRING, 2, 50)
    draw.undo(bank, "quiz", SPRING)
    draw.draw(bank, pool, SPRING)

    with pytest.raises(BankError, match="2 items of its forms for 2027-spring were taken out"):
        assembly.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with pytest.raises(BankError, match="are of a draw that was undone"):
        assembly.mended(bank, "quiz", SPRING)
    assert assembly.assemble(bank, "quiz", SPRING, 2, 50).assembly.forms != first.assembly.forms


def test_a_term_that_may_be_mistyped_is_refused_unless_it_is_new(bank, pool_of):
    pool = pool_of(ENTRIES)
    draw.draw(bank, pool, SPRING)
    before = counted(bank)

    with pytest.raises(DrawError) as error:
        draw.draw(bank, pool, "2027-sprnig")

    assert str(error.value) == (
        "term 2027-sprnig: expected one named as those before (2027-spring); did you mean "
        "2027-spring? If it is a new term, say --new-term"
    )
    assert counted(bank) == before
    draw.draw(bank, pool, AUTUMN)
    draw.draw(bank, pool, "2027-sprnig", new_term=True)
    draw.draw(bank, pool, "2027-sprnig")


def test_the_distance_is_the_least_number_of_slips():
    """Against all words that a slip leads to, tried one after another."""
    letters = "abc"

    def slips(word: str) -> set[str]:
        out = {word[:i] + word[i + 1 :] for i in range(len(word))}
        out |= {word[:i] + c + word[i:] for i in range(len(word) + 1) for c in letters}
        out |= {word[:i] + c + word[i + 1 :] for i in range(len(word)) for c in letters}
        return out | {
            word[:i] + word[i + 1] + word[i] + word[i + 2 :] for i in range(len(word) - 1)
        }

    for word in ("", "a", "abc", "cab", "aabb"):
        near = slips(word) - {word}
        assert {distance(word, other) for other in near} == {1}
        beyond = {far for other in near for far in slips(other)} - near - {word}
        assert {distance(word, other) for other in beyond} <= {2, 3}
        assert distance(word, word) == 0


def test_a_draw_may_be_tried_dry(pool_of, tmp_path):
    quiz, bank = pool_of(ENTRIES).path, tmp_path / "b.db"
    there = ("--term", SPRING, "--bank", bank)
    none = run("draw", quiz, *there, "--dry-run")
    assert none.exit_code == 1 and not bank.exists()
    lines("draw", quiz, *there)
    before = bank.read_bytes()

    told = lines("draw", quiz, "--term", AUTUMN, "--bank", bank, "--dry-run")
    assert told[0] == "linear-one-solution: 3 new, 0 held before"
    assert told[-1] == "a dry run: nothing of this was kept"
    assert lines("draw", quiz, *there, "--undo", "--dry-run") == [
        f"{bank}: would be undone: the last draw of quiz for 2027-spring, 7 items"
    ]
    assert bank.read_bytes() == before
    assert lines("draw", quiz, *there, "--undo") == [
        f"{bank}: undone: the last draw of quiz for 2027-spring, 7 items"
    ]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--gap", "3"], "--gap is that of parallel forms; say how many with --forms"),
        (["--undo", "--forms", "2"], "--undo draws nothing"),
        (["--dry-run", "--forms", "2"], "--dry-run tells of a draw alone"),
    ],
)
def test_options_that_do_not_go_together_are_one_line(pool_of, options, said):
    result = run("draw", pool_of(ENTRIES).path, "--term", SPRING, *options)

    assert result.exit_code == 2
    assert said in result.stderr and len(result.stderr.splitlines()) == 1
