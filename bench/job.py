"""The whole main job on files, its redraws, and trips that follow a moved bed."""

from __future__ import annotations

import resource
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.place import Files, bench_property, moved, write_files


@dataclass(frozen=True, kw_only=True)
class Job:
    """Times of one property [s], its peak memory [bytes], and what a second run skipped."""

    cells: int
    whole_s: float
    redraws_s: float
    again_s: float
    follow_s: float
    coarse_s: float
    memory: int
    stages: tuple[str, ...]


def job(n: int, cell_m: float, n_redraws: int) -> Job:
    """Return the times of a property of n × n cells; meant for a process of its own.

    A run on tiny ground comes first, so that imports and compiled code are warm.
    """
    with tempfile.TemporaryDirectory() as folder:
        _whole(Path(folder), 400, 5.0)
        place, grids, findings, seconds = _whole(Path(folder), n, cell_m)
    from funnelfinder.analysis import Workings, run, walk
    from funnelfinder.analysis.redraws import redraw

    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    redraws_s = 0.0
    if n_redraws:
        redraws_s, _ = timed(
            lambda: redraw(place, grids, findings.clusters, n_redraws=n_redraws, seed=1)
        )
    again_s, again = timed(lambda: run(place, grids, n_redraws=0, previous=findings))
    if again is not findings:
        raise AssertionError("A second run with nothing changed made something anew.")
    work = Workings()
    walk(place, grids, workings=work)
    follow_s = min(
        timed(lambda by=by: walk(moved(place, by), grids, workings=work))[0] for by in (20, 40, 60)
    )
    rough = Workings()
    walk(place, grids, workings=rough, times_coarser=4)
    coarse_s = min(
        timed(lambda by=by: walk(moved(place, by), grids, workings=rough, times_coarser=4))[0]
        for by in (20, 40, 60)
    )
    after = run(moved(place, 20.0), grids, n_redraws=0, workings=work)
    after = run(moved(place, 40.0), grids, n_redraws=0, workings=work)
    return Job(
        cells=n,
        whole_s=seconds,
        redraws_s=redraws_s,
        again_s=again_s,
        follow_s=follow_s,
        coarse_s=coarse_s,
        memory=memory,
        stages=tuple(
            f"{stage.name}: {'skipped' if stage.is_skipped else f'{stage.seconds:.2f} s'}"
            for stage in after.stages
        ),
    )


def _whole(folder: Path, n: int, cell_m: float) -> tuple[Any, Any, Any, float]:
    """Return property, grids, findings and seconds of the job from files to GPX."""
    place, grids = bench_property(n, cell_m)
    files = write_files(place, grids, folder)
    kept = folder / f"bench-{n}.gpkg"
    seconds, (place, grids, findings) = timed(lambda: _files_to_gpx(files, kept, cell_m))
    return place, grids, findings, seconds


def _files_to_gpx(files: Files, kept: Path, cell_m: float) -> tuple[Any, Any, Any]:
    """Do what the commands do, from the boundary to the points."""
    from funnelfinder.analysis import run
    from funnelfinder.defaults import with_setting
    from funnelfinder.files.grids_in import read_grids
    from funnelfinder.files.outlines_in import read_boundary, read_marks
    from funnelfinder.files.property_file import create, save_findings, save_grids
    from funnelfinder.files.take_along import write_points
    from funnelfinder.marks import Property

    outline = read_boundary(files.boundary)
    bare = Property(name="Bench", epsg=outline.epsg, boundary=outline.outline)
    bare = replace(bare, settings=with_setting(bare.settings, "travel-cell", f"{cell_m:g}"))
    marks, _ = read_marks(files.marks, epsg=bare.epsg)
    grids, table = read_grids(bare, elevation=[files.elevation], cover=[files.cover], legend="nlcd")
    place = replace(bare, marks=marks, cover_table=table)
    create(kept, place)
    save_grids(kept, grids)
    findings = run(place, grids, n_redraws=0)
    save_findings(kept, findings)
    write_points(place, findings, kept.parent / kept.stem, ["gpx"], elevation=grids.elevation)
    return place, grids, findings


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Return the seconds that work took, and its result."""
    begun = time.perf_counter()
    result = work()
    return time.perf_counter() - begun, result


def features(n: int) -> tuple[float, int]:
    """Return the seconds that all detectors take on n × n cells of 1 m, and what they find."""
    from funnelfinder.detectors.registry import find_features, load_detectors
    from funnelfinder.ground import prepare_ground

    detectors, _ = load_detectors()
    place, grids = bench_property(400, 5.0)
    find_features(prepare_ground(place, grids), place, detectors)
    place, grids = bench_property(n // 5, 5.0, parts=5)
    ground = prepare_ground(place, grids)
    seconds, (found, _) = timed(lambda: find_features(ground, place, detectors))
    return seconds, len(found)
