"""Lesson 00: who goes to the ball, to which side he steers the carrier, and who takes the short pass away.

All scenes are invented. Shapes and heights are common practice.
"""

from pressinglib import Plan, Rulebook, Settings, plan_press, scene
from pressinglib.roles.settings import DUTIES, GUARD_FAR_SIDE
from pressinglib.tables import Table
from pressinglib.teach import Choose, DenyOption, SteerSide, WhoPresses, asks_of, drawn, jobs, side_by_side
from pressinglib.teach.choices import whose_job

ask = asks_of("lesson_00.md")


def who_does_what() -> Table:
    """Everybody's job in the whole press."""
    return jobs(stays_out.plan)


def nearest_beside() -> Table:
    """The plan beside the one in which the nearest goes, whoever he is."""
    anyone = plan_press(who_goes.situation, Rulebook(Settings(pressers="anyone")))
    return side_by_side({"midfield and attack first": who_goes.plan, "the nearest": anyone})


def _far_limit(plan: Plan) -> str:
    return f"He can be {plan.far_side_limit_m or 0.0:.0f} m from his man over there and still get out to a switch."


who_goes = ask("who_goes", drawn("full-back steps up"), WhoPresses())

stays_out = ask("stays_out", scene("worked scene"), Choose, "player",
    whose_job(lambda job: job.duty == DUTIES[GUARD_FAR_SIDE]), far=_far_limit, names_players=False)

which_side = ask("which_side", scene("build-up right"), SteerSide())

place_the_cover = ask("place_the_cover", drawn("one is missing"), DenyOption("8", "6"))

the_switch = ask("the_switch", scene("worked scene").with_ball((26, -30), carrier="3"), WhoPresses())
