"""Sums of trees by questions asked together, against walking each tree by itself."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.trees import trees_of

LEAF = st.floats(-2, 2, allow_nan=False)


def walked(tree, row):
    """The value of the leaf a row falls on, by going down."""
    node = tree[0]
    while node[0] >= 0:
        node = tree[node[2] if row[node[0]] <= node[1] else node[3]]
    return node[4]


def grown(draw, tree, depth):
    """A random tree below the next free node; returns that node's number."""
    at = len(tree)
    tree.append(None)
    if depth == 0 or draw(st.booleans()):
        tree[at] = (-1, 0.0, 0, 0, draw(LEAF))
        return at
    feature, threshold = draw(st.integers(0, 2)), draw(st.sampled_from([0.0, 0.5, 1.0, 2.5]))
    left, right = grown(draw, tree, depth - 1), grown(draw, tree, depth - 1)
    tree[at] = (feature, threshold, left, right, draw(LEAF))
    return at


@st.composite
def forests(draw, depth=4):
    trees = []
    for _ in range(draw(st.integers(1, 4))):
        trees.append([])
        grown(draw, trees[-1], depth)
    return trees


@given(forests(), st.lists(st.tuples(*[st.sampled_from([-1.0, 0.0, 0.5, 0.7, 1.0, 3.0])] * 3), min_size=1, max_size=6))
def test_sums_are_those_of_walking_each_tree(trees, rows):
    expected = [sum(walked(tree, row) for tree in trees) for row in rows]
    assert trees_of(trees).sums(np.array(rows)) == pytest.approx(expected)


@given(forests(), st.tuples(*[st.sampled_from([-1.0, 0.0, 0.7, 3.0])] * 3))
def test_shares_lead_from_the_roots_to_the_sum(trees, row):
    made, table = trees_of(trees), np.array([row])
    assert made.shares(table).sum() + sum(tree[0][4] for tree in trees) == pytest.approx(made.sums(table)[0])


def chain(leaves):
    """A tree that leans to one side."""
    tree = []
    for n in range(leaves - 1):
        tree += [(0, float(n), 2 * n + 1, 2 * n + 2, 0.0), (-1, 0.0, 0, 0, float(n))]
    return [*tree, (-1, 0.0, 0, 0, float(leaves - 1))]


@pytest.mark.parametrize("leaves", [16, 17, 64])
def test_trees_of_many_leaves_add_up_too(leaves):
    table = np.array([[n - 0.5] for n in range(leaves)])
    assert trees_of([chain(leaves)]).sums(table).tolist() == [float(n) for n in range(leaves)]


def test_a_tree_of_too_many_leaves_is_refused():
    with pytest.raises(ValueError, match="at most 64"):
        trees_of([chain(65)])
