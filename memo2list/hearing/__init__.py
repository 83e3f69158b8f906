"""Media in, words out. `hear` is the way in; see `hear.py`."""

from memo2list.hearing.chunks import unfinished_folder
from memo2list.hearing.hear import Progress, hear, hear_each

__all__ = ["Progress", "hear", "hear_each", "unfinished_folder"]
