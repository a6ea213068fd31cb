"""What GPX and KML share: building and reading XML without following what a file points to."""

from __future__ import annotations

from typing import Final

from lxml import etree

_READER: Final = {"resolve_entities": False, "no_network": True, "remove_blank_text": True}


def add(
    parent: etree._Element, tag: str, text: str | None = None, /, **attributes: str
) -> etree._Element:
    """Add a child in the namespace of its parent, with text and attributes; return it."""
    space = etree.QName(parent).namespace
    child = etree.SubElement(parent, f"{{{space}}}{tag}", attrib=attributes)
    if text is not None:
        child.text = text
    return child


def to_bytes(root: etree._Element) -> bytes:
    """Return the document as UTF-8, indented, with its declaration."""
    return bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True))


def from_bytes(data: bytes) -> etree._Element:
    """Return the root of a document.

    Raises
    ------
    ValueError
        If it is no well-formed XML.
    """
    try:
        return etree.fromstring(data, etree.XMLParser(**_READER))
    except etree.XMLSyntaxError as error:
        raise ValueError(str(error)) from error


def text_of(parent: etree._Element, path: str, spaces: dict[str, str]) -> str:
    """Return the text of the first element on a path, empty where there is none."""
    return str(parent.findtext(path, default="", namespaces=spaces) or "")
