"""Exercises that the engine judges, tables and charts to teach with, what a tutor hands out and marks; the lessons.

The names are listed in the stub beside this file; each is loaded when first asked for.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
