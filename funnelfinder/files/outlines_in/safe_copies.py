"""Copies of a vector file in a folder of their own, after a look at what they really are.

The form is told by a file's first bytes, not by its name, so that nothing reaches a reader that
was not checked for it. XML with a document type is refused, because its entities can swell to
gigabytes or pull in other files; archives are unpacked up to a limit and never out of their folder.
"""

from __future__ import annotations

import json
import shutil
import stat
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from pathlib import Path, PurePosixPath
from typing import Any, Final

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser, ParseError

from funnelfinder.errors import MarkError

#: Most bytes that an archive may unpack to, and most files in it (judgement).
MOST_UNPACKED: Final = 500_000_000
MOST_MEMBERS: Final = 5_000
#: Deepest nesting of XML; folders in folders seldom pass ten.
MOST_NESTED: Final = 100

_CHUNK: Final = 1 << 20
_HEAD: Final = 512
_SHAPEFILE: Final = b"\x00\x00\x27\x0a"
_PARTS: Final = frozenset({".shp", ".shx", ".dbf", ".prj", ".cpg"})
_DATASETS: Final = frozenset({".shp", ".gpkg", ".geojson", ".json", ".kml", ".gpx"})
_GEOJSON_TYPES: Final = frozenset(
    {
        "FeatureCollection",
        "Feature",
        "GeometryCollection",
        *("Point", "LineString", "Polygon", "MultiPoint", "MultiLineString", "MultiPolygon"),
    }
)
_KNOWN: Final = "Give a GeoPackage, GeoJSON, KML, KMZ, GPX or shapefile (zipped or bare)."


class Form(Enum):
    """What a vector file is; the value is the suffix of its copy."""

    GEOPACKAGE = ".gpkg"
    GEOJSON = ".geojson"
    KML = ".kml"
    GPX = ".gpx"
    SHAPEFILE = ".shp"


@dataclass(frozen=True, slots=True, kw_only=True)
class SafeCopy:
    """A checked copy of a vector file."""

    path: Path
    form: Form


@contextmanager
def safe_copies(path: Path) -> Iterator[list[SafeCopy]]:
    """Copy a vector file, or what an archive holds, into a folder that is removed afterwards.

    Raises
    ------
    MarkError
        If it is missing, of no known form, or dangerous.
    """
    if not path.is_file():
        raise MarkError("There is no such file.", where=str(path), remedy="Check its name.")
    with tempfile.TemporaryDirectory(prefix="funnelfinder-") as folder:
        try:
            copies = _copied(path, Path(folder))
        except OSError as error:
            raise MarkError(
                f"It cannot be read: {error.strerror or error}.",
                where=path.name,
                remedy="Check that you may read it.",
            ) from error
        yield copies


def _copied(path: Path, folder: Path) -> list[SafeCopy]:
    """Return checked copies of a file."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
    if not head:
        raise MarkError("The file is empty.", where=path.name, remedy="Copy it again.")
    if head.startswith(b"PK"):
        return _unpacked(path, folder)
    form = _form(path, head, path.name)
    target = folder / f"{path.stem}{form.value}"
    shutil.copyfile(path, target)
    if form is Form.SHAPEFILE:
        _copy_parts(path, target)
    if form is Form.GEOPACKAGE and (log := path.with_name(path.name + "-wal")).is_file():
        shutil.copyfile(log, target.with_name(target.name + "-wal"))
    return [SafeCopy(path=target, form=form)]


def _copy_parts(path: Path, target: Path) -> None:
    """Copy the other parts of a bare shapefile beside its copy."""
    for part in path.parent.iterdir():
        suffix = part.suffix.lower()
        if suffix in _PARTS - {".shp"} and part.stem.lower() == path.stem.lower():
            shutil.copyfile(part, target.with_suffix(suffix))


def _form(path: Path, head: bytes, name: str) -> Form:
    """Return what a file is by its first bytes, after the check that its form needs."""
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if head.startswith(b"SQLite format 3\x00"):
        return Form.GEOPACKAGE
    if head.startswith(_SHAPEFILE) and path.suffix.lower() == ".shp":
        return Form.SHAPEFILE
    if text.startswith(b"{"):
        _check_geojson(path, name)
        return Form.GEOJSON
    if text.startswith(b"<") or head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _xml_form(path, name)
    if path.suffix.lower() in _PARTS:
        raise MarkError(
            "It is no shapefile, or only a part of one.",
            where=name,
            remedy="Give the file that ends in .shp; its other parts lie beside it.",
        )
    raise MarkError("It holds no outlines that can be read.", where=name, remedy=_KNOWN)


def _check_geojson(path: Path, name: str) -> None:
    """Raise `MarkError` unless a file is GeoJSON."""
    try:
        with path.open("rb") as file:
            content = json.load(file)
    except (ValueError, RecursionError) as error:
        raise MarkError(
            "It begins like GeoJSON, but is damaged or was copied in part.",
            where=name,
            remedy="Copy or export it again.",
        ) from error
    if content.get("type") not in _GEOJSON_TYPES:
        raise MarkError("It is JSON, but no GeoJSON.", where=name, remedy=_KNOWN)


class _Outermost:
    """What an XML parser tells: the outermost tag, and whether the nesting stays sane."""

    def __init__(self) -> None:
        self.tag = ""
        self.depth = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.tag = self.tag or tag
        self.depth += 1
        if self.depth > MOST_NESTED:
            raise DefusedXmlException("nested too deep")

    def end(self, tag: str) -> None:
        self.depth -= 1

    def data(self, text: str) -> None:
        """Leave the text alone."""

    def close(self) -> str:
        return self.tag


def _xml_form(path: Path, name: str) -> Form:
    """Return whether XML is KML or GPX; `MarkError` if it is neither, damaged or dangerous."""
    parser: Any = DefusedXMLParser(target=_Outermost(), forbid_dtd=True)
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK):
                parser.feed(chunk)
        tag = str(parser.close())
    except DefusedXmlException as error:
        raise MarkError(
            "It has a document type, entities or endless nesting, which can do harm.",
            where=name,
            remedy="Export it again as plain KML or GPX.",
        ) from error
    except (ParseError, ValueError, LookupError) as error:
        raise MarkError(
            "It is no whole XML: damaged, or copied in part.",
            where=name,
            remedy="Copy or export it again.",
        ) from error
    forms = {"kml": Form.KML, "gpx": Form.GPX}
    word = tag.rsplit("}", 1)[-1].lower()
    if word not in forms:
        raise MarkError(f"It is XML of another kind ({word}).", where=name, remedy=_KNOWN)
    return forms[word]


def _unpacked(path: Path, folder: Path) -> list[SafeCopy]:
    """Return checked copies of what an archive holds."""
    try:
        with zipfile.ZipFile(path) as archive:
            members = _members(archive, path.name)
            _extract(archive, members, folder, path.name)
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        RuntimeError,  # it wants a password
        NotImplementedError,
        UnicodeError,
    ) as error:
        raise MarkError(
            "The archive cannot be unpacked: damaged, copied in part, or with a password.",
            where=path.name,
            remedy="Copy it again, or unpack it and give what is inside.",
        ) from error
    copies = [copy for copy in (_member_copy(folder / name, path.name) for name in members) if copy]
    if not copies:
        raise MarkError("The archive holds no outlines.", where=path.name, remedy=_KNOWN)
    return copies


def _members(archive: zipfile.ZipFile, name: str) -> dict[str, zipfile.ZipInfo]:
    """Return the members worth unpacking by the name of their copy; `MarkError` on dangers."""
    infos = archive.infolist()
    if len(infos) > MOST_MEMBERS or sum(info.file_size for info in infos) > MOST_UNPACKED:
        raise _too_large(name)
    members: dict[str, zipfile.ZipInfo] = {}
    for info in infos:
        inner = PurePosixPath(info.filename.replace("\\", "/"))
        is_link = stat.S_ISLNK(info.external_attr >> 16)
        if inner.is_absolute() or ".." in inner.parts or ":" in info.filename or is_link:
            raise MarkError(
                f"The archive reaches out of its folder ({info.filename}).",
                where=name,
                remedy="Do not trust it; ask for a plain one.",
            )
        is_junk = "__MACOSX" in inner.parts or inner.name.startswith("._")
        if inner.suffix.lower() in _PARTS | _DATASETS and not is_junk and not info.is_dir():
            members[str(inner.with_suffix(inner.suffix.lower()))] = info
    return _main_kml_only(members) if name.lower().endswith(".kmz") else members


def _main_kml_only(members: dict[str, zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    """Return the main document of a KMZ: doc.kml, else the first (OGC 07-147r2, annex C)."""
    kmls = [name for name in members if name.endswith(".kml")]
    main = "doc.kml" if "doc.kml" in kmls else next(iter(kmls), None)
    return {} if main is None else {main: members[main]}


def _extract(
    archive: zipfile.ZipFile, members: dict[str, zipfile.ZipInfo], folder: Path, name: str
) -> None:
    """Unpack members, counting real bytes: the sizes that an archive states can lie."""
    left = MOST_UNPACKED
    for inner, info in members.items():
        target = folder / inner
        target.parent.mkdir(parents=True, exist_ok=True)
        with archive.open(info) as source, target.open("wb") as out:
            while chunk := source.read(_CHUNK):
                left -= len(chunk)
                if left < 0:
                    raise _too_large(name)
                out.write(chunk)


def _too_large(name: str) -> MarkError:
    """Return the error for an archive that is too large."""
    return MarkError(
        f"The archive unpacks to more than {MOST_UNPACKED // 1_000_000} MB"
        f" or {MOST_MEMBERS:,} files.",
        where=name,
        remedy="Unpack it and give the one file that holds the outlines.",
    )


def _member_copy(path: Path, archive_name: str) -> SafeCopy | None:
    """Return a member as a checked copy, None if it is only a part of another or no outline."""
    if path.suffix not in _DATASETS:
        return None
    with path.open("rb") as file:
        head = file.read(_HEAD)
    name = f"{archive_name}, {path.name}"
    form = _form(path, head, name)
    if form.value != path.suffix:
        path = path.rename(path.with_suffix(form.value))
    return SafeCopy(path=path, form=form)
