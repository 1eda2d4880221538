"""Gain, response by octaves and what is left over, of two sounds of one clock, by SciPy: coherence.py FILE.f32 RATE SEGMENT (stereo: source, tape)."""
import json
import sys

import numpy as np
from scipy import signal

path, rate, length = sys.argv[1], float(sys.argv[2]), int(sys.argv[3])
source, tape = np.fromfile(path, dtype="<f4").astype(float).reshape(-1, 2).T
how = dict(fs=rate, window="hann", nperseg=length, noverlap=length // 2, detrend=False)
f, sxx = signal.welch(source, **how)
_, syy = signal.welch(tape, **how)
_, sxy = signal.csd(source, tape, **how)
coherence = np.abs(sxy) ** 2 / (sxx * syy)


def gain(low, high):
    k = (f >= low) & (f <= high)
    return 10 * np.log10(np.sum(np.abs(sxy[k]) ** 2 / sxx[k]) / np.sum(sxx[k]))


k = (f >= 20) & (f <= 20000)
print(json.dumps({
    "level": gain(315, 3150),
    "octaves": {str(c): gain(c / 2 ** 0.5, c * 2 ** 0.5) for c in (125, 500, 1000, 4000, 8000)},
    "unexplained": 10 * np.log10(np.sum(syy[k] * (1 - coherence[k])) / np.sum(sxx[k])),
}))
