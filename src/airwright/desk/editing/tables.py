"""A job file's raw tables. Read often and parsed once; nobody writes into them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

LONGEST_KEPT = 200_000
"""Longer texts are parsed anew each time, so that few large files cannot fill the memory."""


def tables_of(text: str) -> Mapping[str, Any]:
    """The tables of a TOML text; for reading only.

    Raises:
        tomllib.TOMLDecodeError, RecursionError: it is no TOML, or nested too deep.
    """
    return _kept(text) if len(text) <= LONGEST_KEPT else tomllib.loads(text)


@lru_cache(maxsize=100)
def _kept(text: str) -> Mapping[str, Any]:
    return tomllib.loads(text)
