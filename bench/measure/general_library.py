"""The sizes of an outline by a general vision library: a task in JSON from standard input, milliseconds to standard output.

For bench/measure.bench.ts. Once for the whole outline, then as often as the budget tries other leans for a thinned one.
"""

import json
import sys
import time

import cv2
import numpy as np

task = json.load(sys.stdin)
points = np.array(task["outline"], np.float64).reshape(-1, 1, 2)
h = np.array(task["h"])


def sizes(p):
    mm = cv2.perspectiveTransform(p, h)
    c = mm.astype(np.float32)
    area = cv2.contourArea(c)
    n = len(p)
    closed = np.concatenate([mm, mm, mm])[:, 0].astype(np.float64)
    smooth = cv2.GaussianBlur(closed.reshape(-1, 1, 2), (1, 0x21), 5.0)[n:2 * n]
    perimeter = cv2.arcLength(smooth.astype(np.float32), True)
    hull = cv2.convexHull(c)[:, 0]
    d = np.linalg.norm(hull[:, None] - hull[None], axis=2)
    i, j = np.unravel_index(d.argmax(), d.shape)
    u = (hull[j] - hull[i]) / d[i, j]
    across = hull @ np.array([-u[1], u[0]])
    cv2.moments(c)
    cv2.fitEllipse(c)
    return area, perimeter, d[i, j], across.max() - across.min()


best = 1e9
for _ in range(task["runs"]):
    t = time.perf_counter()
    sizes(points)
    thin = points[:: max(1, len(points) // 64)]
    for k in range(task["again"]):
        sizes(thin + k * 1e-3)
    best = min(best, time.perf_counter() - t)
print(1000 * best)
