"""Makes pairs of pictures whose plane transformation is known, and says what OpenCV makes of them.

Run by tests/it/frame.rs in a virtual environment with opencv-python-headless and pillow-heif:
frame.py PICTURES DRAWINGS OUT writes OUT/*.jpg, OUT/pairs.json, OUT/points.json and OUT/laid.json.

Points are measured from the left and top edge, as Garboard measures them; OpenCV measures from the first pixel's centre.
"""

import json
import sys
from pathlib import Path

import cv2
import numpy as np
import pillow_heif

pictures, drawings, out = map(Path, sys.argv[1:4])
out.mkdir(parents=True, exist_ok=True)
cv2.setNumThreads(1)
chance = np.random.default_rng(20261125)

FROM_EDGE = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
FROM_CENTRE = np.linalg.inv(FROM_EDGE)


def scene(name, frame=0):
    """A photograph as red, green, blue, or one of our own drawings."""
    if name.endswith(".png"):
        return cv2.cvtColor(cv2.imread(str(drawings / name)), cv2.COLOR_BGR2RGB)
    return np.asarray(pillow_heif.open_heif(pictures / "heic" / name, convert_hdr_to_8bit=True)[frame].to_pillow().convert("RGB"))


def corners(size):
    width, height = size
    return np.array([[0, 0], [width, 0], [width, height], [0, height]], float)


def mapped(transform, points):
    whole = np.hstack([points, np.ones((len(points), 1))]) @ transform.T
    return whole[:, :2] / whole[:, 2:]


def turned(size, onto, degrees, scale, shift, tilt):
    """How a scene of one size comes to lie in a picture of another: turned, scaled, shifted, and its corners moved by tilt."""
    angle = np.radians(degrees)
    fill = max(onto[0] / size[0], onto[1] / size[1]) * scale
    c, s = np.cos(angle) * fill, np.sin(angle) * fill
    middle = np.array(onto) / 2 + np.array(shift) * np.array(onto)
    affine = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])
    affine = np.array([[1, 0, middle[0]], [0, 1, middle[1]], [0, 0, 1.0]]) @ affine @ np.array([[1, 0, -size[0] / 2], [0, 1, -size[1] / 2], [0, 0, 1.0]])
    before = mapped(affine, corners(size))
    after = before + np.array(tilt) * np.array(onto)
    return cv2.getPerspectiveTransform(before.astype(np.float32), after.astype(np.float32)).astype(float) @ affine


def drawn(source, transform, size):
    """A scene seen through a transformation, drawn at twice the size and made smaller by areas."""
    twice = np.diag([2.0, 2.0, 1.0]) @ transform
    large = cv2.warpPerspective(source, FROM_CENTRE @ twice @ FROM_EDGE, (size[0] * 2, size[1] * 2), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    return cv2.resize(large, size, interpolation=cv2.INTER_AREA)


def lit(picture, gain, offset, gamma, noise):
    value = 255 * (np.clip(picture.astype(float), 0, 255) / 255) ** gamma * gain + offset
    return np.clip(value + chance.normal(0, noise, picture.shape), 0, 255).round().astype(np.uint8)


def write(name, picture, quality=85):
    cv2.imwrite(str(out / name), cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality])


def by_opencv(first, second, truth, size):
    """The mean distance of the corners when OpenCV's own features and consensus do it, or nothing."""
    sift = cv2.SIFT_create(3000)
    (k1, d1), (k2, d2) = (sift.detectAndCompute(cv2.cvtColor(p, cv2.COLOR_RGB2GRAY), None) for p in (first, second))
    if d1 is None or d2 is None or len(k1) < 2 or len(k2) < 2:
        return None, 0
    good = [m for m, n in (pair for pair in cv2.BFMatcher().knnMatch(d2, d1, k=2) if len(pair) == 2) if m.distance < 0.75 * n.distance]
    if len(good) < 8:
        return None, len(good)
    cv2.setRNGSeed(1)
    found, inside = cv2.findHomography(np.float32([k2[m.queryIdx].pt for m in good]), np.float32([k1[m.trainIdx].pt for m in good]), cv2.RANSAC, 3.0)
    if found is None:
        return None, len(good)
    found = FROM_EDGE @ found @ FROM_CENTRE
    off = np.linalg.norm(mapped(found, corners(size)) - mapped(truth, corners(size)), axis=1)
    return float(off.mean()), int(inside.sum())


def sheet(n):
    """Tilt of four corners, at most n of the side each."""
    return chance.uniform(-n, n, (4, 2))


# name: degrees, scale, shift, tilt, (gain, offset, gamma, noise)
CHANGES = {
    "hardly": (1.5, 1.03, (0.02, -0.01), 0.01, (1, 0, 1, 2)),
    "turned": (12, 1.1, (0.03, 0.02), 0.01, (0.9, 5, 1, 3)),
    "larger": (-3, 1.35, (-0.04, 0.03), 0.01, (1, 0, 1.1, 3)),
    "slanted": (4, 1.15, (0.02, 0.03), 0.06, (1, 0, 0.9, 3)),
    "darker": (-6, 1.1, (0.03, -0.03), 0.03, (0.5, 10, 1.2, 4)),
    "all": (-9, 1.25, (0.05, 0.04), 0.05, (0.7, 20, 0.85, 4)),
}

scenes = ["arrow.heic", "pug.heic", "aux_YCbCr.heic", "xiaomi.heic", "alpha.heic", "spatial_photo.heic", "stereo_1200x800.heic", "bird_burst.heic"]
scenes += sorted(path.name for path in drawings.glob("*.png"))
pairs, points, laid = [], [], []
firsts = {}
for name in scenes:
    source = scene(name)
    whole = source.shape[1], source.shape[0]
    largest = min(1.0, 2048 / max(whole))
    size = tuple(int(side * largest) for side in whole)
    stem = name.split(".")[0]
    base = turned(whole, size, chance.uniform(-1, 1), 1.05, (0, 0), sheet(0.01))
    first = lit(drawn(source, base, size), 1, 0, 1, 2)
    write(f"{stem}.jpg", first)
    firsts[stem] = size
    for change, (degrees, scale, shift, tilt, light) in CHANGES.items():
        other = turned(whole, size, degrees, scale, shift, sheet(tilt))
        second = lit(drawn(source, other, size), *light)
        truth = base @ np.linalg.inv(other)
        write(f"{stem}-{change}.jpg", second)
        reference, n = by_opencv(first, second, truth, size)
        pairs.append({"first": f"{stem}.jpg", "second": f"{stem}-{change}.jpg", "kind": "same", "truth": (truth / truth[2, 2]).tolist(), "opencv_px": reference, "opencv_n": n})
    # The work itself: two fifths of the picture are another surface afterwards.
    other = turned(whole, size, 3, 1.05, (0.02, 0.01), sheet(0.02))
    second = drawn(source, other, size).astype(float)
    grain = cv2.GaussianBlur(chance.normal(0, 60, second.shape[:2]), (0, 0), 5)[:, :, None]
    mask = np.zeros(second.shape[:2])
    w, h = size
    cv2.ellipse(mask, (w // 2, h // 2), (int(w * 0.38), int(h * 0.34)), 10, 0, 360, 1.0, -1)
    mask = cv2.GaussianBlur(mask, (0, 0), 4)[:, :, None]
    second = lit(second * (1 - mask) + (np.array([150, 165, 175]) + grain) * mask, 0.95, 4, 1, 3)
    truth = base @ np.linalg.inv(other)
    write(f"{stem}-repaired.jpg", second)
    reference, n = by_opencv(first, second, truth, size)
    pairs.append({"first": f"{stem}.jpg", "second": f"{stem}-repaired.jpg", "kind": "repaired", "truth": (truth / truth[2, 2]).tolist(), "opencv_px": reference, "opencv_n": n})
    # Two halves that share nothing.
    half = whole[0] // 2
    for side, part in (("left", source[:, :half]), ("right", source[:, half:])):
        onto = (int(half * largest), size[1])
        write(f"{stem}-{side}.jpg", lit(drawn(np.ascontiguousarray(part), turned((half, whole[1]), onto, 0, 1.0, (0, 0), sheet(0.01)), onto), 1, 0, 1, 2))
    pairs.append({"first": f"{stem}-left.jpg", "second": f"{stem}-right.jpg", "kind": "apart"})

# Different scenes share nothing either.
for one in firsts:
    for other in firsts:
        if one < other:
            pairs.append({"first": f"{one}.jpg", "second": f"{other}-hardly.jpg", "kind": "apart"})

# Equal things in a row: nobody can tell which is which, and two noises hide nothing.
bolt = np.full((90, 120), 170.0)
cv2.circle(bolt, (60, 45), 22, 90.0, -1, cv2.LINE_AA)
cv2.line(bolt, (46, 38), (74, 52), 40.0, 4, cv2.LINE_AA)
panel = np.tile(bolt, (24, 24))[:, :, None].repeat(3, 2)
for k, start in enumerate((0, 3 * 120)):
    view = panel[: 1200, start : start + 1600]
    write(f"bolts-{k}.jpg", lit(view, 1, 0, 1, 6))
pairs.append({"first": "bolts-0.jpg", "second": "bolts-1.jpg", "kind": "equal things"})

# The same date burnt into two different photographs by the camera.
for stem in ("pug", "spatial_photo"):
    stamped = cv2.resize(cv2.imread(str(out / f"{stem}.jpg")), (1600, 1200), interpolation=cv2.INTER_AREA)
    cv2.putText(stamped, "09 MAY 2026 14:22", (1050, 1160), cv2.FONT_HERSHEY_SIMPLEX, 1.6, (0, 140, 255), 4, cv2.LINE_AA)
    cv2.imwrite(str(out / f"{stem}-stamped.jpg"), stamped)
pairs.append({"first": "pug-stamped.jpg", "second": "spatial_photo-stamped.jpg", "kind": "apart"})

# Blank panels out of focus.
for k in ("1", "3"):
    (out / f"blank-{k}.jpg").write_bytes((pictures / "phone" / f"IMG_000{k}.JPG").read_bytes())
pairs.append({"first": "blank-1.jpg", "second": "blank-3.jpg", "kind": "apart"})

# A camera that moved a little to the side: near and far things shift against each other (two lenses of one device).
for name in ("spatial_photo.heic", "stereo_1200x800.heic"):
    stem = name.split(".")[0]
    for frame in (0, 1):
        picture = scene(name, frame)
        largest = min(1.0, 2048 / max(picture.shape))
        write(f"{stem}-eye{frame}.jpg", cv2.resize(picture, None, fx=largest, fy=largest, interpolation=cv2.INTER_AREA))
    pairs.append({"first": f"{stem}-eye0.jpg", "second": f"{stem}-eye1.jpg", "kind": "near and far"})

# Points that a hand sets: OpenCV's transformations of the same points.
for n in (2, 3, 4, 5, 8, 20):
    for noise in (0.0, 1.5):
        size = (2048, 1536)
        truth = turned(size, size, chance.uniform(-20, 20), chance.uniform(0.8, 1.2), chance.uniform(-0.1, 0.1, 2), sheet(0.05))
        if n == 2:
            truth = turned(size, size, chance.uniform(-20, 20), chance.uniform(0.8, 1.2), (0.01, 0.02), np.zeros((4, 2)))
        if n == 3:
            truth[2] = [0, 0, 1]
        spread = np.array([[0.1, 0.15], [0.9, 0.2], [0.15, 0.85], [0.85, 0.9]])
        second = (spread[:n] if n <= 4 else np.vstack([spread, chance.uniform(0.1, 0.9, (n - 4, 2))])) * np.array(size)
        first = mapped(truth, second) + chance.normal(0, noise, (n, 2))
        if n == 2:
            a = np.array([[p[0], -p[1], 1, 0] for p in second] + [[p[1], p[0], 0, 1] for p in second])
            x = np.linalg.solve(a, np.hstack([first[:, 0], first[:, 1]]))
            reference = np.array([[x[0], -x[1], x[2]], [x[1], x[0], x[3]], [0, 0, 1]])
        elif n == 3:
            # getAffineTransform takes single precision only; the same equations in double.
            a = np.hstack([second, np.ones((3, 1))])
            reference = np.vstack([np.linalg.solve(a, first).T, [0, 0, 1]])
        else:
            reference, _ = cv2.findHomography(second, first, 0)
        points.append({"noise": noise, "first": first.tolist(), "second": second.tolist(), "truth": (truth / truth[2, 2]).tolist(), "opencv": reference.tolist()})

# Drawing one picture as the other camera saw it.
for pair in pairs:
    if pair["kind"] == "same" and pair["second"].startswith(("pug-", "alpha-")):
        second = cv2.imread(str(out / pair["second"]))
        shape = cv2.imread(str(out / pair["first"])).shape
        transform = FROM_CENTRE @ np.array(pair["truth"]) @ FROM_EDGE
        name = pair["second"].replace(".jpg", "-laid.png")
        cv2.imwrite(str(out / name), cv2.warpPerspective(second, transform, (shape[1], shape[0]), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE))
        laid.append({"second": pair["second"], "truth": pair["truth"], "laid": name, "width": shape[1], "height": shape[0]})

for name, value in (("pairs", pairs), ("points", points), ("laid", laid)):
    (out / f"{name}.json").write_text(json.dumps(value))
