"""Results that say which model they come from; in every other way they are plain numbers and arrays.

Laws of running differ by almost a factor of two over one pass: whoever shows a time should be able to say whose it is.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike


class NamedArray(np.ndarray[Any, np.dtype[Any]]):
    """An array with a `model`. Parts and views keep the name; what is worked out from it is a plain array.

    Examples
    --------
    >>> times = named([1.5, 2.5], "walking, 2 m/s")
    >>> times[:1].model, times
    ('walking, 2 m/s', array([1.5, 2.5]))
    >>> type(times + 1.0).__name__
    'ndarray'
    """

    model: str = ""

    def __array_finalize__(self, source: Any) -> None:
        self.model = getattr(source, "model", "")

    def __array_wrap__(self, array: Any, context: Any = None, return_scalar: bool = False) -> Any:
        return np.asarray(array)[()]

    def __repr__(self) -> str:
        return repr(np.asarray(self))

    def __reduce__(self) -> Any:
        return named, (np.asarray(self), self.model)


class NamedNumber(np.float64):
    """A float with a `model`; what is worked out from it is a plain number.

    Examples
    --------
    >>> time = named(1.5, "walking, 2 m/s")
    >>> isinstance(time, float), time.model, time
    (True, 'walking, 2 m/s', np.float64(1.5))
    >>> hasattr(time + 1.0, "model")
    False
    """

    model: str = ""

    def __reduce__(self) -> Any:
        return named, (float(self), self.model)


def named(values: ArrayLike, model: str) -> Any:
    """Values with the name of their model.

    Parameters
    ----------
    values : array_like
        What the model gave. It is not copied.
    model : str
        Its name, with its parameters.

    Returns
    -------
    NamedArray, or NamedNumber where there is but one value

    Examples
    --------
    >>> named([1.5], "walking, 2 m/s").model
    'walking, 2 m/s'
    >>> named(1.5, "walking, 2 m/s") == 1.5
    np.True_
    """
    values = np.asarray(values)
    result = values.view(NamedArray) if values.ndim else NamedNumber(values)
    result.model = model
    return result


def from_to(value: Any) -> str:
    """A parameter as a name tells it: a number, or from where to where numbers go.

    Examples
    --------
    >>> from_to(7.80), from_to([7.0, 8.5, 8.0])
    ('7.8', '7 to 8.5')
    >>> from_to([])
    '-'
    """
    if np.ndim(value) == 0:
        return f"{value:g}"
    ends = [f"{end(value):g}" for end in (np.min, np.max)] if np.size(value) else ["-"]
    return " to ".join(dict.fromkeys(ends))
