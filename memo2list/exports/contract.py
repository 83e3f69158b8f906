"""The list as other programs read it: plain dictionaries in the shape of `schemas/list.schema.json`, version 1."""

import json
from collections.abc import Mapping
from importlib import resources
from typing import Any

from memo2list.records import Item, OfficeQuestion, PunchList, Quantity, Quote, Recording, SetAside, WantedPicture
from memo2list.timing import to_seconds

FORMAT = "memo2list/list"
VERSION = 1


def to_contract(punch_list: PunchList) -> dict[str, Any]:
    """The list as dictionaries and lists, times in seconds, recordings by name.

    Items a reviewer dropped are left out. Quotes name their recording; two recordings of the same file name are told
    apart by their digest in `recordings`, in the order given.
    """
    names = {r.sha256: r.name for r in punch_list.recordings}
    return {
        "format": FORMAT,
        "version": VERSION,
        "recordings": [_recording(r) for r in punch_list.recordings],
        "items": [_item(i, names) for i in punch_list.items if i.review != "dropped"],
        "set_aside": [_set_aside(s, names) for s in punch_list.set_aside],
        "flags": [{"code": f.code, "reason": f.reason} for f in punch_list.flags],
        **({"questions": [_question(q, names) for q in punch_list.questions]} if punch_list.questions else {}),
    }


def to_json(punch_list: PunchList) -> str:
    """The same as JSON text, indented, ending in a newline."""
    return json.dumps(to_contract(punch_list), ensure_ascii=False, indent=2) + "\n"


def list_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the contract."""
    text = resources.files("memo2list.exports").joinpath("schemas/list.schema.json").read_text(encoding="utf-8")
    return dict(json.loads(text))


def _recording(recording: Recording) -> dict[str, Any]:
    return {
        "name": recording.name,
        "sha256": recording.sha256,
        "duration": to_seconds(recording.duration_ms),
        "recogniser": recording.recogniser,
    }


def _item(item: Item, names: Mapping[str, str]) -> dict[str, Any]:
    return {
        "number": item.number,
        "key": item.key,
        "kind": item.kind,
        "title": item.title,
        "element": item.element,
        "heard": list(item.heard),
        "issues": list(item.issues),
        "actions": list(item.actions),
        "location": item.location,
        "quantities": [_quantity(q) for q in item.quantities],
        "materials": list(item.materials),
        "certainty": item.certainty,
        "safety": item.safety,
        "by": item.by,
        "questions": list(item.questions),
        "cautions": [{"text": c.text, "source": c.source} for c in item.cautions],
        "flags": [{"code": f.code, "reason": f.reason} for f in item.flags],
        "confidence": round(item.confidence, 4),
        "review": item.review,
        "state": item.state,
        "note": item.note,
        "quotes": [_quote(q, names) for q in item.quotes],
        **({"wanted_pictures": [_wanted(w, names) for w in item.wanted_pictures]} if item.wanted_pictures else {}),
    }


def _wanted(wanted: WantedPicture, names: Mapping[str, str]) -> dict[str, Any]:
    return {"recording": names.get(wanted.recording, wanted.recording), "at": to_seconds(wanted.at_ms), "said": wanted.said}


def _question(question: OfficeQuestion, names: Mapping[str, str]) -> dict[str, Any]:
    return {"text": question.text, "state": question.state, "quotes": [_quote(q, names) for q in question.quotes]}


def _set_aside(aside: SetAside, names: Mapping[str, str]) -> dict[str, Any]:
    return {
        "why": aside.why,
        "element": aside.element,
        "issues": list(aside.issues),
        "actions": list(aside.actions),
        "quotes": [_quote(q, names) for q in aside.quotes],
    }


def _quantity(quantity: Quantity) -> dict[str, Any]:
    value = [plain(v) for v in quantity.value] if isinstance(quantity.value, tuple) else plain(quantity.value)
    return {"value": value, "unit": quantity.unit, "said": quantity.said, "approximate": quantity.approximate}


def plain(value: float) -> float | int:
    """12.0 as 12, and no more digits than somebody said.

    >>> plain(12.0), plain(2.25), plain(0.1 + 0.2)
    (12, 2.25, 0.3)
    """
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) else rounded


def _quote(quote: Quote, names: Mapping[str, str]) -> dict[str, Any]:
    return {
        "recording": names.get(quote.recording, quote.recording),
        "start": to_seconds(quote.span.start_ms),
        "end": to_seconds(quote.span.end_ms),
        "text": quote.text,
    }
