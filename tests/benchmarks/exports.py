"""A list of 500 items with 100 pictures: time and memory of every format.

python -m tests.benchmarks exports [--items N] [--pictures N]
"""

import argparse
import datetime
import pathlib
import resource
import tempfile
import time
from collections.abc import Sequence

from memo2list.exports import EXPORTERS, Picture, Sheet
from memo2list.exports.pictures import scaled
from tests.exports.samples import long_list


def picture_files(folder: pathlib.Path, count: int) -> list[Picture]:
    """Noise, which compresses worst, as twelve-megapixel files."""
    from PIL import Image

    made = []
    for number in range(count):
        path = folder / f"picture {number}.jpg"
        Image.effect_noise((800, 600), 40 + number).convert("RGB").resize((4000, 3000)).save(path, quality=85)
        made.append(scaled(path, path.name))
    return made


def main(words: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="tests.benchmarks exports", description=__doc__)
    parser.add_argument("--items", type=int, default=500)
    parser.add_argument("--pictures", type=int, default=100)
    args = parser.parse_args(words)
    punch_list = long_list(args.items)
    with tempfile.TemporaryDirectory() as folder:
        made = picture_files(pathlib.Path(folder), args.pictures)
    pictures = {punch_list.items[n * 5 % args.items].key: (picture,) for n, picture in enumerate(made)}
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{args.items} items, {len(made)} pictures; {before:.0f} MB before writing")
    for name, exporter in EXPORTERS.items():
        sheet = Sheet(punch_list, title="Long list", made=datetime.date(2026, 3, 7), pictures=pictures)
        began = time.perf_counter()
        data = exporter.write(sheet)
        took, most = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{name:<10}{took:7.2f} s{len(data) / 1e6:8.2f} MB written, {most:.0f} MB of memory at most")
    return 0
