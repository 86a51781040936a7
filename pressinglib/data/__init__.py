"""Many frames: tracking data read into the arrays that the rules work on, planned, searched and counted."""

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)
