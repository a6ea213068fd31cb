"""What is remembered of a person."""

from pathlib import Path

import platformdirs

from ui.remembered import (
    Layer,
    Preferences,
    Recent,
    load_preferences,
    recent_properties,
    remember_property,
    save_preferences,
)


def test_preferences_come_back() -> None:
    mine = Preferences(units="metric", text_scale=1.3).with_layer("slope", Layer(strength=0.4))
    save_preferences(mine)
    assert load_preferences() == mine


def test_a_damaged_file_means_the_usual() -> None:
    save_preferences(Preferences(units="metric"))
    folder = Path(platformdirs.user_data_dir("funnelfinder", appauthor=False))
    (folder / "preferences.json").write_text('{"layers": 7}')
    assert load_preferences() == Preferences()
    (folder / "recent.json").write_text("[1, 2")
    assert recent_properties() == ()


def test_the_newest_property_is_first_and_lost_files_are_left_out(tmp_path: Path) -> None:
    for name in ("a", "b", "gone"):
        path = tmp_path / f"{name}.gpkg"
        path.touch()
        remember_property(
            Recent(path=str(path), name=name, acres=10, when="2026-11-03T20:41", step="Marks")
        )
    (tmp_path / "gone.gpkg").unlink()
    assert [one.name for one in recent_properties()] == ["b", "a"]
