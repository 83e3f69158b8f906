"""Who the speakers are: "A" of a recording is the contractor. Told by appended edits of the same kind as those of items.

Naming a speaker is one edit for the name and one for `by` of each item the speaker has a part in; one undo takes all back.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from memo2list.errors import InputError
from memo2list.records import Item, Transcript
from memo2list.store.changes import Change
from memo2list.store.edits import Edit, Items, effective

PREFIX = "speaker-"
LONGEST = 40


def speaker_key(recording: str, label: str) -> str:
    """Names a speaker in edits; `recording` is the recording's SHA-256."""
    return f"{PREFIX}{recording[:16]}-{label}"


def names(transcript: Transcript, edits: Iterable[Edit]) -> dict[str, str]:
    """The speakers of a recording in order of speaking, each with its name; "" where nobody gave one."""
    labels = dict.fromkeys(t.speaker for t in transcript.turns if t.speaker)
    given = {e.key: str(e.new) for e in effective(edits) if e.key.startswith(PREFIX)}
    return {label: given.get(speaker_key(transcript.recording.sha256, label), "") for label in labels}


def named(transcript: Transcript, edits: Iterable[Edit]) -> Transcript:
    """The transcript with names in place of labels, as far as they were given."""
    known = names(transcript, edits)
    return replace(
        transcript,
        turns=tuple(replace(t, speaker=known[t.speaker] or t.speaker if t.speaker else None) for t in transcript.turns),
    )


def set_name(change: Change, transcript: Transcript, label: str, name: str) -> Items:
    """Raises InputError for a speaker that the recording does not have, or a name that cannot be one."""
    known = names(transcript, change.edits)
    if label not in known:
        raise InputError(repr(label[:20]), "does not speak in that recording.", "Load the page again.")
    if len(name) > LONGEST or "+" in name or not name.isprintable():
        raise InputError(repr(name[:LONGEST]), "is no name.", f"Use up to {LONGEST} printable characters without +.")
    return change.make("set", speaker_key(transcript.recording.sha256, label), "by", known[label], name)


def said_by(
    items: Iterable[Item], first: Sequence[Item], transcript: Transcript, before: dict[str, str], after: dict[str, str]
) -> list[tuple[Item, str]]:
    """The items whose `by` changes with the names, each with the new one; `first` are the items before any edit."""
    labels = {i.key: i.by.split("+") for i in first}
    old, new = ({label: name or label for label, name in known.items()} for known in (before, after))
    renamed = {old[label]: new[label] for label in old if old[label] != new[label]}
    found = []
    for item in items:
        if not any(q.recording == transcript.recording.sha256 for q in item.quotes) or not item.by:
            continue
        own = labels.get(item.key, [])
        as_listed = item.by == _joined(old.get(label, label) for label in own)
        by = _joined(new.get(x, x) for x in own) if as_listed else _joined(renamed.get(x, x) for x in item.by.split("+"))
        if by != item.by:
            found.append((item, by))
    return found


def _joined(speakers: Iterable[str]) -> str:
    return "+".join(sorted({s for s in speakers if s}))
