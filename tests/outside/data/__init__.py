"""Published figures that travel with the tests, one CSV a source."""

import csv
from pathlib import Path


def rows(name: str) -> list[dict[str, str]]:
    with (Path(__file__).parent / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
