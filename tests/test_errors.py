"""Errors: the drawing at the head of the module is what the classes are."""

from __future__ import annotations

import inspect
import re

import pytest

from funnelfinder import errors
from funnelfinder.errors import FunnelFinderError, GridError, Stopped


def drawn() -> dict[str, tuple[str, str]]:
    """Each class of the drawing with its parent and the builtin in brackets."""
    parents = {-1: "Exception"}
    found = {}
    for line in (errors.__doc__ or "").splitlines():
        match = re.match(r"^([| `-]*)([A-Z]\w+)(?: \((\w+)\))?$", line)
        if match:
            depth = len(match[1]) // 4
            parents[depth] = match[2]
            found[match[2]] = parents[depth - 1], match[3] or ""
    return found


def test_the_drawing_shows_the_classes():
    classes = {
        name: one
        for name, one in vars(errors).items()
        if inspect.isclass(one) and issubclass(one, Exception)
    }
    shown = drawn()
    assert set(shown) == set(classes)
    for name, (parent, builtin) in shown.items():
        bases = [base.__name__ for base in classes[name].__bases__]
        assert bases == [parent, *([builtin] if builtin else [])]


def test_an_error_says_where_what_and_what_to_do():
    error = GridError("It stops halfway.", where="north.tif", remedy="Copy it again.")
    assert str(error) == "north.tif: It stops halfway. Copy it again."
    assert (error.what, error.where, error.remedy) == (
        "It stops halfway.",
        "north.tif",
        "Copy it again.",
    )
    assert str(FunnelFinderError("Something.")) == "Something."


def test_each_can_be_caught_as_the_builtin_that_it_refines():
    with pytest.raises(ValueError, match=r"bad\.tif"):
        raise GridError("Broken.", where="bad.tif")
    with pytest.raises(RuntimeError):
        raise Stopped("Stopped.")
