"""Compares reckonings with reference libraries: psychrolib for the dew point, sectionproperties for sections, PyKrige and contourpy
for the survey grid, OpenCV for measuring in a photograph, SciPy for the others.

Known differences, and so the tolerances: psychrolib follows ASHRAE 2017, which lies up to 0.045 K from the formula of
WMO-No. 8 above freezing; printed results carry half a unit of their last digit.
"""

import json
import math
import sys

import contourpy
import cv2
import numpy
import psychrolib
from pykrige.ok import OrdinaryKriging
from scipy.integrate import quad
from scipy.optimize import curve_fit
from scipy.stats import norm
from sectionproperties.analysis import Section
from sectionproperties.pre import Material
from sectionproperties.pre.library import rectangular_section

psychrolib.SetUnitSystem(psychrolib.SI)
off = []


def value(case, name):
    return float(case["results"][name]["value"])


def near(case, name, reference, within):
    found = value(case, name)
    if not abs(found - reference) <= within:
        off.append(f"{case['name']} {json.dumps(case['inputs'])[:120]}: {name} {found}, reference {reference}, within {within}")


def number(text):
    return float(text.split()[0])


def dew_point(case):
    t, rh = number(case["inputs"]["air"]), number(case["inputs"]["humidity"])
    reference = psychrolib.GetTDewPointFromRelHum(t, rh / 100)
    if reference > 0 and value(case, "dew_point") > 0:
        near(case, "dew_point", reference, 0.05)


def tank(case):
    r, dip = 0.25, number(case["inputs"]["dip"])
    area, _ = quad(lambda y: 2 * math.sqrt(max(r * r - (y - r) ** 2, 0)), 0, dip)
    near(case, "litres", area * 1.2 * 1000, 0.0005)


def drying(case):
    days = [number(row["day"]) for row in case["inputs"]["readings"]]
    moistures = [float(row["moisture"]) for row in case["inputs"]["readings"]]
    (end, drop, tau), _ = curve_fit(
        lambda t, end, drop, tau: [end + drop * math.exp(-x / tau) for x in t],
        days, moistures, p0=(min(moistures), max(moistures) - min(moistures), 10), maxfev=20000,
    )
    near(case, "end", end, 0.02)
    near(case, "time", tau, 0.02)
    if 20 > end:
        near(case, "dry_on", tau * math.log(drop / (20 - end)), 0.1)


def three_point(case):
    tasks = [[number(task[name]) for name in ("least", "likely", "most")] for task in case["inputs"]["tasks"]]
    mean = sum((o + 4 * m + p) / 6 for o, m, p in tasks)
    sd = math.sqrt(sum(((p - o) / 6) ** 2 for o, _, p in tasks))
    near(case, "expected", mean, 0.0001)
    near(case, "spread", sd, 0.00001)
    near(case, "eight_in_ten", norm.ppf(0.8, mean, sd), 0.001)
    near(case, "nine_in_ten", norm.ppf(0.9, mean, sd), 0.001)
    near(case, "likely", norm.cdf(number(case["inputs"]["promised"]), mean, sd) * 100, 0.001)


def section(parts):
    """Bending stiffness in N·m² and neutral axis in mm of rectangles: left, bottom, width, depth, modulus in mm and MPa."""
    whole = None
    for left, bottom, width, depth, modulus in parts:
        material = Material(name=str(modulus), elastic_modulus=modulus, poissons_ratio=0, yield_strength=1, density=1, color="k")
        part = rectangular_section(d=depth, b=width, material=material).shift_section(x_offset=left, y_offset=bottom)
        whole = part if whole is None else whole + part
    whole.create_mesh(mesh_sizes=[100])
    analysed = Section(whole)
    analysed.calculate_geometric_properties()
    return analysed.get_eic(e_ref=1)[0] / 1e6, analysed.get_c()[1]


def layers(case):
    parts, bottom = [], 0
    for row in case["inputs"]["built"]:
        depth, width = number(row["thickness"]), number(row["width"])
        parts.append((-width / 2, bottom, width, depth, number(row["modulus"])))
        bottom += depth
    stiffness, axis = section(parts)
    near(case, "stiffness", stiffness, stiffness * 1e-8 + 0.00001)
    near(case, "axis", axis, 0.00001)


def sister(case):
    given = {name: number(value) for name, value in case["inputs"].items() if name != "flush"}
    bottom = (given["depth"] - given["sister_depth"]) / 2 if case["inputs"]["flush"] == "middle" else 0
    parts = [
        (0, 0, given["width"], given["depth"], 9000),
        (given["width"], bottom, given["sister_width"], given["sister_depth"], given["sister_modulus"]),
    ]
    stiffness, axis = section(parts)
    near(case, "stiffness", stiffness, stiffness * 1e-8 + 0.1)
    near(case, "axis", axis, 0.0001)


def survey_grid(case):
    given = case["inputs"]
    x, y, z = (numpy.array([number(row[name]) for row in given["readings"]]) for name in ("along", "across", "value"))
    if "at_along" in given:
        model = given["method"]
        parameters = {"slope": float(given["slope"]), "nugget": 0} if model == "linear" else {
            "sill": float(given["sill"]), "range": number(given["range"]), "nugget": 0,
        }
        kriging = OrdinaryKriging(x, y, z, variogram_model=model, variogram_parameters=parameters)
        [at], [variance] = kriging.execute("points", [number(given["at_along"])], [number(given["at_across"])])
        near(case, "value_at", at, 2e-6)
        near(case, "deviation_at", math.sqrt(variance), 2e-6)
        return
    # Readings on a grid whose cells are those of the map: the wet part is cut along straight lines by both.
    n = len(set(x))
    lines = contourpy.contour_generator(x.reshape(-1, n), y.reshape(-1, n), z.reshape(-1, n), fill_type="OuterOffset")
    wet = 0
    for points, offsets in zip(*lines.filled(float(given["threshold"]), math.inf)):
        for start, end in zip(offsets, offsets[1:]):
            u, v = points[start:end].T
            wet += (u[:-1] * v[1:] - u[1:] * v[:-1]).sum() / 2
    near(case, "wet", abs(wet), 6e-5)


def photo_scale(case):
    known, sought = case["inputs"]["known"], case["inputs"]["sought"]
    pixels = numpy.array([[float(row["right"]), float(row["down"])] for row in known])
    plane = numpy.array([[number(row["x"]), number(row["y"])] for row in known])
    if len(known) == 4:
        matrix = cv2.getPerspectiveTransform(pixels.astype(numpy.float32), plane.astype(numpy.float32))
    else:
        matrix, _ = cv2.findHomography(pixels, plane, 0)
    clicks = numpy.array([[[float(row["right"]), float(row["down"])]] for row in sought])
    at = cv2.perspectiveTransform(clicks, matrix)[:, 0]
    # Of more points than four OpenCV makes the distances in the plane least, ours the formula's linear equations: clicks that are a pixel
    # off then give places some hundredths of a millimetre apart.
    within = 2e-3 if len(known) == 4 else 0.05
    for row, (x, y) in zip(case["results"]["points"], at):
        for name, reference in (("x", x), ("y", y)):
            if abs(float(row[name]["value"]) - reference) > within:
                off.append(f"photo-scale: {name} {row[name]['value']}, reference {reference}")
    length = numpy.linalg.norm(numpy.diff(at, axis=0), axis=1).sum()
    near(case, "length", length, 5 * within)


cases = json.load(sys.stdin)
checks = {"survey-grid": survey_grid, "photo-scale": photo_scale, "layers": layers, "sister": sister, "dew-point": dew_point, "tank": tank, "drying": drying, "three-point": three_point}
for case in cases:
    checks[case["name"]](case)
json.dump({"compared": len(cases), "off": off}, sys.stdout)
