"""The verbs that run a property and say what was found: run, show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from pathlib import Path

    from funnelfinder.analysis.findings import Findings
    from funnelfinder.ground import Grids, Raster
    from funnelfinder.marks import Property


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("run", epilog="Example: funnelfinder run hollow.gpkg --redraws 20 --seed 1")(run)
    app.command("show", epilog="Example: funnelfinder show hollow.gpkg")(show)


def run(
    place_path: PropertyPath,
    *,
    redraws: Annotated[
        int | None,
        typer.Option(
            min=0, max=200, metavar="N", help="How often all is tried again, 0 to 200; usual 20."
        ),
    ] = None,
    seed: Annotated[
        int, typer.Option(min=0, metavar="N", help="The same seed gives the same findings.")
    ] = 1,
    phase: Annotated[
        str,
        typer.Option(
            metavar="PHASE",
            help="Part of the season: late-summer, early-season, pre-rut, seeking,"
            " peak-breeding, late; or whole. It is kept.",
        ),
    ] = "",
    on: Annotated[
        str,
        typer.Option(
            metavar="DATE", help="The part of the season of this day, as 2026-10-28. It is kept."
        ),
    ] = "",
) -> None:
    """Find pinch points, staging spots and scrape clusters."""
    from funnelfinder.analysis import place_for_phase
    from funnelfinder.analysis import run as run_all
    from funnelfinder.files.property_file import load, save_findings

    if phase and on:
        raise typer.BadParameter("Give --phase or --on, not both.", param_hint="--on")
    if phase or on:
        _keep_phase(place_path, phase or _phase_on(place_path, on))
    kept = load(place_path)
    with telling_progress() as progress:
        findings = run_all(
            place_for_phase(kept.place, kept.place.season.phase),
            kept.grids,
            seed=seed,
            n_redraws=redraws,
            previous=kept.findings,
            progress=progress,
        )
        if findings is not kept.findings:
            save_findings(place_path, findings)
    tell_notes(findings.notes)
    tell(summary(findings))
    tell(f"Next: funnelfinder show {place_path}, or funnelfinder export {place_path} FOLDER")


def _phase_on(place_path: Path, text: str) -> str:
    """Return the part of the season that a day lies in, by the peak that the person set."""
    from funnelfinder.analysis import phase_of_day
    from funnelfinder.errors import InputError
    from funnelfinder.files.property_file import load_place
    from funnelfinder.season import read_day

    place, day = load_place(place_path), read_day(text)
    now = phase_of_day(place, day)
    if not place.peak_breeding or now.phase is None:
        raise InputError(
            "No peak breeding date is set, and the part of the season hangs on it.",
            where=place.name,
            remedy=f"Run: funnelfinder season {place_path} --peak 11-15",
        )
    tell(now.words)
    return now.phase.value


def _keep_phase(place_path: Path, word: str) -> None:
    """Keep the phase that trips are run for."""
    from dataclasses import replace

    from funnelfinder.files.property_file import load_place, save_place

    plain = word.strip().lower().replace("-", " ").replace("_", " ")
    phase = {"whole": "", "pre rut": "pre-rut"}.get(plain, plain)
    place = load_place(place_path)
    if place.season.phase != phase:
        save_place(place_path, replace(place, season=replace(place.season, phase=phase)))


def summary(findings: Findings) -> str:
    """Return what was found in one sentence."""
    from funnelfinder.units import said_share

    tested = f"tried again {findings.n_redraws} times" if findings.n_redraws else "not tested"
    return (
        f"{findings.property_name}: {len(findings.clusters)} scrape clusters that"
        f" {said_share(findings.caught)} {findings.trips} pass,"
        f" {len(findings.pinch_points)} pinch points,"
        f" {len(findings.staging_spots)} staging spots; {tested}."
    )


def show(
    place_path: PropertyPath,
    *,
    json: Annotated[bool, typer.Option("--json", help="As data for other programs.")] = False,
) -> None:
    """Print what was found, why, and how sure it is."""
    from json import dumps

    from funnelfinder.report import findings_json, report_text

    found = loaded_findings(place_path)
    if json:
        facts = findings_json(
            found.place,
            found.findings,
            elevation=found.elevation,
            is_current=found.is_current,
        )
        print(dumps(facts, indent=1, allow_nan=False, ensure_ascii=False))
    else:
        print(report_text(found.place, found.findings, is_current=found.is_current), end="")


@dataclass(frozen=True, kw_only=True)
class Found:
    """A property with its findings, and whether nothing changed since they were found."""

    place: Property
    grids: Grids | None
    findings: Findings
    is_current: bool

    @property
    def elevation(self) -> Raster | None:
        """The elevation, if there are grids."""
        return self.grids.elevation if self.grids else None


def loaded_findings(place_path: Path) -> Found:
    """Return a property with its findings; a note on stderr where they are out of date.

    Raises
    ------
    InputError
        If it was not run yet.
    """
    from funnelfinder.analysis import place_for_phase, run_fingerprint
    from funnelfinder.errors import InputError
    from funnelfinder.files.property_file import load
    from funnelfinder.report import OUT_OF_DATE

    kept = load(place_path)
    findings = kept.findings
    if findings is None:
        raise InputError(
            "It was not run yet, so there is nothing to show.",
            where=str(place_path),
            remedy=f"Run: funnelfinder run {place_path}",
        )
    is_current = kept.grids is not None and findings.fingerprint == run_fingerprint(
        place_for_phase(kept.place, kept.place.season.phase),
        kept.grids,
        seed=findings.seed,
        n_redraws=findings.n_redraws,
    )
    if not is_current:
        tell_notes([f"{OUT_OF_DATE[0].lower()}{OUT_OF_DATE[1:]}"])
    return Found(place=kept.place, grids=kept.grids, findings=findings, is_current=is_current)
