"""Compiled loops over arrays and floats only; nothing here knows a property.

The compiled code is cached in a folder named by a hash of all kernel files: numba looks only at
the file of the function itself and would keep a stale result when a kernel that it calls changes.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
AnyArray: TypeAlias = NDArray[Any]


def _cache_folder() -> Path:
    """Return a writable folder of its own for this version of the kernels."""
    digest = hashlib.sha256()
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    name = f"kernels-{digest.hexdigest()[:16]}"
    home = os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    for base in (Path(home) / "funnelfinder", Path(tempfile.gettempdir()) / "funnelfinder"):
        try:
            (base / name).mkdir(parents=True, exist_ok=True)
        except OSError:
            continue
        if os.access(base / name, os.W_OK):
            return base / name
    return Path(tempfile.mkdtemp(prefix="funnelfinder-"))


os.environ.setdefault("NUMBA_CACHE_DIR", str(_cache_folder()))
