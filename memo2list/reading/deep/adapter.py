"""The tuned part of the deep reader: low-rank corrections to the base model's matrices, kept as int8.

A correction is two thin matrices A (rank x in) and B (out x rank); the tuned matrix is W + scale·B·A
(LoRA, Hu et al. 2021). Each of the `rank` rows of A and columns of B is stored as int8 with its own step,
which halves the file and moves a value by at most 0.4 % of the largest beside it.
"""

import json
from collections.abc import Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]
NOTE = "note.json"  # digests of base and data, and how it was trained


def quantise(matrix: Array) -> tuple[NDArray[np.int8], NDArray[np.float32]]:
    """Rows as int8 and the step of each row: `matrix ≈ values * steps[:, None]`."""
    steps = np.maximum(np.abs(matrix).max(axis=1), 1e-12).astype(np.float32) / 127
    return np.rint(matrix / steps[:, None]).astype(np.int8), steps


def save(folder: Path, corrections: Mapping[str, Array], scale: float, note: Mapping[str, object], files: int = 2) -> None:
    """Write the corrections, by name ("blk.3.attn_q.A"), into `files` numpy archives and a note."""
    folder.mkdir(parents=True, exist_ok=True)
    names = sorted(corrections)
    for part in range(files):
        arrays: dict[str, np.ndarray] = {}
        for name in names[part::files]:
            matrix = np.asarray(corrections[name], np.float32)
            arrays[name], arrays[name + ".step"] = quantise(matrix.T if name.endswith(".B") else matrix)
        np.savez_compressed(folder / f"adapter{part + 1}.npz", **arrays)  # type: ignore[arg-type]
    (folder / NOTE).write_text(json.dumps({"scale": scale, **note}, indent=1) + "\n", encoding="utf-8")


class Adapter:
    """Corrections read back; `delta(name)` is what to add to a base matrix, or None where nothing was tuned."""

    def __init__(self, folder: Path):
        self.note = json.loads((folder / NOTE).read_text(encoding="utf-8"))
        self._arrays: dict[str, np.ndarray] = {}
        for path in sorted(folder.glob("adapter*.npz")):
            with np.load(path) as archive:
                self._arrays.update({name: archive[name] for name in archive.files})

    def matrix(self, name: str) -> Array:
        values: Array = self._arrays[name].astype(np.float32) * self._arrays[name + ".step"][:, None]
        return values.T if name.endswith(".B") else values

    def delta(self, name: str) -> Array | None:
        """Scaled B·A for the base matrix `name` ("blk.3.attn_q"), shape (out, in)."""
        if name + ".A" not in self._arrays:
            return None
        product: Array = float(self.note["scale"]) * (self.matrix(name + ".B") @ self.matrix(name + ".A"))
        return product
