"""Areas and lengths by two general libraries, as check values for the planimetry tests.

    python3 scripts/reference/planimetry.py > packages/picture/test/planimetry/reference-values.json

Needs Debian's python3-opencv and python3-skimage. The values are kept with the tests, so that nobody needs either to run them.
"""

import base64
import json
import sys

import cv2
import numpy as np
import skimage
from skimage.measure import label, regionprops

rng = np.random.default_rng(20261125)


def blob(size, lobes):
    """A closed curve round the middle with a few lobes, as a wound's edge."""
    angles = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    radius = np.full(angles.shape, 1.0)
    for k in range(2, 2 + lobes):
        radius += rng.uniform(-0.16, 0.16) * np.cos(k * angles + rng.uniform(0, 2 * np.pi))
    stretch, turn = rng.uniform(0.5, 1), rng.uniform(0, np.pi)
    x, y = radius * np.cos(angles), stretch * radius * np.sin(angles)
    c, s = np.cos(turn), np.sin(turn)
    return np.stack([c * x - s * y, s * x + c * y], axis=1) * size


def polygon_values(points):
    contour = points.astype(np.float32).reshape(-1, 1, 2)
    hull = cv2.convexHull(contour)
    distances = np.linalg.norm(hull[:, 0, None] - hull[None, :, 0], axis=2)
    moments = cv2.moments(contour)
    return {
        "outline": np.round(points, 3).tolist(),
        "area": cv2.contourArea(contour),
        "perimeter": cv2.arcLength(contour, True),
        "length": float(distances.max()),
        "centroid": [moments["m10"] / moments["m00"], moments["m01"] / moments["m00"]],
    }


def mask_values(points, hole):
    mask = np.zeros((220, 260), np.uint8)
    cv2.fillPoly(mask, [np.round(points).astype(np.int32)], 255)
    if hole is not None:
        cv2.fillPoly(mask, [np.round(hole).astype(np.int32)], 0)
    (props,) = regionprops(label(mask > 0, connectivity=1))
    return {
        "png": base64.b64encode(cv2.imencode(".png", mask)[1].tobytes()).decode(),
        "area": int(props.area),
        "holes": int(1 - props.euler_number),
        "majorAxis": props.major_axis_length,
        "minorAxis": props.minor_axis_length,
        "feretDiameterMax": props.feret_diameter_max,
        "perimeterCrofton": props.perimeter_crofton,
    }


polygons = [polygon_values(np.round(blob(rng.uniform(40, 400), 6) + 500, 3)) for _ in range(12)]
masks = []
for i in range(8):
    size = rng.uniform(45, 75)
    middle = np.array([130, 110])
    masks.append(mask_values(blob(size, 4) + middle, blob(size / 5, 2) + middle if i % 2 else None))
json.dump(
    {
        "by": {"opencv": cv2.__version__, "scikit-image": skimage.__version__, "numpy": np.__version__},
        "polygons": polygons,
        "masks": masks,
    },
    sys.stdout,
)
sys.stdout.write("\n")
