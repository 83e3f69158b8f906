"""The scorer of hearing counts what was said, not how it is written."""

from tests.benchmarks.hearing_scores import alike, normal


def test_habits_of_writing_are_no_errors():
    said, heard = normal("OK, the grey deck boards."), normal("Okay, the gray deckboards.")
    assert alike(said, heard) == alike(heard, said)


def test_another_word_stays_an_error():
    assert alike(["deck", "chairs"], ["deck", "boards"]) == ["deck", "chairs"]


def test_short_and_slurred_forms_are_no_errors():
    said, heard = (
        normal("Hm, the wall's cracked. We're gonna fix 'em, it is due."),
        normal("The wall is cracked. We are going to fix them. It's due."),
    )
    assert alike(said, heard) == alike(heard, said)


def test_a_plural_is_not_taken_for_a_short_form():
    said, heard = normal("The wall's cracked"), normal("The walls cracked")
    assert alike(said, heard) != alike(heard, said)


def test_a_word_that_holds_a_filler_stays():
    assert normal("The hammer, um, the umber. Mm. H.M. Erm") == ["the", "hammer", "the", "umber"]
