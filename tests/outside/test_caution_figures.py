"""The figures that cautions repeat.

Sources are named beside each figure. "Read" figures were seen in a published copy of the text; "memory" ones were not,
and the caution itself then says verified = false.
"""

import math

import pytest

READ = [
    ("lead paint", "1978"),  # EPA RRP rule, 40 CFR 745 subpart E: housing built before 1978
    ("ladder", "one out for four up"),  # OSHA 29 CFR 1926.1053(b)(5)(i): horizontal distance one quarter of the working length
    ("ladder", "three feet past"),  # OSHA 29 CFR 1926.1053(b)(1): side rails at least 3 feet above the landing
    ("overhead power", "ten feet"),  # OSHA 29 CFR 1910.333(c)(3): 10 feet for lines up to 50 kV
    ("fall from height", "six feet"),  # OSHA 29 CFR 1926.501(b)(1), (b)(13)
    ("guard height", "over 30 inches"),  # IRC R312.1: open-sided surfaces more than 30 inches above
    ("guard height", "36 inches"),  # IRC R312.1.2
    ("handrail", "34 to 38 inches"),  # IRC R311.7.8.1
    ("handrail", "four or more risers"),  # IRC R311.7.8
    ("stair risers", "7 3/4 inches"),  # IRC R311.7.5.1
    ("stair risers", "3/8 inch"),  # IRC R311.7.5.1
    ("mold", "ten square feet"),  # EPA 402-K-02-003
]
MEMORY = ["safety glass", "bedroom escape", "deck ledger", "pool barrier", "radon and soil gas"]


@pytest.fixture(scope="module")
def lexicon(tmp_path_factory):
    from memo2list.vocabulary.lexicon import load_lexicon

    return load_lexicon(user_folder=tmp_path_factory.mktemp("own"), cache=tmp_path_factory.mktemp("cache"))


@pytest.mark.parametrize(("name", "figure"), READ)
def test_a_caution_repeats_the_published_figure(lexicon, name, figure):
    rule = lexicon.caution(name)
    assert figure in rule.text
    assert rule.verified


@pytest.mark.parametrize("name", MEMORY)
def test_a_figure_from_memory_says_so(lexicon, name):
    assert not lexicon.caution(name).verified


def test_one_out_for_four_up_is_the_usual_angle():
    """About 75.5 degrees: OSHA QuickCard 3246 and makers' labels say 75 (common practice)."""
    assert math.degrees(math.acos(1 / 4)) == pytest.approx(75.5, abs=0.1)


def test_every_caution_names_a_source_and_defers(lexicon):
    assert all(rule.source for rule in lexicon.cautions)
    for name in ("guard height", "handrail", "stair risers", "electric shock", "gas"):
        text = lexicon.caution(name).text.lower()
        assert "local code" in text or "licensed" in text
