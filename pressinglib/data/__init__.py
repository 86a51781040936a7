"""Many frames: tracking data read into the arrays that the rules work on."""

from pressinglib.data.read_tracking import read_tracking
from pressinglib.data.tracking import Team, Tracking

__all__ = ["Team", "Tracking", "read_tracking"]
