"""Faults and deeds that are not said in words: a likeness, and a question answered no."""

import pytest

from memo2list.reading.reader import look_over, read


def implied(talk, kind):
    return [k.name for s in talk.stages for k in s.claims if k.mention.how == "implied" and k.kind == kind]


def test_a_likeness_takes_over_what_was_said_before(said, lexicon):
    talk = look_over(said("A: The left gutter is leaking, reseal it.", "A: Same thing on the right downspout."), lexicon)
    assert implied(talk, "problem") == ["leak"]
    assert implied(talk, "action")


def test_a_likeness_takes_over_nothing_that_was_denied(said, lexicon):
    talk = look_over(said("A: No rot in the left sill.", "A: Same again on the right sill."), lexicon)
    assert implied(talk, "problem") == []


def test_the_same_colour_is_no_likeness(said, lexicon):
    talk = look_over(said("A: The gutter is leaking.", "A: Paint the door the same colour."), lexicon)
    assert implied(talk, "problem") == []


def test_a_likeness_reaches_back_only_a_little(said, lexicon):
    between = [f"A: And that is the number {n} thing I wanted to say to you about my holiday by the sea." for n in range(9)]
    talk = look_over(said("A: The gutter is leaking.", *between, "A: Same on the downspout."), lexicon)
    assert implied(talk, "problem") == []


def test_what_a_thing_should_do_is_a_fault_once_it_is_denied(said, lexicon):
    talk = look_over(said("A: Does the gate latch?", "B: Nope."), lexicon)
    assert implied(talk, "problem") == ["does not latch"]


def test_what_a_thing_should_do_and_does_is_no_fault(said, lexicon):
    assert implied(look_over(said("A: Does the gate latch?", "B: Yes, it does."), lexicon), "problem") == []


def test_a_part_asked_for_that_is_not_there_is_missing(said, lexicon):
    talk = look_over(said("A: Is there a handrail on this side?", "B: No."), lexicon)
    assert implied(talk, "problem") == ["missing"]


def test_an_open_question_implies_nothing(said, lexicon):
    assert implied(look_over(said("A: Where does the gate latch?", "B: No idea."), lexicon), "problem") == []


def test_what_is_implied_is_flagged(said, lexicon):
    reading = read(said("A: The left gutter is leaking.", "A: Same thing on the right downspout."), lexicon)
    implied_findings = [f for f in reading.findings if any(m.how == "implied" for m in (*f.problems, *f.actions))]
    assert implied_findings
    assert all("implied" in [flag.code for flag in f.flags] for f in implied_findings)


def test_a_part_only_named_after_a_fault_is_put_in(said, lexicon):
    talk = look_over(said("A: The back door is rotten.", "A: Storm door, white."), lexicon)
    assert implied(talk, "action") == ["install"]


def test_a_part_named_with_a_verb_is_not_put_in_by_naming_it(said, lexicon):
    talk = look_over(said("A: The back door is rotten.", "A: The storm door is over there."), lexicon)
    assert "install" not in implied(talk, "action")


def test_a_part_asked_about_is_not_put_in(said, lexicon):
    talk = look_over(said("A: The back door is rotten.", "A: Storm door?"), lexicon)
    assert "install" not in implied(talk, "action")


def test_a_part_named_where_nothing_was_wrong_is_not_put_in(said, lexicon):
    talk = look_over(said("A: Good morning to you all.", "A: Storm door, white."), lexicon)
    assert "install" not in implied(talk, "action")


def test_a_fault_asked_after_and_denied_makes_nothing_missing(said, lexicon):
    talk = look_over(said("A: Is there any rot up there?", "B: No."), lexicon)
    assert implied(talk, "problem") == []


@pytest.mark.parametrize("reply", ["I don't know.", "We can't tell from here.", "Don't worry, yes."])
def test_who_does_not_know_has_not_said_no(said, lexicon, reply):
    assert implied(look_over(said("A: Does the gate latch?", f"B: {reply}"), lexicon), "problem") == []


def test_a_question_says_no_likeness(said, lexicon):
    talk = look_over(said("A: The gutter is cracked.", "A: So is the fascia being painted this year?"), lexicon)
    assert implied(talk, "problem") == []
    assert implied(look_over(said("A: The gutter is cracked.", "A: So is the fascia."), lexicon), "problem") == ["cracked"]
