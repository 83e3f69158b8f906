"""Media in, words out. `hear` is the way in; see `hear.py`."""

from memo2list.hearing.hear import Progress, hear

__all__ = ["Progress", "hear"]
