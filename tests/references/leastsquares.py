"""Weighted least squares with a prior on each coefficient, by NumPy's lstsq on rows put below one another. Reads one JSON object, prints another.

Usage: leastsquares.py < {"design": [[...]], "values": [...], "variance": [...], "expected": [...], "spread": [...]}
"""
import json
import sys

import numpy as np

case = {k: np.asarray(v, float) for k, v in json.load(sys.stdin).items()}
rows = np.vstack([case["design"] / np.sqrt(case["variance"])[:, None], np.diag(1 / case["spread"])])
right = np.concatenate([case["values"] / np.sqrt(case["variance"]), case["expected"] / case["spread"]])
mean, *_ = np.linalg.lstsq(rows, right, rcond=None)
covariance = np.linalg.inv(rows.T @ rows)
print(json.dumps({"mean": mean.tolist(), "covariance": covariance.tolist()}))
