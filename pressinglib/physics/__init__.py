"""How players and the ball move: running, passing, lanes, shadows, control, the offside line."""

from pressinglib.physics.ball import ball_speed, ball_time, loft, lofted_time, rolling_time
from pressinglib.physics.braking import braked_arrival_time, braking_distance, speed_on_arrival
from pressinglib.physics.control import control_probability, control_shares, interception_probability
from pressinglib.physics.lanes import (
    gap_limit,
    lane_margins,
    lane_state,
    rest_lane_margins,
    shadow_half_angle,
    shadowed,
)
from pressinglib.physics.motion import arrival_time, reached_xy, rest_arrival_time
from pressinglib.physics.offside import offside_line_m, offside_line_x

__all__ = [
    "arrival_time",
    "ball_speed",
    "ball_time",
    "braked_arrival_time",
    "braking_distance",
    "control_probability",
    "control_shares",
    "gap_limit",
    "interception_probability",
    "lane_margins",
    "lane_state",
    "loft",
    "lofted_time",
    "offside_line_m",
    "offside_line_x",
    "reached_xy",
    "rest_arrival_time",
    "rest_lane_margins",
    "rolling_time",
    "shadow_half_angle",
    "shadowed",
    "speed_on_arrival",
]
