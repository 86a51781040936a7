from .ball_possession import Phase, Possession, find_phases, possession
from .common_tracking import read_common
from .coordinates import METRES, Coordinates, Problem, Report
from .long_table import read_long
from .match_folder import open_match, save_match
from .match_plan import MatchPlan
from .match_planning import Moment, Question, find_moments, plan_match, read_plans
from .match_statistics import Share, compare_match, fault_rates, first_presser, spot_adherence
from .season import plan_season, read_season, rulebook_of, trends
from .tracking import Team, Tracking
from .without_ball import TeamReport, team_report

__all__ = [
    "METRES", "Coordinates", "MatchPlan", "Moment", "Phase", "Possession", "Problem", "Question", "Report", "Share",
    "Team", "TeamReport", "Tracking", "compare_match", "fault_rates", "find_moments", "find_phases", "first_presser",
    "open_match", "plan_match", "plan_season", "possession", "read_common", "read_long", "read_plans", "read_season",
    "rulebook_of", "save_match", "spot_adherence", "team_report", "trends",
]
