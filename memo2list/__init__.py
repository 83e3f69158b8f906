"""memo2list: from a walk through a property, recorded, to a punch list that can be defended."""

__version__ = "0.1.0"
