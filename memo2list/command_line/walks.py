"""`memo2list walks save`: a reviewed job as a labelled walkthrough, from which the deep reader can be tuned."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from memo2list.command_line.output import send
from memo2list.command_line.stores import opened, store_option
from memo2list.records import DOUBTFUL, Item, PunchList, Quantity, Quote, SetAside, Transcript

if TYPE_CHECKING:
    from memo2list.reading.deep.lines import Line

NO_TRAP = frozenset({DOUBTFUL})  # set aside for want of understanding: nobody said that it is no item


@click.group()
def walks() -> None:
    """Walkthroughs for training: corrections made in review, kept for whoever wants to tune the deep reader."""


@walks.command()
@click.argument("job")
@click.option("-o", "--output", "out", type=click.Path(path_type=Path), help="Write to this file; else print.")
@click.option("--force", is_flag=True, help="Replace the file if it exists.")
@store_option
def save(job: str, out: Path | None, force: bool, store_at: Path | None) -> None:
    """Save the talk and the list of JOB, as reviewed, as a walkthrough in JSON.

    Nothing is sent anywhere: the file stays where you put it. Dropped items are left out, and so are customer and
    address, but all words said are in it. Review the list first: what is wrong in it would be learnt.
    """
    with opened(store_at) as store:
        name, transcripts, punch_list = store.job(job).name, store.transcripts(job), store.punch_list(job)
    made = walkthroughs(name, transcripts, punch_list)
    whole = made[0] if len(made) == 1 else {"scenes": made}
    send((json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode(), out, force=force)
    for line in left_open(punch_list):
        click.echo(line, err=True)


def left_open(punch_list: PunchList) -> list[str]:
    """What the user should know about the file before training on it."""
    kept = [item for item in punch_list.items if item.review != "dropped"]
    unseen = sum(item.review == "unreviewed" for item in kept)
    silent = sum(not item.quotes for item in kept)
    out = [f"{unseen} of {len(kept)} items were not reviewed."] if unseen else []
    return out + ([f"{silent} left out, because no words of the talk belong to them."] if silent else [])


def walkthroughs(name: str, transcripts: Sequence[Transcript], punch_list: PunchList) -> list[dict[str, Any]]:
    """One walkthrough for each recording of a job."""
    from memo2list.exports.safety import safe_name

    stem = safe_name(name)
    ids = [stem] if len(transcripts) == 1 else [f"{stem}-{n}" for n in range(1, len(transcripts) + 1)]
    return [walkthrough(i, name, transcript, punch_list) for i, transcript in zip(ids, transcripts, strict=True)]


def walkthrough(identity: str, name: str, transcript: Transcript, punch_list: PunchList) -> dict[str, Any]:
    """The talk of one recording with its items. Its turns are lines as the deep reader sees them: a recording may be one turn."""
    from memo2list.reading.deep.lines import lines

    rows, here = lines(transcript), transcript.recording.sha256
    speakers = sorted({row.speaker for row in rows if row.speaker})
    items = [i for i in punch_list.items if i.review != "dropped" and i.quotes and i.quotes[0].recording == here]
    aside = [s for s in punch_list.set_aside if s.why not in NO_TRAP and s.quotes and s.quotes[0].recording == here]
    return {
        "id": identity,
        "title": name,
        "style": "dialogue" if len(speakers) > 1 else "solo",
        "setting": "",
        "speakers": {speaker: {"role": "speaker", "voice": ""} for speaker in speakers},
        "turns": [turn(row, rows, transcript) for row in rows],
        "items": [labelled(n, item, turns_of(item.quotes, rows, here)) for n, item in enumerate(items, 1)],
        "traps": [trap(s, turns_of(s.quotes, rows, here)) for s in aside],
    }


def turn(row: "Line", rows: Sequence["Line"], transcript: Transcript) -> dict[str, Any]:
    """A line with the silence before it in seconds."""
    before = transcript.time(rows[row.number - 1].words).end_ms if row.number else 0
    pause = max(0, transcript.time(row.words).start_ms - before) / 1000
    return {"n": row.number + 1, "speaker": row.speaker, "text": row.text, "pause": round(pause, 1)}


def turns_of(quotes: Sequence[Quote], rows: Sequence["Line"], recording: str) -> list[int]:
    """The turns that hold the quotes: of each quote the words that matched, where that is known."""
    told = [words for q in quotes if q.recording == recording for words in (q.marked or (q.words,))]
    return [row.number + 1 for row in rows if any(row.words.overlaps(words) for words in told)]


def labelled(number: int, item: Item, turns: list[int]) -> dict[str, Any]:
    return {
        "id": f"i{number}",
        "kind": item.kind,
        "element": list(dict.fromkeys((item.element, *item.heard))),
        "issue": list(item.issues),
        "action": list(item.actions),
        "location": [item.location] if item.location else [],
        "quantity": [amount(q) for q in item.quantities],
        "material": list(item.materials),
        "certainty": item.certainty,
        "by": [speaker for speaker in item.by.split("+") if speaker],
        "safety": item.safety,
        "turns": turns,
    }


def amount(quantity: Quantity) -> dict[str, Any]:
    value = quantity.value
    return {"value": list(value) if isinstance(value, tuple) else value, "unit": quantity.unit}


def trap(aside: SetAside, turns: list[int]) -> dict[str, Any]:
    return {"turns": turns, "why": aside.why, "element": [aside.element] if aside.element else [], "issue": list(aside.issues)}
