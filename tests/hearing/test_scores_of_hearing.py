"""The scorer of hearing counts what was said, not how it is written."""

from tests.benchmarks.hearing_scores import alike, normal


def test_habits_of_writing_are_no_errors():
    said, heard = normal("OK, the grey deck boards."), normal("Okay, the gray deckboards.")
    assert alike(said, heard) == alike(heard, said)


def test_another_word_stays_an_error():
    assert alike(["deck", "chairs"], ["deck", "boards"]) == ["deck", "chairs"]
