"""The picture: pitch, players, formations, situations and frames, named scenes and scene files."""

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)
