"""Makes the whole field sheet and writes it, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.declination import lon_lat_deg
from funnelfinder.errors import ExportError
from funnelfinder.files.field_sheet.maps import draw_close_up, draw_overview
from funnelfinder.files.field_sheet.on_foot import OnFoot, way_lines
from funnelfinder.files.field_sheet.pages import EDGE_PT, Flow, PagesPen
from funnelfinder.files.map_picture import Paper
from funnelfinder.files.map_picture.layout import PAPER_SIDES
from funnelfinder.files.map_picture.pens import Face
from funnelfinder.files.map_picture.rim import zone_words
from funnelfinder.files.whole_file import write_whole
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.plan import Plan, Task, WayIn, walk_words
from funnelfinder.scrapes import Cluster
from funnelfinder.season import BRANCH_WORDS, KEEPING, Action, said_about, said_day, words_for
from funnelfinder.units import said_share

#: A walk keeps so much of a page, so that its day is not parted from its first task [pt].
_WALK_ROOM_PT: Final = 52.0
_ALWAYS: Final = ("permission in writing", "telephone, light, compass", "harness", "tick repellent")
_CARRY: Final = {
    Action.OPEN: ("rubber gloves", "rake or stick", "hand pruner", "tape for the branch's height"),
    Action.ADD: ("rubber gloves", "rake or stick", "hand pruner", "tape for the branch's height"),
    Action.FRESHEN: ("rubber gloves",),
    Action.HANG_CAMERA: ("camera, card, fresh batteries", "strap"),
    Action.CHECK_CAMERA: ("spare card and batteries", "rubber gloves"),
    Action.MOVE_CAMERA: ("spare card and batteries", "strap"),
    Action.HANG_STAND: (
        "stand or ladder, straps, haul line",
        "hand saw, glasses",
        "a second person",
    ),
    Action.SIT: ("licence and tags", "haul line"),
    Action.MOVE_SCRAPE: ("rubber gloves", "rake or stick"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WindRow:
    """One row of a cluster's wind table: where the wind comes from, and what that means."""

    wind_from: str
    words: str


def draw_sheet(
    place: Property,
    grids: Grids,
    findings: Findings,
    path: Path,
    *,
    plan: Plan | None = None,
    winds: Mapping[int, Sequence[WindRow]] | None = None,
    on_foot: OnFoot | None = None,
    paper: Paper = Paper.LETTER,
    on: date,
) -> None:
    """Write the field sheet of a property as PDF.

    Parameters
    ----------
    place, grids, findings
        The property and what a run found.
    path : Path
        Where to write; ends in ``.pdf``.
    plan : Plan, optional
        The season's work; without it the pages have no dated work.
    winds : mapping of int to sequence of WindRow, optional
        Wind tables by number of cluster.
    on_foot : OnFoot, optional
        Ways in and stands; without them straight bearings lead from the nearest way in.
    paper : Paper
        Letter or A4.
    on : date
        The day that magnetic bearings hold for.

    Raises
    ------
    ExportError
        If the paper is another, or the file cannot be written.
    """
    if path.suffix.lower() != ".pdf" or paper not in (Paper.LETTER, Paper.A4):
        raise ExportError(
            "A field sheet is a PDF file on letter or A4 paper.",
            where=str(path),
            remedy="End its name in .pdf and choose letter or a4.",
        )
    pen = PagesPen(*PAPER_SIDES[paper], title=f"{place.name}: field sheet")
    on_foot = on_foot or OnFoot()
    draw_overview(pen, place, grids, findings, on_foot)
    if plan is not None:
        pen.next_page()
        _season_page(pen, place, plan)
    for cluster in findings.clusters:
        pen.next_page()
        flow = _begun(pen, f"{place.name}, cluster {cluster.number} {cluster.name}".strip())
        flow.y = draw_close_up(pen, place, grids, findings, cluster, on_foot=on_foot, top=flow.y)
        _cluster_words(flow, place, cluster, on_foot.ways.get(cluster.number), on)
        if winds and cluster.number in winds:
            flow.heading("Wind")
            for row in winds[cluster.number]:
                flow.line(f"{row.wind_from}: {row.words}")
        _cluster_work(flow, plan, cluster)
        flow.foot()
    write_whole(path, pen.finished())


def _begun(pen: PagesPen, title: str) -> Flow:
    """Return the text of a page with its title written."""
    flow = Flow(pen=pen, running=title, y=EDGE_PT - 8)
    flow.line(title, size=16.0, face=Face.SERIF, after=2.0)
    return flow


def _season_page(pen: PagesPen, place: Property, plan: Plan) -> None:
    """Write law and health, the phases, and how often each area is entered."""
    flow = _begun(pen, f"{place.name}, the season")
    flow.heading("Law and health first")
    for words in plan.cautions:
        flow.line(words)
    flow.heading(f"Phases, peak breeding about {said_about(plan.peak_on)} {plan.peak_on.year}")
    for span in plan.phases[1:]:
        words = words_for(span.phase).words
        flow.line(f"{span.phase.value.capitalize()}, from {said_about(span.first)}: {words}")
    flow.heading("At every scrape")
    flow.line(BRANCH_WORDS)
    if any(KEEPING in task.words for task in plan.tasks):
        flow.line(KEEPING)
    flow.heading("How often each area is entered")
    for area, count in plan.entries.items():
        names = ", ".join(spot.label for spot in plan.spots if spot.area == area)
        flow.line(f"Area {area} ({names}): {count} {'day' if count == 1 else 'days'}")
    if plan.notes:
        flow.heading("Notes")
        for note in plan.notes:
            flow.line(note)
    flow.foot()


def _cluster_words(
    flow: Flow, place: Property, cluster: Cluster, way: WayIn | None, on: date
) -> None:
    """Write why a cluster is there, where, and how to get to it."""
    share = f"{said_share(cluster.share)} {cluster.trips}"
    told = "" if share in cluster.why else f", {share} of the model"
    flow.line(f"{cluster.kind.value.capitalize()}{told}. {cluster.why}")
    flow.heading("Where, and how to get there")
    for line in (*_place_lines(place, cluster), *way_lines(place, cluster, way, on)):
        flow.line(line)


def _place_lines(place: Property, cluster: Cluster) -> Iterator[str]:
    """Yield the coordinates of scrapes and camera."""
    named = [(f"Scrape {chr(65 + k)}", at) for k, at in enumerate(cluster.scrapes_m)]
    for name, (x_m, y_m) in [*named, ("Camera", cluster.camera_m)]:
        lon, lat = lon_lat_deg(np.array([[x_m, y_m]]), place.epsg)[0]
        zone = zone_words(place.epsg)
        yield f"{name}: {zone} {x_m:.0f} E {y_m:.0f} N; {lat:.5f}, {lon:.5f}"


def _cluster_work(flow: Flow, plan: Plan | None, cluster: Cluster) -> None:
    """Write what to carry and the dated work with tick boxes, law first."""
    if plan is None:
        return
    walks = [
        (walk, [task for task in walk.tasks if task.spot.number == cluster.number])
        for walk in plan.walks
    ]
    walks = [(walk, tasks) for walk, tasks in walks if tasks]
    flow.heading("Law and health first")
    flow.line(" ".join(plan.cautions[:2]), size=8.5)
    flow.heading("Carry")
    every = [task for _, tasks in walks for task in tasks]
    carried = [*_ALWAYS, *(thing for task in every for thing in _CARRY.get(task.action, ()))]
    flow.line(", ".join(dict.fromkeys(carried)) + ".")
    flow.heading("Work (about: a week either way)")
    if not walks:
        flow.line("Nothing is planned here; see the notes of the season.")
    said: set[str] = set()
    for walk, tasks in walks:
        flow.room(_WALK_ROOM_PT)
        flow.line(
            f"{said_day(walk.on)}: {walk_words(walk, with_lengths=False)}",
            face=Face.SEMIBOLD,
            size=9.0,
            after=0.0,
        )
        for task in tasks:
            flow.line(_task_line(task, said), size=9.0, indent=8.0, has_box=True)


def _task_line(task: Task, said: set[str]) -> str:
    """Return a task; its words are written in full only the first time."""
    scent = f" Scent: {task.scent}." if task.scent else ""
    name = task.action.value.capitalize()
    if task.words in said:
        return f"{name}, as before ({task.rule}).{scent}"
    said.add(task.words)
    words = task.words.replace(BRANCH_WORDS, "").replace(KEEPING, "").strip()
    return f"{name} ({task.rule}): {words}{scent}"
