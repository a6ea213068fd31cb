"""A season's dated work at the chosen spots."""

from funnelfinder.plan.cautions import plan_cautions
from funnelfinder.plan.going_in import LATELY_DAYS, GoingIn, StandWinds, going_in
from funnelfinder.plan.make import make_plan, season_peak
from funnelfinder.plan.schedule import AT_SPOT_M, gap_days, is_left_alone, visits_at
from funnelfinder.plan.spots import Spot, nearest_way_in, spots_of
from funnelfinder.plan.tasks import Plan, Task, Walk
from funnelfinder.plan.ways_in import PlannedWays, WayIn, planned_ways
from funnelfinder.plan.words import plan_text, walk_words

__all__ = [
    "AT_SPOT_M",
    "LATELY_DAYS",
    "GoingIn",
    "Plan",
    "PlannedWays",
    "Spot",
    "StandWinds",
    "Task",
    "Walk",
    "WayIn",
    "gap_days",
    "going_in",
    "is_left_alone",
    "make_plan",
    "nearest_way_in",
    "plan_cautions",
    "plan_text",
    "planned_ways",
    "season_peak",
    "spots_of",
    "visits_at",
    "walk_words",
]
