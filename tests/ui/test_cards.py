"""Media that are plugged in: found where systems mount them, and only what is mounted."""

from __future__ import annotations

from pathlib import Path

import pytest

from ui.cards import card_at, plugged_in, said_bytes


def test_mounted_media_are_found_two_folders_deep(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("lee/FIELD", "lee/not-mounted", "OLD"):
        (tmp_path / name).mkdir(parents=True)
    mounted = {tmp_path / "lee/FIELD", tmp_path / "OLD"}
    monkeypatch.setattr("os.path.ismount", lambda path: Path(path) in mounted)
    found = plugged_in([tmp_path, tmp_path / "missing"])
    assert [card.name for card in found] == ["FIELD", "OLD"]
    assert all(card.free_bytes > 0 for card in found)


def test_a_plain_folder_is_no_card(tmp_path: Path) -> None:
    assert card_at(tmp_path) is None
    assert card_at(tmp_path / "gone") is None


def test_sizes_are_said_shortly() -> None:
    assert [said_bytes(n) for n in (0, 300, 11_300, 7.1e9)] == [
        "0 KB",
        "under 1 KB",
        "11 KB",
        "7.1 GB",
    ]
