"""Many frames: tracking data read into the arrays that the rules work on, planned, searched and counted."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
