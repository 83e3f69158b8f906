"""What the very next words do to a claim."""

import pytest

from memo2list.reading import read


@pytest.fixture
def statuses(said, lexicon):
    def of(claim, *lines):
        found = read(said(*lines), lexicon).findings
        return {f.assertion.status for f in found for m in (*f.problems, *f.actions) if m.entry == claim}

    return of


def test_scratch_that_takes_back_what_was_said_last(statuses):
    assert statuses("rot", "A: The gate post is rotten. Scratch that.") == {"taken back"}


def test_a_taking_back_further_on_leaves_the_first_claim_alone(statuses):
    assert "taken back" not in statuses("rot", "A: The gate post is rotten.", "A: The paint is peeling. Scratch that.")


def test_what_the_other_speaker_declines_is_set_aside(statuses):
    assert statuses("replace", "A: We could replace the counter.", "B: Leave it, I like it.") <= {"declined", "conditional"}


def test_but_does_not_stop_a_cue_that_gives_the_work_to_others(statuses):
    assert statuses("leaning", "A: The fence is leaning, but somebody else is taking care of that.") <= {"by others"}
