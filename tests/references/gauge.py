"""The curve of a gauge by SciPy's general curve fit. Prints one JSON object.

Usage: gauge.py '[[mean reading, true force, standard deviation], ...]' AT ORDER

AT is the reading at which the curve and the standard deviation of its value are wanted; ORDER is 1 or 2.
"""
import json
import sys

import numpy as np
from scipy.optimize import curve_fit

x, y, s = np.array(json.loads(sys.argv[1]), float).T
at, order = float(sys.argv[2]), int(sys.argv[3])
model = (lambda r, a, b: a + b * r) if order == 1 else (lambda r, a, b, c: a + b * r + c * r * r)
found, covariance = curve_fit(model, x, y, p0=[0.0, 1.0, 0.0][: order + 1], sigma=s, absolute_sigma=True)
row = np.array([at**k for k in range(order + 1)])
print(json.dumps({
    "coefficients": found.tolist(),
    "value": float(row @ found),
    "deviation": float(np.sqrt(row @ covariance @ row)),
    "chiSquare": float(np.sum(((y - model(x, *found)) / s) ** 2)),
}))
