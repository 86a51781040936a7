"""The interval that goes with every share counted on match data; scipy's own is the reference."""

import pytest
from scipy.stats import binomtest

from tests.judge.duels import wilson
from tests.outside.check import Check, value_of

SOURCE = (
    "Wilson 1927, Probable inference, 10.1080/01621459.1927.10502953; scipy.stats"
)


def scipys(hits, n):
    interval = binomtest(hits, n).proportion_ci(method="wilson")
    return float(interval.low), float(interval.high)


CHECKS = [
    Check(f"{end} end for {hits} of {n}", "95 % interval", "computed", scipys(hits, n)[i],
          lambda hits=hits, n=n, i=i: wilson(hits, n)[i], 1e-5)
    for hits, n in ((48, 52), (0, 10)) for i, end in enumerate(("lower", "upper"))
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
