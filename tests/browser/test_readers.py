"""The harness itself: published sample items, answered in both readers."""

import zipfile

import pytest

from tests.browser.readers import HERE, Reader

pytestmark = pytest.mark.browser

SAMPLES = HERE.parents[2] / "shared" / "schemas" / "samples" / "qti30"


def sample(package: str, name: str) -> bytes:
    if not SAMPLES.is_dir():
        pytest.skip("the published samples are not beside this repository")
    with zipfile.ZipFile(SAMPLES / package) as members:
        (member,) = [m for m in members.namelist() if m.rpartition("/")[2] == name]
        return members.read(member)


@pytest.mark.parametrize(("choice", "score"), [("ChoiceA", 1), ("ChoiceB", 0)])
def test_a_click_reaches_the_choice_and_is_scored(reader: Reader, choice, score):
    reader.load(sample("simple.zip", "choice.xml"))

    assert "You must stay with your luggage at all times." in reader.body()
    reader.choose(choice)
    assert reader.score() == score


@pytest.mark.parametrize(
    ("choice", "said"), [("true", "correct"), ("false", "incorrect")], ids=["right", "wrong"]
)
def test_modal_feedback_shows_after_the_attempt(reader: Reader, choice, said):
    reader.load(sample("basicFeedbackTest.zip", "Example01-modalFeedback.xml"))
    assert reader.feedback() == []
    reader.choose(choice)
    reader.attempt()

    (text,) = reader.feedback()
    assert said in text
