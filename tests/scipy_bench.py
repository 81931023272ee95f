"""The 43-point survey by SciPy's least_squares: the same tapes, slopes and rises, from the same rough positions.

Prints the median time of a solve with covariance and redundancy numbers, as a row of the benchmark's table, and
checks the result against reference.json before it says anything.
"""

import csv
import json
import math
import statistics
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

RUNS = 11


def number(text):
    value, unit = text.split()
    return float(value) * {"mm": 1.0, "deg": math.pi / 180}[unit]


def load(folder):
    with open(folder / "points.csv", newline="") as sheet:
        points = list(csv.DictReader(sheet))
    with open(folder / "readings.csv", newline="") as sheet:
        readings = list(csv.DictReader(sheet))
    labels = [p["label"] for p in points]
    rough = np.array([[number(p[axis]) for axis in "xyz"] for p in points])
    rows = {"tape": [], "slope": [], "rise": []}
    for r in readings:
        rows[r["kind"]].append((labels.index(r["a"]), labels.index(r["b"]), number(r["value"]), number(r["sd"])))
    return labels, rough, {kind: np.array(row) for kind, row in rows.items()}


def solve(rough, rows, datum):
    """Inner gauge by the datum: origin at zero, ahead on x, left in the plane; plumb as two further unknowns."""
    origin, ahead, left = datum
    x = rough[ahead] - rough[origin]
    x /= np.linalg.norm(x)
    y = rough[left] - rough[origin]
    y -= x * (x @ y)
    y /= np.linalg.norm(y)
    start = (rough - rough[origin]) @ np.array([x, y, np.cross(x, y)]).T
    free = np.ones(start.shape, bool)
    free[origin] = False
    free[ahead, 1:] = False
    free[left, 2] = False
    columns = np.full(start.shape, -1)
    columns[free] = np.arange(free.sum())
    count = int(free.sum()) + 2

    def unpack(unknowns):
        at = np.zeros(start.shape)
        at[free] = unknowns[:-2]
        u, v = unknowns[-2:]
        up = np.array([u, v, 1.0])
        return at, up

    def parts(unknowns):
        at, raw = unpack(unknowns)
        size = np.linalg.norm(raw)
        up = raw / size
        turn = (np.eye(3) - np.outer(up, up))[:, :2] / size
        residuals, blocks = [], []
        for kind, row in rows.items():
            a, b = row[:, 0].astype(int), row[:, 1].astype(int)
            line = at[b] - at[a]
            length = np.linalg.norm(line, axis=1)
            height = line @ up
            if kind == "tape":
                value, slope, plumb = length, line / length[:, None], np.zeros((len(a), 2))
            elif kind == "rise":
                value, slope, plumb = height, np.tile(up, (len(a), 1)), line @ turn
            else:
                sine = height / length
                cosine = np.sqrt(1 - sine**2)
                value = np.arcsin(sine)
                slope = (up / length[:, None] - (height / length**3)[:, None] * line) / cosine[:, None]
                plumb = (line @ turn) / (length * cosine)[:, None]
            jacobian = np.zeros((len(a), count))
            for side, sign in ((b, 1.0), (a, -1.0)):
                for axis in range(3):
                    column = columns[side, axis]
                    known = column >= 0
                    jacobian[np.nonzero(known)[0], column[known]] += sign * slope[known, axis]
            jacobian[:, -2:] = plumb
            residuals.append((value - row[:, 2]) / row[:, 3])
            blocks.append(jacobian / row[:, 3][:, None])
        return np.concatenate(residuals), np.vstack(blocks)

    unknowns = np.concatenate([start[free], [0.0, 0.0]])
    found = least_squares(
        lambda u: parts(u)[0], unknowns, jac=lambda u: parts(u)[1], method="trf", x_scale="jac",
        xtol=1e-12, ftol=1e-12, gtol=1e-12,
    )
    jacobian = parts(found.x)[1]
    covariance = np.linalg.inv(jacobian.T @ jacobian)
    redundancy = 1 - np.einsum("ij,jk,ik->i", jacobian, covariance, jacobian)
    return unpack(found.x)[0], 2 * found.cost, redundancy


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "data/cases/plain"
    labels, rough, rows = load(folder)
    reference = json.loads((folder / "reference.json").read_text())
    datum = [labels.index(label) for label in reference["datum"]]
    times = []
    for _ in range(RUNS):
        begin = time.perf_counter()
        at, chi2, redundancy = solve(rough, rows, datum)
        times.append(time.perf_counter() - begin)
    worst = max(np.abs(at[i] - reference["solution"]["points"][label]).max() for i, label in enumerate(labels))
    if worst > 0.01 or abs(chi2 - reference["solution"]["chi2"]) > 1e-3 * chi2:
        sys.exit(f"the result is not the reference: {worst} mm, chi-square {chi2}")
    print(f"| `{folder.name}` by SciPy least_squares, analytic Jacobian, covariance and redundancy "
          f"| {RUNS} | {statistics.median(times) * 1e3:.3f} ms | not measured |")


if __name__ == "__main__":
    main()
