"""Turn walkthroughs written as plain notes into the JSON form the scorer and the trainer read.

    python tests/walks/from_notes.py OUT_FOLDER FILE.walk [FILE.walk ...]

A note file holds one walkthrough, or several scenes one after another (each starts with `id:`).
One line is one fact, so that a writer spends words on talk and not on brackets:

    id: t01
    title: Terrace with a wet yard
    style: outside dialogue
    setting: 1890s terrace, rear yard; contractor and owner
    A: contractor am_michael
    B: customer bf_emma

    1 A: Okay, so that's running.
    2 B (0.8): The gate, it doesn't latch.

    items
    problem | gate; garden gate | does not latch | rehang | front; garden | 2 ft; 12-18 in | cedar | stated | A+B | - | 1,2

    traps
    negated | stringer | rot | 9

Fields of an item: kind, element, issue, action, location, quantity, material, certainty, by,
safety ("danger" or "-"), turns, and a note if wanted. Names are separated by ";", "-" is nothing.
The number in brackets after a speaker is the silence before the turn in seconds.
"""

import json
import pathlib
import re
import sys

ITEM_FIELDS = ("kind", "element", "issue", "action", "location", "quantity", "material", "certainty", "by", "safety", "turns")
TURN = re.compile(r"(\d+)\s+([A-Z])\s*(?:\(([\d.]+)\))?\s*:\s*(.*)")
SPEAKER = re.compile(r"([A-Z]):\s*(\S.*?)\s+([ab][fm]_\w+)\s*$")
AMOUNT = re.compile(r"\s*(\d+(?:\.\d+)?)(?:\s*-\s*(\d+(?:\.\d+)?))?\s+(\S.*?)\s*$")


def names(field: str) -> list[str]:
    """`"gate; garden gate"` → `["gate", "garden gate"]`; `"-"` → `[]`."""
    return [] if field.strip() in ("-", "") else [n.strip() for n in field.split(";") if n.strip()]


def number(text: str) -> int | float:
    value = float(text)
    return int(value) if value == int(value) else value


def amounts(field: str) -> list[dict]:
    out = []
    for part in names(field):
        found = AMOUNT.match(part)
        if not found:
            raise ValueError(f"not a quantity: {part!r} (write '12 ft' or '12-18 in')")
        low, high, unit = found.groups()
        out.append({"value": [number(low), number(high)] if high else number(low), "unit": unit})
    return out


def item(row: str, position: int) -> dict:
    fields = [f.strip() for f in row.split("|")]
    if len(fields) not in (11, 12):
        raise ValueError(f"an item has 11 or 12 fields, this has {len(fields)}: {row!r}")
    f = dict(zip(ITEM_FIELDS, fields, strict=False))
    out = {
        "id": f"i{position}",
        "kind": f["kind"],
        "element": names(f["element"]),
        "issue": names(f["issue"]),
        "action": names(f["action"]),
        "location": names(f["location"]),
        "quantity": amounts(f["quantity"]),
        "material": names(f["material"]),
        "certainty": f["certainty"],
        "by": [s for s in re.split(r"[+,;\s]+", f["by"]) if s and s != "-"],
        "safety": f["safety"] == "danger",
        "turns": [int(n) for n in re.findall(r"\d+", f["turns"])],
    }
    if len(fields) == 12 and fields[11] not in ("", "-"):
        out["note"] = fields[11]
    return out


def trap(row: str) -> dict:
    why, element, issue, turns = [f.strip() for f in row.split("|")][:4]
    return {"turns": [int(n) for n in re.findall(r"\d+", turns)], "why": why, "element": names(element), "issue": names(issue)}


def documents(text: str) -> list[dict]:
    """The walkthroughs of one note file; raises ValueError naming the line that does not parse."""
    docs: list[dict] = []
    part = "head"
    for count, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        try:
            if line.startswith("id:"):
                docs.append({"id": line[3:].strip(), "speakers": {}, "turns": [], "items": [], "traps": []})
                part = "head"
                continue
            doc = docs[-1]
            if line in ("items", "traps"):
                part = line
            elif found := (TURN.match(line) if part == "head" else None):
                n, who, pause, words = found.groups()
                doc["turns"].append({"n": int(n), "speaker": who, "text": words, "pause": float(pause or 0.4)})
            elif found := (SPEAKER.match(line) if part == "head" else None):
                who, role, voice = found.groups()
                doc["speakers"][who] = {"role": role, "voice": voice}
            elif part == "items":
                doc["items"].append(item(line, len(doc["items"]) + 1))
            elif part == "traps":
                doc["traps"].append(trap(line))
            else:
                name, value = line.split(":", 1)
                doc[name.strip()] = value.strip()
        except (ValueError, IndexError) as error:
            raise ValueError(f"line {count}: {error}") from error
    return docs


def main(argv: list[str]) -> int:
    out, faults = pathlib.Path(argv[0]), 0
    out.mkdir(parents=True, exist_ok=True)
    for name in argv[1:]:
        path = pathlib.Path(name)
        try:
            docs = documents(path.read_text(encoding="utf-8"))
        except ValueError as error:
            print(f"{name}: {error}", file=sys.stderr)
            faults += 1
            continue
        whole = docs[0] if len(docs) == 1 else {"scenes": docs}
        target = out / f"{path.stem}.json"
        target.write_text(json.dumps(whole, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
        print(f"{target}: {len(docs)} document(s)")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
