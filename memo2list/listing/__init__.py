"""From findings to the punch list: merging, questions, cautions, flags, confidence and keys."""

from memo2list.listing.list_maker import list_items

__all__ = ["list_items"]
