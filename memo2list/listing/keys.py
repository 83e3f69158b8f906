"""Keys that stay the same when a job is heard or read again, so that edits find their item."""

import hashlib
from collections import Counter
from collections.abc import Sequence


def base_key(recording: str, element: str, claim: str, location: str | None) -> str:
    """Eight hex digits from what the item is about, not from when it was said."""
    text = "|".join((recording[:16], element, claim, (location or "").lower()))
    return hashlib.sha256(text.encode()).hexdigest()[:8]


def numbered(keys: Sequence[str]) -> tuple[str, ...]:
    """Keys made different where two items are about the same: the second gets "-2".

    >>> numbered(["a", "b", "a"])
    ('a', 'b', 'a-2')
    """
    seen: Counter[str] = Counter()
    out = []
    for key in keys:
        seen[key] += 1
        out.append(key if seen[key] == 1 else f"{key}-{seen[key]}")
    return tuple(out)
