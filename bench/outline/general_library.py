"""The same steps by python3-opencv: eight crops about the click, each cut by cv2.grabCut from the same seeds; one more cut for a
later click. Prints JSON: milliseconds of processor time. Usage: general_library.py PICTURE X Y RUNS"""
import json
import sys
import time

import cv2
import numpy as np

picture = cv2.imread(sys.argv[1])
x, y, runs = float(sys.argv[2]), float(sys.argv[3]), int(sys.argv[4])
RADII = [10, 14, 20, 28, 40, 56, 80, 112]
CELLS = 88
cv2.setNumThreads(1)


def cut(radius):
    half = 2 * radius
    scale = CELLS / (2 * half)
    move = np.float32([[scale, 0, CELLS / 2 - scale * x], [0, scale, CELLS / 2 - scale * y]])
    crop = cv2.warpAffine(picture, move, (CELLS, CELLS), flags=cv2.INTER_AREA, borderMode=cv2.BORDER_REPLICATE)
    yy, xx = np.mgrid[0:CELLS, 0:CELLS]
    r = np.hypot(xx + 0.5 - CELLS / 2, yy + 0.5 - CELLS / 2) / (CELLS / 4)
    mask = np.where(r < 0.9, cv2.GC_PR_FGD, cv2.GC_PR_BGD).astype(np.uint8)
    mask[r < 0.3] = cv2.GC_FGD
    mask[r > 1.5] = cv2.GC_BGD
    cv2.grabCut(crop, mask, None, np.zeros((1, 65)), np.zeros((1, 65)), 3, cv2.GC_INIT_WITH_MASK)


def timed(work):
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return sorted(times)[len(times) // 2]


print(
    json.dumps(
        {
            "version": cv2.__version__,
            "firstMs": timed(lambda: [cut(radius) for radius in RADII]),
            "laterMs": timed(lambda: cut(14)),
        }
    )
)
