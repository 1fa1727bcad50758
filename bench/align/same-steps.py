"""The steps of an alignment with python3-opencv, for comparison: process time of each run in ms, one JSON line.
   python3 same-steps.py BASELINE FOLLOWUP RUNS    (pictures already reduced to what both programs work on)"""
import json, sys, time
import cv2
import numpy as np

cv2.setNumThreads(1)
names, runs = sys.argv[1:3], int(sys.argv[3])
fine = [cv2.imread(name, cv2.IMREAD_GRAYSCALE) for name in names]


def reduced(picture, side):
    k = side / max(picture.shape)
    return cv2.resize(picture, None, fx=k, fy=k, interpolation=cv2.INTER_AREA) if k < 1 else picture


def matched(detector, pair):
    clahe = cv2.createCLAHE(3, (8, 8))
    (ka, da), (kb, db) = [detector.detectAndCompute(clahe.apply(p), None) for p in pair]
    ka, da, kb, db = strongest(ka, da) + strongest(kb, db)
    pairs = cv2.BFMatcher(cv2.NORM_HAMMING).knnMatch(da, db, 2)
    back = {m.queryIdx: m.trainIdx for m in cv2.BFMatcher(cv2.NORM_HAMMING).match(db, da)}
    good = [m for m, n in pairs if m.distance < 0.85 * n.distance and back.get(m.trainIdx) == m.queryIdx]
    return [np.float32([k[i].pt for i in at]) for k, at in ((kb, [m.trainIdx for m in good]), (ka, [m.queryIdx for m in good]))]


def strongest(points, described, most=3000):
    order = sorted(range(len(points)), key=lambda i: -points[i].response)[:most]
    return [points[i] for i in order], described[order]


def align():
    work = [reduced(p, 1000) for p in fine]
    akaze = cv2.AKAZE_create(threshold=0.0002)
    orb = cv2.ORB_create(6000, fastThreshold=5)
    k = work[0].shape[1] / fine[0].shape[1]
    found = []
    for detector, pair, scale in ((akaze, work, 1), (orb, fine, k)):
        b, a = matched(detector, pair)
        h, mask = cv2.findHomography(b * scale, a * scale, cv2.USAC_MAGSAC, 3, maxIters=5000, confidence=0.999)
        if h is not None:
            found.append((int(mask.sum()), h))
    h = max(found, key=lambda f: f[0])[1]
    start = np.linalg.inv(h).astype(np.float32)
    criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 50, 1e-5)
    _, refined = cv2.findTransformECC(work[0], work[1], start, cv2.MOTION_HOMOGRAPHY, criteria, None, 5)
    size = (work[0].shape[1], work[0].shape[0])
    laid = cv2.warpPerspective(work[1], refined, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    high = [p.astype(np.float32) - cv2.GaussianBlur(p.astype(np.float32), (0, 0), 6) for p in (work[0], laid)]
    return float(np.corrcoef(high[0].ravel(), high[1].ravel())[0, 1])


times, correlation = [], 0
for _ in range(runs):
    start = time.process_time()
    correlation = align()
    times.append(1000 * (time.process_time() - start))
print(json.dumps({"version": cv2.__version__, "ms": times, "correlation": correlation}))
