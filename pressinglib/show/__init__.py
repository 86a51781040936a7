"""Pictures: what to draw as data, the printed picture, pages and films, and the board."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
