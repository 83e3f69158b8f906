"""The quick pass in the terminal, and the command that opens the page."""

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.errors import InputError
from memo2list.review_page.serve import bound
from tests.review_page.conftest import JOB


def quick_pass(store, typed):
    return CliRunner().invoke(main, ["review", JOB, "--terminal", "--store", str(store.folder)], input=typed)


def test_keep_drop_and_later_are_one_key_each(store):
    answer = quick_pass(store, "k\nd\nsaid twice\ns\nq\n")
    assert [i.review for i in store.items(JOB)] == ["kept", "dropped", "unreviewed", "unreviewed"]
    assert store.item(JOB, "k2").why_dropped == "said twice"
    assert "2 left to look at" in answer.output


def test_undo_in_the_terminal_takes_back_the_last(store):
    quick_pass(store, "k\nu\nq\n")
    assert store.item(JOB, "k1").review == "unreviewed"


def test_merge_in_the_terminal_names_a_number(store):
    quick_pass(store, "s\nm\n1\nq\n")
    assert [i.key for i in store.items(JOB)] == ["k1", "k3", "k4"]


def test_trouble_is_told_and_the_pass_goes_on(store):
    answer = quick_pass(store, "m\n99\nk\nq\n")
    assert "no item 99" in answer.output
    assert store.item(JOB, "k1").review == "kept"


def test_doubts_and_questions_are_shown(store):
    answer = quick_pass(store, "s\ns\ns\ns\n")
    assert 'heard "stare tread"' in answer.output
    assert "Which side of the downspout?" in answer.output


def test_an_unknown_job_is_told_in_one_line(store):
    answer = CliRunner().invoke(main, ["review", "Mill Lane", "--no-browser", "--store", str(store.folder)])
    assert answer.exit_code == 1
    assert "Did you mean 'Mill Lane 4'?" in answer.output


def test_a_port_that_is_taken_is_told():
    held = bound("", 0)
    with held, pytest.raises(InputError, match="choose another"):
        bound("", held.getsockname()[1])


def test_the_page_listens_on_this_machine_only():
    with bound("", 0) as listening:
        assert listening.getsockname()[0] == "127.0.0.1"
