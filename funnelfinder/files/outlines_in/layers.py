"""The layers of a vector file: geometry in two dimensions, with columns in lower case."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import geopandas
import numpy as np
import pyogrio
import pyproj
import shapely
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError
from shapely.geometry import LineString, MultiLineString

from funnelfinder.errors import MarkError
from funnelfinder.files.outlines_in.safe_copies import Form, SafeCopy, safe_copies

_FOREIGN = (
    DataSourceError,
    DataLayerError,
    FeatureError,
    FieldError,
    GeometryError,
    shapely.errors.ShapelyError,
    pyproj.exceptions.ProjError,
    UnicodeError,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of a file.

    ``name`` is the layer or folder; ``is_gps`` means that it is one of the fixed layers of GPX,
    whose name says nothing about what was marked. Rows of ``frame`` without geometry are left
    out, ``n_broken`` of them; ``crs`` is where the rest lies.
    """

    name: str
    frame: geopandas.GeoDataFrame
    is_gps: bool
    n_broken: int
    crs: pyproj.CRS


def read_layers(path: Path) -> list[Layer]:
    """Return the layers of a vector file that hold geometry.

    Raises
    ------
    MarkError
        If the file is missing, of no known form, damaged or dangerous, holds no geometry, or does
        not say where on earth it lies.
    """
    with safe_copies(path) as copies:
        layers = [layer for copy in copies for layer in _layers_of(copy, path.name)]
    if not layers:
        raise MarkError(
            "It holds no outlines, lines or points.", where=path.name, remedy="Check the file."
        )
    return layers


def _layers_of(copy: SafeCopy, name: str) -> Iterator[Layer]:
    """Yield the layers of one checked copy."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)  # rings left open: they are closed
            frames = list(_frames(copy))
    except _FOREIGN as error:
        raise MarkError(
            "It cannot be read: it is damaged, or was copied in part.",
            where=name,
            remedy="Copy or export it again.",
        ) from error
    for layer_name, frame in frames:
        empty = frame.geometry.isna() | frame.geometry.is_empty
        full = frame[~empty]
        if len(full):
            yield Layer(
                name=layer_name,
                frame=full,
                is_gps=copy.form is Form.GPX,
                n_broken=int(empty.sum()),
                crs=_checked_place(full, layer_name, name),
            )


def _frames(copy: SafeCopy) -> Iterator[tuple[str, geopandas.GeoDataFrame]]:
    """Yield name and rows of each layer of a copy that can hold geometry."""
    if copy.form is Form.SHAPEFILE:
        # An index of records that got lost is made anew, beside the copy.
        pyogrio.set_gdal_config_options({"SHAPE_RESTORE_SHX": True})
    try:
        layers = list(pyogrio.list_layers(copy.path))
        for number, (name, geometry_type) in enumerate(layers):
            if geometry_type is None or (copy.form is Form.GPX and name.endswith("_points")):
                continue
            frame = _frame(copy.path, number)
            if copy.form is Form.GPX and name == "tracks":
                points = _frame(copy.path, [one for one, _ in layers].index("track_points"))
                frame = frame.set_geometry(np.array(_track_lines(frame, points)), crs=points.crs)
            yield str(name), frame
    finally:
        pyogrio.set_gdal_config_options({"SHAPE_RESTORE_SHX": None})


def _frame(path: Path, number: int) -> geopandas.GeoDataFrame:
    """Return the rows of a layer, columns in lower case, the first of equal ones."""
    frame = pyogrio.read_dataframe(path, layer=number, force_2d=True, on_invalid="fix")
    frame.columns = [str(column).lower() for column in frame.columns]
    frame = frame.loc[:, ~frame.columns.duplicated()]
    return geopandas.GeoDataFrame(frame, geometry="geometry", crs=frame.crs)


def _track_lines(
    tracks: geopandas.GeoDataFrame, points: geopandas.GeoDataFrame
) -> list[MultiLineString | None]:
    """Return the lines of tracks from their points; segments of one point are left out."""
    lines: list[MultiLineString | None] = []
    for number in range(len(tracks)):
        own = points[points["track_fid"] == number]
        segments = [
            LineString(shapely.get_coordinates(part.geometry.to_numpy()))
            for _, part in own.groupby("track_seg_id")
            if len(part) > 1
        ]
        lines.append(MultiLineString(segments) if segments else None)
    return lines


def _checked_place(frame: geopandas.GeoDataFrame, layer_name: str, name: str) -> pyproj.CRS:
    """Return where rows lie; `MarkError` if they do not say so, or cannot lie there."""
    points = shapely.get_coordinates(frame.geometry.to_numpy())
    if not np.isfinite(points).all():
        raise MarkError(
            f"The layer {layer_name} holds points that are no numbers.",
            where=name,
            remedy="Draw or export it again.",
        )
    if frame.crs is None:
        raise MarkError(
            "It does not say where on earth it lies.",
            where=name,
            remedy="Give it with its .prj file, or export it as GeoPackage, KML or GeoJSON.",
        )
    is_off = (np.abs(points) > (360.0, 90.0)).any(axis=1)
    if frame.crs.is_geographic and is_off.any():
        x, y = points[is_off][0]
        raise MarkError(
            f"Its map system is in degrees, but points such as {x:g}, {y:g} are not.",
            where=name,
            remedy="Export it again with the right coordinate reference system.",
        )
    return frame.crs
