"""The lessons: one file each, with its scenes and exercises; the notebooks show them. Each is loaded when asked for."""

from pkgutil import iter_modules

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(__name__, [one.name for one in iter_modules(__path__)])
