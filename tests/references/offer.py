"""Ranges of an offer by SciPy and by brute force. Prints one JSON object.

Usage: offer.py '{"hours": [...], "parts": [...], "prices": [...], "asked": x, "other": x}'

next: half width of the 95 % range of the next figure of each list, by scipy.stats.t. margin, hourly: percentiles 2.5 and 97.5 of the margin and of the margin for each hour, by a million
draws: a variance from what it may be after the figures and four figures' worth of the usual scatter (scaled inverse chi-square), a mean
from what it may be then, and the next figure about it.
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


def drawn(x, usual, worth=4, draws=1_000_000):
    x = np.asarray(x, float)
    squares = worth * (usual * x.mean()) ** 2 + ((x - x.mean()) ** 2).sum()
    variance = squares / stats.chi2(worth + len(x) - 1).rvs(draws, random_state=rng)
    mean = rng.normal(x.mean(), np.sqrt(variance / len(x)))
    return rng.normal(mean, np.sqrt(variance))


laws = {k: law(q[k]) for k in ("hours", "parts", "prices")}
draws = {k: drawn(q[k], usual) for k, usual in (("hours", 0.3), ("parts", 0.5), ("prices", 0.2))}
margin = draws["prices"] - draws["parts"] - q["asked"] - q["other"]
hourly = (margin / draws["hours"])[draws["hours"] > 0]
print(json.dumps({
    "next": {k: float(v.ppf(0.975) - v.mean()) for k, v in laws.items()},
    "margin": np.percentile(margin, [2.5, 97.5]).tolist(),
    "hourly": np.percentile(hourly, [2.5, 97.5]).tolist(),
}))
