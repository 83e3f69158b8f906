"""Where the deep reader's model is, and how it gets there: the base found and verified, the adapter added, converted once."""

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from memo2list.errors import WeightsError
from memo2list.known_weights import READER_BASE
from memo2list.reading.deep.model import Model
from memo2list.weights import default_cache, find_reader_base

ADAPTER = Path(__file__).parent / "adapter_files"
HUB = ("Qwen/Qwen2.5-Coder-1.5B-Instruct-GGUF", "qwen2.5-coder-1.5b-instruct-q4_k_m.gguf")  # Apache-2.0
HINT = (
    "read by the quick reader alone; deep reading also follows answers given later and things only pointed at: "
    "`memo2list models --fetch reader` gets it (1.1 GB, once)"
)


def converted_folder(cache: Path | None = None) -> Path | None:
    """The folder the model runs from, or None if it was not made here yet. Looks only, takes no time."""
    from memo2list.reading.deep.convert import adapter_digest

    folder = (cache or default_cache()) / f"reader-{adapter_digest(ADAPTER)[:16]}"
    return folder if (folder / "model.bin").is_file() else None


def prepare(source: Path | None = None, cache: Path | None = None, download: Callable[[Path], None] | None = None) -> Path:
    """The folder the model runs from, made if need be (about a minute, 3.4 GB of memory).

    The base comes from `source` (a folder with the file, or with the packages that carry it), the cache,
    installed packages, or the model hub. Raises WeightsError with the ways out.
    """
    made = converted_folder(cache)
    if made:
        return made
    try:
        import gguf  # noqa: F401

        from memo2list.reading.deep.convert import converted
    except ImportError as error:
        raise WeightsError("converting the reader needs the package gguf. Run `pip install 'memo2list[deep]'`.") from error
    home = cache or default_cache()
    return converted(base(source, home, download or from_hub), ADAPTER, home)


def base(source: Path | None, home: Path, download: Callable[[Path], None]) -> Path:
    try:
        return find_reader_base(source, home)
    except WeightsError:
        if source is not None:
            raise
    folder = home / READER_BASE.name
    folder.mkdir(parents=True, exist_ok=True)
    download(folder)
    return find_reader_base(folder, home)


def from_hub(folder: Path) -> None:
    """Fetch the base from the model hub into `folder`; the caller verifies it."""
    from huggingface_hub import hf_hub_download
    from huggingface_hub.utils import logging

    logging.set_verbosity_error()  # its retries are no news; the error below says what to do
    repository, name = HUB
    try:
        found = Path(hf_hub_download(repository, name, local_dir=folder))
    except Exception as error:
        raise WeightsError(
            f"the reader's base could not be fetched ({type(error).__name__}). Either {READER_BASE.remedy} "
            "(`memo2list models --fetch reader --from FOLDER`), or try again where there is a network."
        ) from error
    found.replace(folder / READER_BASE.files[0].name)


@lru_cache(maxsize=1)
def load(folder: Path) -> Model:
    """The model, loaded once for the process."""
    return Model(folder)
