"""Which words of the lexicon do small speech models get wrong? Renews memo2list/hearing/hard_words.tsv.

    python -m tests.benchmarks.hard_words terms WORK            # 1. sentences with the terms to try → WORK/sentences.json
    VOICES=DIR PYTHON tests/benchmarks/hard_words.py speak WORK --voices af_heart,am_michael,bf_emma   # 2. → WORK/*.wav
    python -m tests.benchmarks.hard_words hear WORK             # 3. hears them with base and tiny.en, writes the list

Step 2 runs under a Python that has `kokoro-onnx` and `soundfile`; DIR holds kokoro.onnx and voices.bin. The voices are
synthetic, so the list says which terms are at risk, not how often real speakers are misheard. Every sentence
carries two terms in a plain frame that gives no hint of them.
"""

import argparse
import json
import os
import pathlib
import random
import sys
from collections import defaultdict

RATE = 16_000
FRAMES = (
    "Have a look at the {} over here, and then at the {}.",
    "This one is about the {}, and that one is the {}.",
    "So we have the {} on this side, and the {} on that side.",
)


def terms_to_try() -> list[str]:
    """Elements, materials and problems of one word that the recogniser knows as whole words.

    Rarer words are listened for in any case; for these it must be measured whether they are mistaken for others.
    """
    from memo2list.hearing.listening import plain
    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.vocabulary.lexicon import load_lexicon
    from memo2list.weights import find_speech_weights

    is_common = WhisperRecogniser(find_speech_weights("tiny.en"), "tiny.en").is_common
    found: dict[str, None] = {}
    for entry in load_lexicon().entries:
        if entry.kind in ("element", "material", "problem"):
            for form in (entry.name, *entry.forms, *entry.us, *entry.uk):
                if form not in entry.doubtful and len(form.split()) <= 2 and form.replace("-", "").replace(" ", "").isalpha():
                    found[plain(form)] = None
    seen, wanted = set[str](), []
    for term in sorted(found, key=lambda t: len(t.split())):  # a word tried once is enough
        new = set(term.split()) - seen
        if new and " " not in term and len(term) > 2 and is_common(term) and not (term[-1] == "s" and term[:-1] in seen):
            wanted.append(term)
            seen |= new
    return wanted


def write_sentences(work: pathlib.Path) -> None:
    terms = terms_to_try()
    pairs = [(terms[n], terms[(n + 1) % len(terms)]) for n in range(0, len(terms), 2)]
    random.Random(1).shuffle(pairs)  # so that a part of them is a fair sample
    sentences = [{"text": FRAMES[n % len(FRAMES)].format(*pair), "terms": pair} for n, pair in enumerate(pairs)]
    work.mkdir(parents=True, exist_ok=True)
    (work / "sentences.json").write_text(json.dumps(sentences))
    print(f"{len(terms)} terms in {len(sentences)} sentences")


def resample(x, rate):
    import numpy as np

    n = round(len(x) * RATE / rate)
    return (np.fft.irfft(np.fft.rfft(x)[: n // 2 + 1], n) * n / len(x)).astype(np.float32)


def speak(work: pathlib.Path, voices: list[str], first: int, stop: int | None) -> None:
    import numpy as np
    import soundfile
    from kokoro_onnx import Kokoro

    home = os.environ["VOICES"]
    kokoro = Kokoro(f"{home}/kokoro.onnx", f"{home}/voices.bin")
    sentences = json.loads((work / "sentences.json").read_text())
    for number, sentence in list(enumerate(sentences))[first:stop]:
        voice = voices[number % len(voices)]
        target = work / f"{number:04d}.{voice}.wav"
        if target.exists():
            continue
        sound, rate = kokoro.create(sentence["text"], voice=voice, speed=1.12, lang="en-gb" if voice[0] == "b" else "en-us")
        sound = np.concatenate([np.zeros(RATE // 4, np.float32), resample(sound, rate), np.zeros(RATE // 4, np.float32)])
        soundfile.write(target, 0.7 * sound / np.abs(sound).max(), RATE, subtype="PCM_16")


def hear(work: pathlib.Path) -> None:
    """Hears every sentence with both models and notes which terms came back otherwise, and as what."""
    import numpy as np

    from memo2list.hearing import media
    from memo2list.hearing.hear import hear_stretches
    from memo2list.hearing.listening import plain
    from memo2list.hearing.recogniser import Stretch
    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.timing import TimeSpan
    from memo2list.weights import find_speech_weights

    sentences = json.loads((work / "sentences.json").read_text())
    files = sorted(work.glob("*.wav"))
    said: dict[str, int] = defaultdict(int)
    written: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for model in ("tiny.en", "base"):
        recogniser = WhisperRecogniser(find_speech_weights(model), model, batch=8)
        for start in range(0, len(files), 5 * 16):  # five sentences to a window of the model
            groups = [files[n : n + 5] for n in range(start, min(len(files), start + 80), 5)]
            stretches = []
            for group in groups:
                samples = np.concatenate([np.concatenate(list(media.sound(f))) for f in group])[: 29 * RATE]
                span = TimeSpan(0, len(samples) * 1000 // RATE)
                stretches.append(Stretch(span, samples, (span,)))
            for group, heard in zip(groups, hear_stretches(stretches, recogniser), strict=True):
                text = plain(" ".join(w.text for w in heard.words))
                for file in group:
                    for term in sentences[int(file.name[:4])]["terms"]:
                        note(term, text, sentences[int(file.name[:4])]["text"], said, written)
            print(model, start, "of", len(files), file=sys.stderr)
    write_list(said, written)


def note(term: str, text: str, sentence: str, said: dict[str, int], written: dict[str, dict[str, int]]) -> None:
    """Counts whether `term` came back; what stands between its frame's words is what was written instead."""
    from memo2list.hearing.listening import key_of, plain
    from memo2list.hearing.sounds import distance

    said[term] += 1
    if term.replace(" ", "") in text.replace(" ", ""):
        return
    words, key, best = text.split(), key_of(term.split()), ("", 99.0)
    frame = set(plain(sentence).split()) - set(term.split())
    for start in range(len(words)):
        for stop in range(start + 1, min(len(words), start + 3) + 1):
            gap = distance(key, key_of(words[start:stop])) + 0.5 * sum(w in frame for w in words[start:stop])
            if gap < best[1]:
                best = (" ".join(words[start:stop]), gap)
    written[term][best[0] if best[1] <= max(1.0, 0.45 * len(key)) else ""] += 1


def write_list(said: dict[str, int], written: dict[str, dict[str, int]]) -> None:
    target = pathlib.Path(__file__).parents[2] / "memo2list" / "hearing" / "hard_words.tsv"
    lines = ["# term\ttimes said\ttimes missed\twritten instead (renewed by tests/benchmarks/hard_words.py)"]
    for term in sorted(written):
        missed = sum(written[term].values())
        instead = "|".join(sorted((w for w in written[term] if w), key=lambda w: -written[term][w]))
        lines.append(f"{term}\t{said[term]}\t{missed}\t{instead}")
    target.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{len(written)} of {len(said)} terms were missed at least once → {target.name}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=["terms", "speak", "hear"])
    parser.add_argument("work", type=pathlib.Path)
    parser.add_argument("--voices", default="af_heart,am_michael,bf_emma,bm_george")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--stop", type=int)
    args = parser.parse_args()
    if args.step == "terms":
        write_sentences(args.work)
    elif args.step == "speak":
        speak(args.work, args.voices.split(","), args.first, args.stop)
    else:
        hear(args.work)


if __name__ == "__main__":
    main()
