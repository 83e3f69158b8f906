"""Questions for the office: done and open again, like any change."""

from dataclasses import replace

import pytest

from memo2list.errors import InputError
from memo2list.records import OfficeQuestion, PunchList
from memo2list.store.office import office_key
from tests.store.conftest import JOB, THREE, punch_list, said

WHO = OfficeQuestion("Who supplied the tiles?", (said("who supplied the tiles", 40_000),))
WHEN = OfficeQuestion("When is the dumpster due?", (said("when is the dumpster due", 50_000),))


def asked(*questions: OfficeQuestion) -> PunchList:
    return replace(punch_list(*THREE), questions=questions)


@pytest.fixture
def office(store):
    store.save_list(JOB, asked(WHO, WHEN))
    return store


def states(store):
    return [q.state for q in store.punch_list(JOB).questions]


def test_a_question_is_done_undone_and_done_again(office):
    office.set_office_state(JOB, office_key(WHO), "done", "Ada")
    assert states(office) == ["done", "open"]
    office.undo(JOB)
    assert states(office) == ["open", "open"]
    office.redo(JOB)
    office.set_office_state(JOB, office_key(WHO), "open")
    assert states(office) == ["open", "open"]


def test_the_items_are_as_they_were(office):
    assert office.set_office_state(JOB, office_key(WHO), "done") == THREE


def test_it_stays_done_when_the_job_is_read_again(office):
    office.set_office_state(JOB, office_key(WHEN), "done")
    office.save_list(JOB, asked(replace(WHEN, text="when is  the dumpster due?"), WHO))
    assert states(office) == ["done", "open"]


def test_one_that_is_done_already_is_no_further_change(office):
    for _ in range(2):
        office.set_office_state(JOB, office_key(WHO), "done")
    assert len(office.edits(JOB)) == 1


def test_a_question_that_is_not_asked_is_refused(office):
    with pytest.raises(InputError, match="not asked"):
        office.set_office_state(JOB, "office-00000000", "done")
