"""Media in, words out. `hear` is the way in; see `hear.py`."""

from memo2list.hearing.hear import Progress, hear, hear_each

__all__ = ["Progress", "hear", "hear_each"]
