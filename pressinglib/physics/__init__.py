"""How players and the ball move: running, passing, lanes, shadows, pressure, control, space, the offside line."""

from pressinglib.physics.ball import ball_speed, ball_time, loft, lofted_time, rolling_time
from pressinglib.physics.braking import braked_arrival_time, braking_distance, speed_on_arrival
from pressinglib.physics.control import control_probability, control_shares, interception_probability
from pressinglib.physics.influence import influence, influence_radius, influence_share
from pressinglib.physics.lane_shapes import in_cone, in_corridor, lane_coverage, pass_coverage, reception_index
from pressinglib.physics.lanes import (
    gap_limit,
    lane_margins,
    lane_state,
    rest_lane_margins,
    shadow_half_angle,
    shadowed,
)
from pressinglib.physics.motion import arrival_time, reached_xy, rest_arrival_time
from pressinglib.physics.motion_models import MotionModel, accelerate_then_cruise, drive_minus_drag, react_then_run
from pressinglib.physics.offside import offside_line_m, offside_line_x
from pressinglib.physics.pressure import least_arrival, total_oval, total_pressure
from pressinglib.physics.pressure_zones import goal_oval, oval_pressure, oval_reach, zone_pressure
from pressinglib.physics.reach_chance import chance_to_reach, joint_chance, time_to_reach
from pressinglib.physics.space import ControlField, control_at, control_field, first_there, grid

__all__ = [
    "ControlField",
    "MotionModel",
    "accelerate_then_cruise",
    "arrival_time",
    "ball_speed",
    "ball_time",
    "braked_arrival_time",
    "braking_distance",
    "chance_to_reach",
    "control_at",
    "control_field",
    "control_probability",
    "control_shares",
    "drive_minus_drag",
    "first_there",
    "gap_limit",
    "goal_oval",
    "grid",
    "in_cone",
    "in_corridor",
    "influence",
    "influence_radius",
    "influence_share",
    "interception_probability",
    "joint_chance",
    "lane_coverage",
    "lane_margins",
    "lane_state",
    "least_arrival",
    "loft",
    "lofted_time",
    "offside_line_m",
    "offside_line_x",
    "oval_pressure",
    "oval_reach",
    "pass_coverage",
    "react_then_run",
    "reached_xy",
    "reception_index",
    "rest_arrival_time",
    "rest_lane_margins",
    "rolling_time",
    "shadow_half_angle",
    "shadowed",
    "speed_on_arrival",
    "time_to_reach",
    "total_oval",
    "total_pressure",
    "zone_pressure",
]
