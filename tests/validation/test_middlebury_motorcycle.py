"""The stated doubt of a fit in a real photo whose every point is known in space.

Source: "Motorcycle" of the Middlebury 2014 stereo benchmark (Scharstein et al., High-resolution
stereo datasets with subpixel-accurate ground truth, GCPR 2014), as it comes with scikit-image: a
garage with a concrete floor, calibrated, with ground-truth disparities. Focal length 994.978 px,
principal point 311.193, 254.877 px (so the photo is taken without its right sixth),
offset 31.086 px, baseline 193.001 mm.
Licence: free for research, stated nowhere more exactly; nothing of it is kept here.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from airwright.pictures.photo import PhotoError, view_of_rectangle
from airwright.pictures.photo.fit import doubt_of

FOCAL, CX, CY, OFFSET, BASELINE = 994.978, 311.193, 254.877, 31.086, 0.193001
FLOOR = ((20, 330, 110, 480), (60, 420, 330, 490), (380, 400, 520, 490), (20, 300, 100, 400))
"""Boxes (left, top, right, bottom) of the photo that show bare floor."""
SIZE = (622, 510)
"""A photo whose middle is the principal point: the garage without its right sixth."""
CLICK_PX = 1.2


def garage() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Points (H, W, 3) of every pixel [m], the floor's normal and a point on it."""
    data = pytest.importorskip("skimage.data")
    _, _, disparity = data.stereo_motorcycle()
    y, x = np.mgrid[: disparity.shape[0], : disparity.shape[1]]
    depth = BASELINE * FOCAL / (disparity + OFFSET)
    points = np.stack([(x - CX) * depth / FOCAL, (y - CY) * depth / FOCAL, depth], axis=-1)
    ground = np.concatenate([points[t:b, a:c].reshape(-1, 3) for a, t, c, b in FLOOR])
    ground = ground[np.isfinite(ground).all(axis=1)]
    for _ in range(4):
        middle = ground.mean(axis=0)
        normal = np.linalg.svd(ground - middle, full_matrices=False)[2][2]
        off = (ground - middle) @ normal
        ground = ground[np.abs(off) < 2.5 * off.std()]
    return points, normal, middle


@pytest.mark.published
def test_the_stated_doubt_covers_the_truth_in_a_real_garage(
    compare: Callable[..., None],
) -> None:
    _, normal, middle = garage()
    up = -normal if normal[1] > 0 else normal  # y runs down
    right = np.cross([0.0, 0, 1], up)
    right /= -np.linalg.norm(right) if right[0] < 0 else np.linalg.norm(right)
    away = np.cross(up, right)
    away *= np.sign(away[2])
    origin = middle + 0.15 * away

    def seen(spots: np.ndarray) -> np.ndarray:
        """Pixels of points given right, away and up of the origin [m]."""
        points = origin + spots @ np.stack([right, away, up])
        return np.asarray(FOCAL * points[:, :2] / points[:, 2:] + [CX, CY])

    rng = np.random.default_rng(7)
    wide, deep = 1.2, 0.9
    corners = np.array([[-wide, -deep, 0], [wide, -deep, 0], [wide, deep, 0], [-wide, deep, 0]]) / 2
    covered, said, true = [], [], []
    for _ in range(60):
        marks = seen(corners) + rng.normal(0, CLICK_PX, (4, 2))
        try:
            found = view_of_rectangle([(x, y) for x, y in marks], wide, deep, SIZE, FOCAL)
        except PhotoError:
            continue
        spot = np.array([rng.uniform(-0.6, 0.4), rng.uniform(-0.3, 0.8), 0.0])
        ends = np.stack([spot, spot + np.array([0.0, 0.0, 0.9])])
        doubt = doubt_of(found, spot, 0.9)
        depth = (origin + ends @ np.stack([right, away, up]))[:, 2]
        off = 100 * np.linalg.norm(found.project(ends) - seen(ends), axis=1) * depth / FOCAL
        covered.append(off.max() <= doubt.cm)
        said.append(doubt.cm)
        true.append(off.max())
    assert len(covered) > 50
    assert np.mean(covered) >= 0.68
    assert np.median(said) < 5 * np.median(true)
    exact = view_of_rectangle([(x, y) for x, y in seen(corners)], wide, deep, SIZE, FOCAL)
    heights = np.array([[0.2, 0.4, 0.0], [0.2, 0.4, 0.9], [-0.5, 0.6, 0.6]])
    compare(
        exact.project(heights),
        seen(heights),
        atol=0.3,
        unit="px",
        source="Middlebury 2014 stereo, Motorcycle",
        what="places of points in a real garage from four marks on its floor",
    )
