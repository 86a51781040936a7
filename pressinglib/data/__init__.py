"""Many frames: tracking data read into the arrays that the rules work on."""

from pressinglib.data.compare_match import compare_match
from pressinglib.data.declared import Declared
from pressinglib.data.find_moments import Moment, Question, find_moments
from pressinglib.data.match_folder import open_match, save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.phases import Phase, find_phases
from pressinglib.data.plan_match import plan_match, read_plans
from pressinglib.data.possession import Possession, possession
from pressinglib.data.read_common import read_common
from pressinglib.data.read_long import read_long
from pressinglib.data.read_tracking import read_tracking
from pressinglib.data.report import Problem, Report
from pressinglib.data.tracking import Team, Tracking
from pressinglib.data.write_common import write_common
from pressinglib.data.write_long import write_long

__all__ = [
    "Declared", "MatchPlan", "Moment", "Phase", "Possession", "Problem", "Question", "Report", "Team", "Tracking",
    "compare_match", "find_moments", "find_phases", "open_match", "plan_match", "possession", "read_common",
    "read_long", "read_plans", "read_tracking", "save_match", "write_common", "write_long",
]
