"""Who presses, covers, balances and holds the line: the plan of a picture or of many, its rules, faults and measures.

The names are listed in the stub beside this file.
"""

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)
