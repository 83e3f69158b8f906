"""Accept the list of demo_audio/ as it is now.

    python -m tests.accept_demo [--hear]

Reads `heard.json` again and writes `list.json`; `--hear` hears `walk.opus` first. Read the difference before committing it.
"""

import sys
from pathlib import Path

from memo2list.exports import Sheet, exporter
from memo2list.pipeline import process
from memo2list.transcript_json import transcript_to_json

DEMO = Path(__file__).parent.parent / "demo_audio"


def main(argv: list[str]) -> None:
    if "--hear" in argv:
        transcript, _, _ = process(DEMO / "walk.opus", reader="quick")
        (DEMO / "heard.json").write_text(transcript_to_json(transcript) + "\n", encoding="utf-8")
    _, _, punch_list = process(DEMO / "heard.json", reader="quick")
    (DEMO / "list.json").write_bytes(exporter("json").write(Sheet(punch_list)))
    print(f"{len(punch_list.items)} items, {len(punch_list.set_aside)} set aside. Look at `git diff demo_audio`.")


if __name__ == "__main__":
    main(sys.argv[1:])
