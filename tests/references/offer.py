"""Ranges of an offer by SciPy and by brute force. Prints one JSON object.

Usage: offer.py '{"hours": [...], "parts": [...], "prices": [...], "asked": x, "other": x}'

next: half width of the 95 % range of the next figure of each list, by scipy.stats.t. margin, hourly: percentiles 2.5 and 97.5 of the margin and of the margin for each hour, by a million
draws from each figure's own predictive law (Student).
"""
import json
import sys

import numpy as np
from scipy import stats

q = json.loads(sys.argv[1])
rng = np.random.default_rng(1)


def law(x):
    x = np.asarray(x, float)
    n = len(x)
    return stats.t(n - 1, loc=x.mean(), scale=x.std(ddof=1) * np.sqrt(1 + 1 / n))


laws = {k: law(q[k]) for k in ("hours", "parts", "prices")}
draws = {k: v.rvs(1_000_000, random_state=rng) for k, v in laws.items()}
margin = draws["prices"] - draws["parts"] - q["asked"] - q["other"]
hourly = (margin / draws["hours"])[draws["hours"] > 0]
print(json.dumps({
    "next": {k: float(v.ppf(0.975) - v.mean()) for k, v in laws.items()},
    "margin": np.percentile(margin, [2.5, 97.5]).tolist(),
    "hourly": np.percentile(hourly, [2.5, 97.5]).tolist(),
}))
