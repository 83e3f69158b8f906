"""Classification codes of elements.

Source: UNIFORMAT II, NISTIR 6389 (levels 1 to 3, as in ASTM E1557-97). Which code an element has is our own mapping; what is
checked is that the code exists and that a few plain ones have the title a reader of the standard expects.
"""

import pytest

from tests.outside.data import rows

TITLES = {row["code"]: row["title"] for row in rows("uniformat_ii.csv")}


@pytest.fixture(scope="module")
def lexicon(tmp_path_factory):
    from memo2list.vocabulary.lexicon import load_lexicon

    return load_lexicon(user_folder=tmp_path_factory.mktemp("own"), cache=tmp_path_factory.mktemp("cache"))


def test_every_code_of_the_lexicon_is_in_the_standard(lexicon):
    assert {e.uniformat for e in lexicon.entries if e.uniformat} <= set(TITLES)


def test_every_element_has_a_code(lexicon):
    assert not [e.name for e in lexicon.of_kind("element") if not e.uniformat]


@pytest.mark.parametrize(
    ("element", "title"),
    [
        ("gutter", "Roof Coverings"),
        ("clapboard", "Exterior Walls"),
        ("window", "Exterior Windows"),
        ("front door", "Exterior Doors"),
        ("footing", "Standard Foundations"),
        ("hardwood floor", "Floor Finishes"),
        ("toilet", "Plumbing Fixtures"),
        ("drywall", "Partitions"),
        ("skylight", "Roof Openings"),
    ],
)
def test_a_plain_element_has_the_title_expected(lexicon, element, title):
    assert TITLES[lexicon.entry("element", element).uniformat] == title
