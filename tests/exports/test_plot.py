"""The plot is well-formed SVG, whatever the labels say."""

from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from memo2list.exports.plot import bars

SVG = "{http://www.w3.org/2000/svg}"


def test_bars_are_as_long_as_their_numbers():
    root = ElementTree.fromstring(bars([("rot", 4), ("leak", 2)], "What recurs"))
    assert [float(r.attrib["width"]) for r in root.iter(f"{SVG}rect")] == [340, 170]


@given(st.lists(st.tuples(st.text(), st.integers(0, 10**6)), max_size=5), st.text())
def test_any_labels_make_well_formed_svg(rows, title):
    root = ElementTree.fromstring(bars(rows, title))
    assert len(list(root.iter(f"{SVG}rect"))) == len(rows)
