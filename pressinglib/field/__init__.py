"""The picture: pitch, players, formations, situations and frames, named scenes and scene files."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
