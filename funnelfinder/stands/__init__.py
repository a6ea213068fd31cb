"""Stands: from which tree, on which wind, by which way in, and which to sit tonight."""

from funnelfinder.stands.base import StandBase, stand_base
from funnelfinder.stands.choose import Chosen, best_set, choose_set
from funnelfinder.stands.chosen import (
    pick_by_hand,
    pick_of_stand,
    picks_of_spot,
    spot_of,
    stands_for,
)
from funnelfinder.stands.judging import JudgedStand, StandJudge, judge_of, judge_stand
from funnelfinder.stands.sits import Moment, Sit, SitLog, both_ways, rest_factor, sit_of, tonight
from funnelfinder.stands.spots import Stand, find_stands
from funnelfinder.stands.table import WINDS_DEG, WindTable, said_alerted, wind_table
from funnelfinder.stands.walking import WayGround, way_ground
from funnelfinder.stands.ways import Way, ways_to

__all__ = [
    "WINDS_DEG",
    "Chosen",
    "JudgedStand",
    "Moment",
    "Sit",
    "SitLog",
    "Stand",
    "StandBase",
    "StandJudge",
    "Way",
    "WayGround",
    "WindTable",
    "best_set",
    "both_ways",
    "choose_set",
    "find_stands",
    "judge_of",
    "judge_stand",
    "pick_by_hand",
    "pick_of_stand",
    "picks_of_spot",
    "rest_factor",
    "said_alerted",
    "sit_of",
    "spot_of",
    "stand_base",
    "stands_for",
    "tonight",
    "way_ground",
    "ways_to",
    "wind_table",
]
