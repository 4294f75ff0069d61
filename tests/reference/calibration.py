"""Reference posterior of two numbers from reports of clocks, for testing the Rust program.

ln(skin) and ln(coefficient) are normal with standard deviation ln 2 about nought, cut off at 3.5 standard deviations. The clock
of a report has the slack g = c + ln(skin) - b*ln(coefficient) and is kept with the chance Phi(g/0.1); it is reported truly with
the chance q. Moments and medians by adaptive quadrature (SciPy QUADPACK), written to `reference_calibration.csv`.

    python -m venv /tmp/venv-ref && /tmp/venv-ref/bin/pip install -r requirements.txt
    /tmp/venv-ref/bin/python calibration.py
"""

import platform
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import norm

SIGMA = np.log(2.0)
REACH = 3.5 * SIGMA
WIDTH = 0.1
# Reports of each case: c, b, kept, q.
CASES = {
    "one_sound": [(0.2, 0.9, True, 0.95)],
    "sound_and_failed": [(0.3, 0.9, True, 0.95), (-0.2, 0.9, False, 0.95)],
    "contradiction": [(-0.4, 0.9, True, 0.8), (-0.1, 0.9, False, 0.95), (0.5, 0.5, True, 0.99)],
    "two_slopes": [(0.3, 1.0, True, 0.95), (-0.1, 1.0, False, 0.95), (0.1, 0.1, True, 0.9), (-0.3, 0.1, False, 0.9)],
}


def density(x, y, reports):
    """Prior times likelihood at x = ln(skin), y = ln(coefficient), but for a factor."""
    value = np.exp(-0.5 * (x * x + y * y) / SIGMA**2)
    for c, b, kept, sure in reports:
        p = norm.cdf((c + x - b * y) / WIDTH)
        p = p if kept else 1.0 - p
        value = value * (sure * p + (1.0 - sure) * (1.0 - p))
    return value


def across(y_or_x, reports, along_x):
    """The density integrated across one number: panels of Gauss points, far finer than the step of a clock."""
    edges = np.linspace(-REACH, REACH, 401)
    nodes, weights = np.polynomial.legendre.leggauss(5)
    half = 0.5 * np.diff(edges)[:, None]
    at = (0.5 * (edges[1:] + edges[:-1])[:, None] + half * nodes).ravel()
    w = (half * weights).ravel()
    values = density(y_or_x, at, reports) if along_x else density(at, y_or_x, reports)
    return np.array([np.sum(w * values), np.sum(w * at * values)])


def one(of):
    return quad(of, -REACH, REACH, epsabs=0.0, epsrel=1e-9, limit=400)[0]


def solve(reports):
    total = one(lambda x: across(x, reports, True)[0])
    result = []
    for along_x in (True, False):
        mean = one(lambda v: v * across(v, reports, along_x)[0]) / total
        square = one(lambda v: (v - mean) ** 2 * across(v, reports, along_x)[0]) / total
        median = brentq(
            lambda m: quad(lambda v: across(v, reports, along_x)[0], -REACH, m, epsrel=1e-9, limit=400)[0] / total - 0.5,
            -REACH, REACH, xtol=1e-9)
        result.append((mean, np.sqrt(square), median))
    (mx, sx, medx), (my, sy, medy) = result
    product = one(lambda x: x * across(x, reports, True)[1]) / total
    return medx, sx, medy, sy, (product - mx * my) / (sx * sy)


def main():
    lines = [f"# SciPy {scipy.__version__}, NumPy {np.__version__}, Python {platform.python_version()}; made by calibration.py",
             "case,reports,skin_median_ln,skin_deviation_ln,film_median_ln,film_deviation_ln,correlation"]
    for name, reports in CASES.items():
        told = ";".join(f"{c}:{b}:{'kept' if kept else 'lost'}:{sure}" for c, b, kept, sure in reports)
        lines.append(",".join([name, told, *(f"{v:.8f}" for v in solve(reports))]))
    Path(__file__).with_name("reference_calibration.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
