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
from importlib import import_module
from threading import Lock

_EXTENSIONS = ("numpy._core._multiarray_umath", "scipy.linalg._flapack")
_PREFIXES = ("scipy_openblas", "openblas")
_SUFFIXES = ("", "64_")


@cache
def _libraries() -> tuple[tuple[ctypes.CDLL, str, str], ...]:
    """NumPy's and SciPy's OpenBLAS (each brings its own), with the names of their functions."""
    found = []
    for name in _EXTENSIONS:
        try:
            library = ctypes.CDLL(str(import_module(name).__file__))
        except (ImportError, OSError):
            continue
        for prefix in _PREFIXES:
            for suffix in _SUFFIXES:
                getter = f"{prefix}_get_num_threads{suffix}"
                setter = f"{prefix}_set_num_threads{suffix}"
                if hasattr(library, getter) and hasattr(library, setter):
                    found.append((library, getter, setter))
    return tuple(found)


class _Hold:
    """How many relaxations run at this moment, and the thread counts to give back after."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.users = 0
        self.before: list[int] = []

    def enter(self) -> None:
        with self.lock:
            self.users += 1
            if self.users == 1:
                self.before = [int(getattr(lib, get)()) for lib, get, _ in _libraries()]
                for library, _, setter in _libraries():
                    getattr(library, setter)(1)

    def leave(self) -> None:
        with self.lock:
            self.users -= 1
            if self.users == 0:
                for (library, _, setter), threads in zip(_libraries(), self.before, strict=True):
                    getattr(library, setter)(threads)


_HOLD = _Hold()


@contextmanager
def one_blas_thread() -> Iterator[None]:
    """Hold the BLAS of NumPy and SciPy at one thread inside the block, in all threads."""
    _HOLD.enter()
    try:
        yield
    finally:
        _HOLD.leave()
