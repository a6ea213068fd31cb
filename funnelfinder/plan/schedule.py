"""From rules, spots and log to days: a walk is made only when something can wait no longer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from funnelfinder.plan.spots import Spot
from funnelfinder.season import LIMITS, SCRAPE_ACTIONS, Action, Done, Visit, WorkRule

_DAY: Final = timedelta(days=1)
#: A visit in the log within this distance of a spot is one of that spot (judgement) [m].
AT_SPOT_M: Final = 75.0
#: What a visit in the log fulfils.
_FULFILS: Final = {
    Done.OPENED: (Action.OPEN, Action.ADD),
    Done.FRESHENED: (Action.FRESHEN,),
    Done.CAMERA_HUNG: (Action.HANG_CAMERA,),
    Done.CAMERA_CHECKED: (Action.CHECK_CAMERA,),
    Done.CAMERA_MOVED: (Action.MOVE_CAMERA,),
    Done.STAND_HUNG: (Action.HANG_STAND,),
    Done.SAT: (Action.SIT,),
    Done.MOVED: (Action.MOVE_SCRAPE,),
}
#: Deer seen from afar: nobody was at the spot.
_NO_ENTRY: Final = (Done.SEEN,)


@dataclass(slots=True, kw_only=True)
class _Wish:
    """One rule at one spot: from when it may be done, and until when it must."""

    rule: WorkRule
    spot: Spot
    earliest: date
    latest: date
    last: date


@dataclass(slots=True, kw_only=True)
class Scheduled:
    """What was put on days, and what was left out."""

    done: list[tuple[date, date, Spot, WorkRule]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def is_left_alone(spot: Spot, day: date, peak_on: date, rules: Sequence[WorkRule]) -> bool:
    """Return whether the table says to leave a kind of spot alone on a day."""
    offset = (day - peak_on).days
    return any(
        rule.action is Action.LEAVE
        and spot.kind in rule.at
        and rule.from_day <= offset <= rule.to_day
        for rule in rules
    )


def gap_days(spot: Spot, day: date, peak_on: date, rules: Sequence[WorkRule]) -> int:
    """Return the least number of days between two visits to a spot for work."""
    offset = (day - peak_on).days
    gaps = [
        rule.every_days
        for rule in rules
        if rule.action is Action.GAP
        and spot.kind in rule.at
        and rule.from_day <= offset <= rule.to_day
    ]
    return max(gaps, default=1)


def visits_at(spot: Spot, log: Sequence[Visit]) -> list[Visit]:
    """Return the visits of a log that were at a spot, in order of their days."""
    near = [
        one for one in log if (one.x_m - spot.x_m) ** 2 + (one.y_m - spot.y_m) ** 2 <= AT_SPOT_M**2
    ]
    return sorted(near, key=lambda one: one.on)


class Scheduler:
    """Puts wishes on days for one season.

    Parameters
    ----------
    rules : sequence of WorkRule
        The work table.
    peak_on, first, last : date
        Peak breeding, and the days between which work is planned.
    opens_on : date or None
        No sitting before it, and none at all while it is not known.
    dead_after_days : int
        A scrape gets so long before it is moved.
    """

    def __init__(
        self,
        rules: Sequence[WorkRule],
        *,
        peak_on: date,
        first: date,
        last: date,
        opens_on: date | None,
        dead_after_days: int,
    ) -> None:
        self.rules = rules
        self.peak_on = peak_on
        self.first = first
        self.last = last
        self.opens_on = opens_on
        self.dead_after_days = dead_after_days
        self.out = Scheduled()
        self.late: dict[str, list[str]] = {}
        self.entered: dict[int, list[tuple[date, bool]]] = {}

    def schedule(self, spots: Sequence[Spot], log: Sequence[Visit]) -> Scheduled:
        """Return the work of the season."""
        wishes: list[_Wish] = []
        for spot in spots:
            wishes += self._wishes(spot, visits_at(spot, log))
        day = self.first
        while day <= self.last and wishes:
            wishes = self._one_day(day, wishes)
            day += _DAY
        self.out.notes += [
            f"{label}: too late this season for: {', '.join(rules)}."
            for label, rules in self.late.items()
        ]
        return self.out

    def _wishes(self, spot: Spot, visits: list[Visit]) -> Iterator[_Wish]:
        """Yield what the table asks for at a spot, after what the log says."""
        known = [one for one in visits if one.day <= self.first]
        self.entered[spot.number] = [
            (one.day, one.done is Done.SAT) for one in known if one.done not in _NO_ENTRY
        ]
        season = [one for one in known if (self.peak_on - one.day).days <= 200]
        stopped = self._stopped(spot, season)
        for rule in self.rules:
            if rule.action in LIMITS or spot.kind not in rule.at or rule.action in stopped:
                continue
            if rule.action is Action.SIT and self.opens_on is None:
                continue
            wish = self._wish(rule, spot, season)
            if wish is not None:
                yield wish
        if self._is_dead(spot, season):
            yield self._move(spot)

    def _stopped(self, spot: Spot, season: list[Visit]) -> tuple[Action, ...]:
        """Return what is not done any more after what the log says of a scrape."""
        state = [one.done for one in season if one.done in (Done.TAKEN_OVER, Done.DEAD, Done.MOVED)]
        if not state:
            return ()
        if state[-1] is Done.TAKEN_OVER:
            self.out.notes.append(
                f"{spot.label}: bucks took it over, so its scrapes are left alone."
            )
            return (*SCRAPE_ACTIONS, *((Action.CHECK_CAMERA,) if spot.kind == "staging" else ()))
        if state[-1] is Done.DEAD:
            return SCRAPE_ACTIONS
        self.out.notes.append(f"{spot.label}: moved; run again with the new place to plan it.")
        return SCRAPE_ACTIONS

    def _is_dead(self, spot: Spot, season: list[Visit]) -> bool:
        """Return whether a scrape is dead after it had its weeks."""
        state = [one for one in season if one.done in (Done.TAKEN_OVER, Done.DEAD, Done.MOVED)]
        if not state or state[-1].done is not Done.DEAD:
            return False
        opened = [one.day for one in season if one.done is Done.OPENED]
        if opened and (state[-1].day - opened[0]).days < self.dead_after_days:
            self.out.notes.append(
                f"{spot.label}: called dead too soon; it gets {self.dead_after_days} days."
            )
            return False
        return True

    def _move(self, spot: Spot) -> _Wish:
        """Return the wish to move a dead scrape."""
        rule = WorkRule(
            rule="move a dead scrape",
            action=Action.MOVE_SCRAPE,
            at=(spot.kind,),
            from_day=-200,
            to_day=20,
            hours="11:00-14:00",
            words="Dead after its weeks: give it up, and try the next place that the map shows.",
            source="common practice, no source",
        )
        last = self.peak_on + timedelta(days=rule.to_day)
        return _Wish(rule=rule, spot=spot, earliest=self.first, latest=last, last=last)

    def _wish(self, rule: WorkRule, spot: Spot, season: list[Visit]) -> _Wish | None:
        """Return the first time that a rule is due at a spot, None where it is done or past."""
        begin = self.peak_on + timedelta(days=rule.from_day)
        last = self.peak_on + timedelta(days=rule.to_day)
        if rule.action is Action.SIT and self.opens_on is not None:
            begin = max(begin, self.opens_on)
        same = [one.day for one in season if rule.action in _FULFILS.get(one.done, ())]
        if same and rule.every_days == 0 and max(same) >= begin - timedelta(days=21):
            return None
        earliest = max(begin, self.first)
        if same and rule.every_days:
            earliest = max(earliest, max(same) + timedelta(days=rule.every_days))
        if earliest > last:
            if self.first > last and not same:
                self.late.setdefault(spot.label, []).append(rule.rule)
            return None
        return _Wish(
            rule=rule, spot=spot, earliest=earliest, latest=_latest(rule, earliest, last), last=last
        )

    def _one_day(self, day: date, wishes: list[_Wish]) -> list[_Wish]:
        """Do what must be done on a day, and with it what may be done nearby; return the rest."""
        wishes = [one for one in wishes if not self._is_past(one, day)]
        ready = [one for one in wishes if one.earliest <= day and self._may(one, day)]
        must = {one.spot.area for one in ready if day >= one.latest and not _sits(one)}
        chosen = [
            one for one in ready if (day >= one.latest if _sits(one) else one.spot.area in must)
        ]
        worked = {one.spot.number for one in chosen if not _sits(one)}
        # Nobody works at a spot and sits there on the same day.
        chosen = [one for one in chosen if not _sits(one) or one.spot.number not in worked]
        for one in chosen:
            self.out.done.append((day, one.last, one.spot, one.rule))
            self.entered[one.spot.number].append((day, _sits(one)))
        left = [one for one in wishes if all(one is not other for other in chosen)]
        return left + [again for one in chosen for again in _again(one, day)]

    def _is_past(self, wish: _Wish, day: date) -> bool:
        """Return whether a wish can no longer be done; it is told unless it recurs."""
        if day <= wish.last:
            return False
        if wish.rule.every_days == 0:
            self.out.notes.append(
                f"{wish.spot.label}: no day was left for “{wish.rule.rule}” between other visits."
            )
        return True

    def _may(self, wish: _Wish, day: date) -> bool:
        """Return whether the limits of the table let a spot be entered on a day."""
        if is_left_alone(wish.spot, day, self.peak_on, self.rules):
            return False
        visits = [one for one in self.entered[wish.spot.number] if one[0] < day]
        if _sits(wish):
            return all((day - one).days >= 2 for one, _ in visits)
        gap = gap_days(wish.spot, day, self.peak_on, self.rules)
        return all((day - one).days >= (2 if sat else gap) for one, sat in visits)


def _sits(wish: _Wish) -> bool:
    """Return whether a wish is to hunt, not to work."""
    return wish.rule.action is Action.SIT


def _latest(rule: WorkRule, earliest: date, last: date) -> date:
    """Return until when a rule can wait: recurring work half its interval, other to its end."""
    if rule.every_days == 0:
        return last
    return min(last, earliest + timedelta(days=rule.every_days // 2))


def _again(wish: _Wish, day: date) -> Iterator[_Wish]:
    """Yield the next time of recurring work."""
    earliest = day + timedelta(days=wish.rule.every_days)
    if wish.rule.every_days and earliest <= wish.last:
        yield _Wish(
            rule=wish.rule,
            spot=wish.spot,
            earliest=earliest,
            latest=_latest(wish.rule, earliest, wish.last),
            last=wish.last,
        )
