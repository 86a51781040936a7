"""The table beside the board: who, role, duty, mark and why, as HTML in which every word is escaped."""

from __future__ import annotations

from html import escape

from pressinglib.roles.plan import Assignment, Plan
from pressinglib.show.look import INK, QUIET, ROLES

HEAD = "<tr>{}</tr>".format("".join(f'<th scope="col">{word}</th>' for word in ("No.", "Role", "Duty, why")))
ROW = """<tr><th scope="row">{number}</th><td style="color:{colour};font-weight:bold;white-space:nowrap">{letter}</td>
<td>{duty}<br><span style="color:{quiet};font-size:90%">{why}</span></td></tr>"""
ORDER = tuple(ROLES)


def duties_html(plan: Plan) -> str:
    """Rows of the plan, presser first.

    Examples
    --------
    >>> from pressinglib.field.situation import Situation
    >>> from pressinglib.roles.plan import plan_press
    >>> duties_html(plan_press(Situation.line_up(ball_xy=(35, 10)))).count('scope="row"')
    11
    """
    jobs = sorted(plan.assignments.values(), key=lambda job: ORDER.index(job.role))
    style = f"color:{INK};text-align:left;line-height:1.3;border-spacing:6px 3px"
    return f'<table class="pressing-duties" style="{style}">{HEAD}{"".join(map(_row, jobs))}</table>'


def _row(job: Assignment) -> str:
    role = ROLES[job.role]
    return ROW.format(number=escape(job.number), letter=f"{role.letter} {role.word}", colour=role.colour, quiet=QUIET,
                      duty=escape(job.duty), why=escape(job.reason))
