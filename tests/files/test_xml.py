"""XML: what is built, and what is refused."""

from __future__ import annotations

import itertools

import pytest
from lxml import etree

from funnelfinder.files.xml import add, from_bytes, text_of, to_bytes

SPACE = "urn:example"


def test_children_share_the_namespace_of_their_parent():
    root = etree.Element(f"{{{SPACE}}}a", nsmap={None: SPACE})
    add(root, "b", "5 < 6 & more", name="x")
    again = from_bytes(to_bytes(root))
    assert text_of(again, "s:b", {"s": SPACE}) == "5 < 6 & more"
    assert again[0].get("name") == "x"
    assert text_of(again, "s:c", {"s": SPACE}) == ""


@pytest.mark.parametrize("data", [b"", b"plain text", b"<a><b></a>", b"\xff\xfe"])
def test_what_is_no_xml_is_refused(data):
    with pytest.raises(ValueError, match=r"."):
        from_bytes(data)


def test_a_bomb_of_entities_does_not_go_off():
    """Entities that name each other ten times over (the "billion laughs")."""
    names = "abcdefgh"
    inner = "".join(
        f'<!ENTITY {name} "{f"&{before};" * 10}">' for before, name in itertools.pairwise(names)
    )
    bomb = f'<!DOCTYPE r [<!ENTITY a "laugh">{inner}]><r>&h;</r>'.encode()
    try:
        text = from_bytes(bomb).findtext(".") or ""
    except ValueError:
        text = ""
    assert len(text) < 1000
