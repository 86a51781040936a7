"""Control of a place: Spearman 2018, Beyond expected goals (published: sigma 0.54 s, lambda 3.99 /s, kappa 1.72).

For players who all arrive at once the equation has the exact limit n_att / (n_att + kappa n_def), computed here.
"""

import pytest

from pressinglib.physics import control_shares


@pytest.mark.parametrize(("attackers", "defenders", "share"), [(1, 1, 0.367647), (2, 1, 0.537634)])
@pytest.mark.parametrize("ball_s", [0.0, 1.0, 4.0])
def test_equal_arrival_times(attackers, defenders, share, ball_s):
    attack, defence = control_shares([1.5] * attackers, [1.5] * defenders, ball_s)
    assert attack == pytest.approx(share, abs=6e-7)
    assert attack + defence == pytest.approx(1.0, abs=1e-12)


def test_offside_attackers_take_no_part():
    """Offside attackers get no control: they are left out of the sum (published)."""
    with_him = control_shares([1.0, float("nan")], [1.4], 0.8)
    assert with_him == control_shares([1.0], [1.4], 0.8)
    assert control_shares([float("nan")], [9.0], 0.8)[0] == 0.0
