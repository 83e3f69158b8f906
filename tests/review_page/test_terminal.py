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


@pytest.mark.parametrize(
    ("typed", "field", "value"),
    [
        ("e\nporch ceiling\n", "element", "porch ceiling"),
        ("w\nrot, crack\n", "issues", ("rot", "crack")),
        ("a\nreplace\n", "actions", ("replace",)),
        ("o\nprimed pine\n", "materials", ("primed pine",)),
        ("p\nside gate\n", "location", "side gate"),
        ("p\n-\n", "location", None),
        ("c\nposs\n", "certainty", "possible"),
        ("y\ny\n", "safety", True),
        ("t\nFascia boards\n", "title", "Fascia boards"),
        ("n\nbring a ladder\n", "note", "bring a ladder"),
    ],
)
def test_every_field_can_be_changed_as_on_the_page(store, typed, field, value):
    quick_pass(store, typed + "q\n")
    assert getattr(store.item(JOB, "k1"), field) == value


def test_a_measure_is_typed_as_on_the_page(store):
    quick_pass(store, "h\nabout 14 ft; 3\nq\n")
    assert [(q.value, q.unit, q.approximate) for q in store.item(JOB, "k1").quantities] == [(14, "ft", True), (3, "ea", False)]


def test_a_measure_left_alone_keeps_the_words_it_was_said_in(store):
    quick_pass(store, "h\n\nq\n")
    assert store.item(JOB, "k1").quantities[0].said == "about twelve feet"


def test_the_title_follows_a_changed_problem_as_on_the_page(store):
    quick_pass(store, "w\ncrack\nq\n")
    assert store.item(JOB, "k1").title == "Fascia: crack — repair"


@pytest.mark.parametrize(("typed", "told"), [("h\nlots\n", "no measure"), ("c\nmaybe\n", "Type one of: stated")])
def test_what_cannot_be_is_told_and_changes_nothing(store, typed, told):
    before = store.item(JOB, "k1")
    assert told in quick_pass(store, typed + "q\n").output
    assert store.item(JOB, "k1") == before


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
