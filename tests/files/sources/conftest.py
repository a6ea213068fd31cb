"""A small public world for each test, and a server process that serves it."""

from __future__ import annotations

import pytest

from tests.files.sources.world import World


@pytest.fixture
def world(tmp_path, monkeypatch):
    """An empty world with its server, asked directly whatever proxy is usual here."""
    monkeypatch.setenv("no_proxy", "127.0.0.1")
    folder = tmp_path / "world"
    folder.mkdir()
    made = World(folder)
    yield made
    made.close()
