"""What the window remembers of a person: how to write numbers, and the properties of late.

Nothing here belongs to a property; losing it loses no work, so that a damaged file only means
starting with the usual.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Final

import platformdirs

_MOST_RECENT: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Whether one thing is shown on the map, and how strongly (0 to 1)."""

    is_shown: bool = True
    strength: float = 1.0


#: What Show lists, in order, and how it starts.
LAYERS: Final[dict[str, Layer]] = {
    "relief": Layer(),
    "cover": Layer(),
    "slope": Layer(is_shown=False, strength=0.6),
    "contours": Layer(),
    "picture": Layer(is_shown=False),
    "passage": Layer(),
    "names": Layer(),
    "left out": Layer(is_shown=False),
    "strong lines": Layer(is_shown=False),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Preferences:
    """How a person likes to read: units, form of positions, size of text, what is shown.

    ``source_table`` is a table of sources of the person's own for grids and pictures.
    """

    units: str = "yards"
    position_form: str = "utm"
    text_scale: float = 1.0
    source_table: str = ""
    layers: dict[str, Layer] = field(default_factory=lambda: dict(LAYERS))

    def with_layer(self, name: str, layer: Layer) -> Preferences:
        """Return the preferences with one layer changed."""
        return replace(self, layers={**self.layers, name: layer})


@dataclass(frozen=True, slots=True, kw_only=True)
class Recent:
    """A property that was open: its file, name, acres, when, and how far it was."""

    path: str
    name: str
    acres: float
    when: str
    step: str
    words: str = ""

    @property
    def picture(self) -> Path:
        """Where its small picture is."""
        number = abs(hash_of(self.path))
        return _data_folder() / f"property-{number:016x}.png"


def hash_of(text: str) -> int:
    """Return a number that is the same for a text in every run."""
    value = 1469598103934665603
    for byte in text.encode():
        value = ((value ^ byte) * 1099511628211) % 2**64
    return value


def _data_folder() -> Path:
    """Return the folder of what is remembered."""
    return Path(platformdirs.user_data_dir("funnelfinder", appauthor=False))


def _read(name: str) -> Any:
    """Return what a file of ours holds, or None."""
    try:
        return json.loads((_data_folder() / name).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None


def _write(name: str, thing: Any) -> None:
    """Write a file of ours; a full disk only means that it is not remembered."""
    folder = _data_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        beside = folder / f"{name}.new"
        beside.write_text(json.dumps(thing, indent=1), encoding="utf-8")
        beside.replace(folder / name)
    except OSError:
        return


def load_preferences() -> Preferences:
    """Return what the person chose, or the usual."""
    found = _read("preferences.json")
    if not isinstance(found, dict):
        return Preferences()
    try:
        layers = {**LAYERS, **{k: Layer(**v) for k, v in found.pop("layers", {}).items()}}
        known = {one.name for one in fields(Preferences)}
        return Preferences(layers=layers, **{k: v for k, v in found.items() if k in known})
    except (TypeError, AttributeError):
        return Preferences()


def save_preferences(preferences: Preferences) -> None:
    """Remember what the person chose."""
    _write("preferences.json", asdict(preferences))


def recent_properties() -> tuple[Recent, ...]:
    """Return the properties of late that still exist, newest first."""
    found = _read("recent.json")
    if not isinstance(found, list):
        return ()
    try:
        every = [Recent(**one) for one in found]
    except TypeError:
        return ()
    return tuple(one for one in every if Path(one.path).exists())


def remember_property(recent: Recent) -> None:
    """Put a property first among those of late."""
    rest = [one for one in recent_properties() if one.path != recent.path]
    _write("recent.json", [asdict(one) for one in (recent, *rest)][:_MOST_RECENT])
