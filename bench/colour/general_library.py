"""Chart, fit and whole-picture correction by the general vision library, timed: FILE of raw RGB, width, height."""
import json, sys, time
import numpy as np
import cv2

path, width, height = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
cv2.setNumThreads(1)
PATCHES_24 = 0  # the number of the 24-patch chart in the library's own list
rgb = np.fromfile(path, np.uint8).reshape(height, width, 3)
bgr = np.ascontiguousarray(rgb[:, :, ::-1])


def spent(work, runs=3):
    best, result = None, None
    for _ in range(runs):
        cpu, wall = time.process_time(), time.perf_counter()
        result = work()
        took = {"cpuMs": 1000 * (time.process_time() - cpu), "wallMs": 1000 * (time.perf_counter() - wall)}
        if best is None or took["cpuMs"] < best["cpuMs"]:
            best = took
    return best, result


def fit():
    detector = cv2.mcc.CCheckerDetector_create()
    if not detector.process(bgr, cv2.mcc.MCC24, 1):
        return None
    chart = detector.getBestColorChecker()
    colours = chart.getChartsRGB()[:, 1].copy().reshape(24, 1, 3) / 255.0
    model = cv2.ccm_ColorCorrectionModel(colours, PATCHES_24)
    model.run()
    return model


def edges():
    """Where the library has no chart finder: thresholds and contours only, no fit."""
    grey = cv2.cvtColor(bgr, cv2.COLOR_BGR2GRAY)
    mask = cv2.adaptiveThreshold(grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, 61, 4)
    return cv2.findContours(mask, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)[0]


has_charts = hasattr(cv2, "mcc") and hasattr(cv2, "ccm_ColorCorrectionModel")
took, model = spent(fit if has_charts else edges)
answer = {"version": cv2.__version__, "charts": has_charts, "found": bool(has_charts and model), "fit": took}
if has_charts and model:
    picture = rgb.astype(np.float64) / 255.0
    answer["correct"], _ = spent(lambda: model.infer(picture), 1)
print(json.dumps(answer))
