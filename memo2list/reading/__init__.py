"""From words to findings: pure functions over frozen records; nothing is read from disk but the judge's weights."""

from memo2list.reading.reader import read

__all__ = ["read"]
