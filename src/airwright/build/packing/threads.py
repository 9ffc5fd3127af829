"""One BLAS thread while a band is factorised.

The blocks of a narrow band are so small that a threaded BLAS spends its time waking and
waiting: measured on two busy cores, 24 ms where one thread takes 0.4 ms. OpenBLAS reads
its environment variable only when it is loaded, so it is told through its own function;
where another BLAS is linked the function is missing and nothing happens.
"""

import ctypes
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

_PREFIXES = ("scipy_openblas", "openblas")
_SUFFIXES = ("", "64_")


@cache
def _library() -> tuple[ctypes.CDLL, str, str] | None:
    from scipy.linalg import lapack

    try:
        library = ctypes.CDLL(lapack._flapack.__file__)
    except (AttributeError, OSError):
        return None
    for prefix in _PREFIXES:
        for suffix in _SUFFIXES:
            getter = f"{prefix}_get_num_threads{suffix}"
            setter = f"{prefix}_set_num_threads{suffix}"
            if hasattr(library, getter) and hasattr(library, setter):
                return library, getter, setter
    return None


@contextmanager
def one_blas_thread() -> Iterator[None]:
    """Hold SciPy's BLAS at one thread inside the block."""
    found = _library()
    if found is None:
        yield
        return
    library, getter, setter = found
    before = int(getattr(library, getter)())
    getattr(library, setter)(1)
    try:
        yield
    finally:
        getattr(library, setter)(before)
