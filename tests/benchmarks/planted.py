"""Trade terms heard in everyday talk that has none: what the second hearing and the shown texts put into people's mouths.

    python -m tests.benchmarks.planted write FILE.json [--lines 75]     # 1. everyday lines without a lexicon term, four speakers
    # 2. speak FILE.json with synthetic voices into FILE.wav (a walkthrough as any other: turns, speakers with voices)
    python -m tests.benchmarks.planted hear FILE.json [--models base,tiny.en]     # 3. hears FILE.wav (or .opus) three ways

Prints terms per 1,000 words said, for plain faster-whisper, for ours without and with the second hearing.
"""

import argparse
import json
import pathlib
import random

from tests.benchmarks.everyday_lines import everyday_lines
from tests.benchmarks.hearing import way
from tests.benchmarks.hearing_scores import normal, said_in, score, term_spans

VOICES = ("af_heart", "am_michael", "bf_emma", "bm_george")
TURN = 3  # lines said by one speaker


def write(file: pathlib.Path, lines: int, lexicon) -> None:
    free = [line for line in everyday_lines() if not term_spans(normal(line), lexicon)]
    chosen = random.Random(11).sample(free, lines)
    turns = [
        {"n": 1 + n // TURN, "speaker": "ABCD"[n // TURN % 4], "text": " ".join(chosen[n : n + TURN]), "pause": 0.4}
        for n in range(0, lines, TURN)
    ]
    speakers = {name: {"voice": voice} for name, voice in zip("ABCD", VOICES, strict=True)}
    file.write_text(json.dumps({"speakers": speakers, "turns": turns}, indent=1), encoding="utf-8")
    print(f"{sum(len(t['text'].split()) for t in turns)} words in {len(turns)} turns; {len(free)} lines hold no term")


def hear(file: pathlib.Path, models: list[str], modes: list[str], lexicon) -> None:
    from memo2list.weights import find_speech_weights

    said = said_in(file)
    sound = next(p for p in (file.with_suffix(".wav"), file.with_suffix(".opus")) if p.exists())
    for model in models:
        for mode in modes:
            one = score(said, normal(way(mode, find_speech_weights(model), lexicon)(sound)), lexicon)
            rate = 1000 * len(one.planted) / one.words
            print(
                f"{model:8} {mode:6} WER {one.error_rate:.2%}, planted {len(one.planted)}: {rate:.2f} per 1000 words", flush=True
            )
            print("        ", one.planted)


def main() -> None:
    from memo2list.vocabulary.lexicon import load_lexicon

    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=["write", "hear"])
    parser.add_argument("file", type=pathlib.Path)
    parser.add_argument("--lines", type=int, default=75)
    parser.add_argument("--models", default="base,tiny.en")
    parser.add_argument("--modes", default="plain,first,ours")
    args = parser.parse_args()
    if args.step == "write":
        write(args.file, args.lines, load_lexicon())
    else:
        hear(args.file, args.models.split(","), args.modes.split(","), load_lexicon())


if __name__ == "__main__":
    main()
