"""The BLAS gets its threads back, also when relaxations overlap."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from airwright.decor.packing import settle
from airwright.decor.packing.threads import _libraries, one_blas_thread


def counts() -> list[int]:
    return [int(getattr(library, getter)()) for library, getter, _ in _libraries()]


def test_one_inside_and_as_before_afterwards() -> None:
    before = counts()
    with one_blas_thread():
        assert all(threads == 1 for threads in counts())
        with one_blas_thread():
            pass
        assert all(threads == 1 for threads in counts())
    assert counts() == before


def test_relaxations_side_by_side_agree() -> None:
    before = counts()
    with ThreadPoolExecutor(4) as pool:
        rises = list(pool.map(lambda _: tuple(settle([[0.12] * 4] * 30, 40.0).rise_m), range(8)))
    assert len(set(rises)) == 1
    assert counts() == before
