"""One undoable command for each change that a person can make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.defaults import Settings, entries, with_setting
from funnelfinder.errors import SettingError
from funnelfinder.ground import Grids
from funnelfinder.land_cover import CoverTable
from funnelfinder.marks import Mark, MarkKind, Pick, Property
from funnelfinder.season import Visit, WorkRule, zone_of

from .undo import Held

if TYPE_CHECKING:
    from funnelfinder.evidence import CameraLog


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """A change: the deed in words ("move Alder knob"), and what it makes of what is held.

    Edits of the same ``group`` that follow each other are one step of undo.
    """

    name: str
    apply: Callable[[Held], Held]
    group: str = ""


def _on_place(name: str, change: Callable[[Property], Property], *, group: str = "") -> Edit:
    """Return an edit of the property alone."""
    return Edit(name=name, apply=lambda held: replace(held, place=change(held.place)), group=group)


def add_mark(mark: Mark, deed: str = "draw") -> Edit:
    """Draw a mark, or take one that was suggested; ``deed`` is the verb."""
    return _on_place(f"{deed} {mark.label}", lambda place: place.with_mark(mark))


def add_marks(marks: tuple[Mark, ...], file: str) -> Edit:
    """Add the marks of a file; those of the same kind and name are replaced."""
    return _on_place(f"add the marks of {file}", lambda place: place.with_marks(marks))


def remove_mark(mark: Mark) -> Edit:
    """Take a mark away."""
    return _on_place(f"take {mark.label} away", lambda place: place.without_mark(mark.key))


def reshape_mark(mark: Mark, geometry: BaseGeometry, deed: str, *, group: str = "") -> Edit:
    """Move or shape a mark; ``deed`` is the verb."""
    return _on_place(
        f"{deed} {mark.label}",
        lambda place: place.with_mark(replace(mark, geometry=geometry)),
        group=group,
    )


def rename_mark(mark: Mark, name: str) -> Edit:
    """Give a mark another name."""
    return _on_place(
        f"name {name or mark.kind.value}", lambda place: place.with_mark(replace(mark, name=name))
    )


def describe_mark(mark: Mark, what: str, *, group: str = "", **changes: Any) -> Edit:
    """Change what is said of a mark; ``what`` names it ("the use of Alder knob")."""
    return _on_place(
        f"change {what}", lambda place: place.with_mark(replace(mark, **changes)), group=group
    )


def rename_property(name: str) -> Edit:
    """Give the property another name."""
    return _on_place(f"name the property {name}", lambda place: replace(place, name=name))


def set_boundary(boundary: MultiPolygon, deed: str = "shape the boundary") -> Edit:
    """Change the boundary."""
    return _on_place(deed, lambda place: replace(place, boundary=boundary))


def set_setting(name: str, text: str) -> Edit:
    """Change a setting, as a person types it; raises `SettingError` when applied."""
    return _on_place(
        f"set {name} to {text}",
        lambda place: replace(place, settings=with_setting(place.settings, name, text)),
        group=f"setting {name}",
    )


def reset_setting(name: str) -> Edit:
    """Put one setting back to the usual."""

    def change(place: Property) -> Property:
        for entry in entries(place.settings):
            if entry.name == name:
                group = replace(
                    getattr(place.settings, entry.topic), **{entry.attribute: entry.default}
                )
                return replace(place, settings=replace(place.settings, **{entry.topic: group}))
        raise SettingError("There is no setting of that name.", where=name)

    return _on_place(f"put {name} back to the usual", change)


def reset_settings() -> Edit:
    """Put every setting back to the usual."""
    return _on_place(
        "put all settings back to the usual", lambda place: replace(place, settings=Settings())
    )


def set_cover_table(table: CoverTable) -> Edit:
    """Change what cover costs."""
    return _on_place(
        "change the cover table",
        lambda place: replace(place, cover_table=table),
        group="cover table",
    )


def set_detector(name: str, *, is_on: bool) -> Edit:
    """Switch a detector on or off."""

    def change(place: Property) -> Property:
        off = place.detectors_off - {name} if is_on else place.detectors_off | {name}
        return replace(place, detectors_off=frozenset(off))

    return _on_place(f"look for {name}" if is_on else f"leave {name} out", change)


def set_picks(picks: tuple[Pick, ...], deed: str) -> Edit:
    """Take, leave, move or name spots; ``deed`` says what was done."""
    return _on_place(deed, lambda place: replace(place, picks=picks))


def set_peak_breeding(day: str, phase: str = "") -> Edit:
    """Set the peak breeding date as ``MM-DD``, and the phase that trips are run for with it."""

    def change(place: Property) -> Property:
        return replace(place, peak_breeding=day, season=replace(place.season, phase=phase))

    return _on_place("set the peak breeding date", change)


def set_phase(phase: str) -> Edit:
    """Run trips for a phase of the season; empty for the whole season."""
    return _on_place(
        f"look at {phase or 'the whole season'}",
        lambda place: replace(place, season=replace(place.season, phase=phase)),
        group="phase",
    )


def choose_for_season(what: str, **changes: Any) -> Edit:
    """Change a choice for the season; ``what`` names it ("the opening day")."""
    return _on_place(
        f"set {what}", lambda place: replace(place, season=replace(place.season, **changes))
    )


def set_work_table(rules: tuple[WorkRule, ...], deed: str = "change the work table") -> Edit:
    """Change what is done where and when."""
    return _on_place(deed, lambda place: replace(place, season=replace(place.season, rules=rules)))


def set_time_zone(name: str) -> Edit:
    """Set the place's clock; raises `SettingError` when applied where there is none such."""

    def change(place: Property) -> Property:
        if name:
            zone_of(name)
        return replace(place, time_zone=name)

    return _on_place("set the time zone", change)


def write_down(visit: Visit) -> Edit:
    """Add a visit to the log."""
    return Edit(
        name=f"write down {visit.done.value}, {visit.spot}",
        apply=lambda held: replace(held, log=(*held.log, visit)),
    )


def strike_out(number: int, visit: Visit) -> Edit:
    """Take the visit at a place of the log out of it."""
    return Edit(
        name=f"take back {visit.done.value}, {visit.spot}",
        apply=lambda held: replace(held, log=held.log[:number] + held.log[number + 1 :]),
    )


def keep_cameras(cameras: CameraLog, deed: str) -> Edit:
    """Change the camera records; ``deed`` says what was done."""
    return Edit(name=deed, apply=lambda held: replace(held, cameras=cameras))


def take_grids(grids: Grids, table: CoverTable, deed: str = "open the grids") -> Edit:
    """Put grids under the property, with the table of their legend."""

    def apply(held: Held) -> Held:
        # The costs that a person changed stay as long as the legend does.
        kept = held.place.cover_table if held.place.cover_table.legend == table.legend else table
        return replace(held, place=replace(held.place, cover_table=kept), grids=grids)

    return Edit(name=deed, apply=apply)


def core_round(bed: Mark, radius_m: float) -> Edit:
    """Draw the core that is offered round a buck's bed: a circle."""
    core = Mark(
        kind=MarkKind.CORE,
        geometry=bed.geometry.centroid.buffer(radius_m, quad_segs=8),
        name=f"{bed.label} core",
    )
    return add_mark(core)
