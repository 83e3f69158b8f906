"""Questions, and how the other speaker takes them."""

from memo2list.reading.reader import look_over


def test_a_question_knows_its_answer(said, lexicon):
    talk = look_over(said("A: Does that window leak?", "B: Yes, every winter."), lexicon)
    assert talk.exchanges[0].asks
    assert "yes" in talk.exchanges[0].replies


def test_a_statement_asks_nothing(said, lexicon):
    assert not look_over(said("A: That window leaks."), lexicon).exchanges[0].asks


def test_a_question_without_a_question_mark_is_known_by_its_start(said, lexicon):
    assert look_over(said("A: does it leak when it rains"), lexicon).exchanges[0].asks


def test_an_open_question_expects_no_yes(said, lexicon):
    assert look_over(said("A: Where does it leak?"), lexicon).exchanges[0].open_question
