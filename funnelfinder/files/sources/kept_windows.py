"""Windows that were cut out before, for the next property that lies within them."""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from rasterio.errors import RasterioError

from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.cut import Cut, fingerprint_of, known_on
from funnelfinder.files.sources.table import Source

_FOLDER: Final = "windows"
_SLACK: Final = 1.05


@dataclass(frozen=True, slots=True, kw_only=True)
class _About:
    """What is told beside a kept window."""

    name: str
    address: str
    version: str
    fingerprint: str
    cell_m: float
    is_full: bool
    on: str


def windows_folder(kept: Path, source: Source) -> Path:
    """Return where the windows of a source are kept; another address is another source."""
    told = f"{source.name} {source.address} {source.asks}"
    return kept / f"{_FOLDER}-{hashlib.sha256(told.encode()).hexdigest()[:24]}"


def keep_window(kept: Path, cut: Cut) -> None:
    """Keep a window; a disk that does not take it is no reason to stop."""
    folder = windows_folder(kept, cut.source)
    about = {
        "name": cut.name,
        "address": cut.address,
        "version": cut.version,
        "fingerprint": cut.fingerprint,
        "cell_m": cut.cell_m,
        "is_full": cut.is_full,
        "on": cut.on.isoformat(),
    }
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(cut.path, folder / f".{cut.fingerprint}.part")
        (folder / f"{cut.fingerprint}.json").write_text(json.dumps(about), encoding="utf-8")
        (folder / f".{cut.fingerprint}.part").replace(folder / f"{cut.fingerprint}.tif")


def kept_windows(
    kept: Path, source: Source, area: Area, wanted_cell_m: float, next_path: Callable[[str], Path]
) -> list[Cut]:
    """Return the kept windows of a source that reach an area and are fine enough."""
    return list(_found(windows_folder(kept, source), source, area, wanted_cell_m, next_path))


def _found(
    folder: Path, source: Source, area: Area, wanted_cell_m: float, next_path: Callable[[str], Path]
) -> Iterator[Cut]:
    """Yield the windows of a folder that are as they were written."""
    for path in sorted(folder.glob("*.tif")):
        about = _about(path)
        if about is None or not (about.is_full or about.cell_m <= wanted_cell_m * _SLACK):
            continue
        read = _read(path)
        if read is None or fingerprint_of(read[0]) != about.fingerprint:
            continue
        is_known = known_on(read[0], read[1], area)
        if not is_known.any():
            continue
        copy = next_path(about.name)
        shutil.copyfile(path, copy)
        yield Cut(
            source=source,
            name=about.name,
            address=about.address,
            path=copy,
            is_known=is_known,
            cell_m=about.cell_m,
            fingerprint=about.fingerprint,
            version=about.version,
            is_full=about.is_full,
            on=date.fromisoformat(about.on),
        )


def _about(path: Path) -> _About | None:
    """Return what is told beside a window; None if it cannot be read."""
    try:
        told = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        date.fromisoformat(told["on"])
        return _About(**{**told, "cell_m": float(told["cell_m"])})
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _read(path: Path) -> tuple[np.ndarray[Any, Any], dict[str, Any]] | None:
    """Return the values of a window and where they lie; None if it cannot be read."""
    try:
        with rasterio.open(path) as dataset:
            values = dataset.read(1)
            profile = {
                "nodata": dataset.nodata,
                "transform": dataset.transform,
                "crs": dataset.crs,
            }
    except (RasterioError, OSError):
        return None
    return values, profile
