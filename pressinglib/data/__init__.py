"""Many frames: tracking data read into the arrays that the rules work on."""

from pressinglib.data.common_format import write_common
from pressinglib.data.declared import Declared, Problem, Report
from pressinglib.data.find_moments import Moment, Question, find_moments
from pressinglib.data.long_table import read_long, write_long
from pressinglib.data.match_folder import open_match, read_tracking, save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.match_statistics import compare_match
from pressinglib.data.plan_match import plan_match, read_plans
from pressinglib.data.possession import Phase, Possession, find_phases, possession
from pressinglib.data.read_common import read_common
from pressinglib.data.tracking import Team, Tracking

__all__ = [
    "Declared", "MatchPlan", "Moment", "Phase", "Possession", "Problem", "Question", "Report", "Team", "Tracking",
    "compare_match", "find_moments", "find_phases", "open_match", "plan_match", "possession", "read_common",
    "read_long", "read_plans", "read_tracking", "save_match", "write_common", "write_long",
]
