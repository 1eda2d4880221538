"""Tones of an interface wired to itself, the plain way: sines of given frequencies fitted by least squares. Prints one JSON object.

Usage: loopback.py FILE HZ HZ …      all tones stand together through the whole file
Levels in dB of a full-scale sine (left, right), phase right less left in degrees, what is left over from 22.4 Hz to 22.4 kHz by SciPy's periodogram.
"""
import json
import sys

import numpy as np
from scipy import linalg, signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
x = np.asarray(x, float)
hz = [float(a) for a in sys.argv[2:]]
t = np.arange(len(x)) / rate
basis = np.column_stack([g(2 * np.pi * f * t) for f in hz for g in (np.cos, np.sin)] + [np.ones_like(t)])
found, *_ = linalg.lstsq(basis, x)
a = found[0:-1:2] - 1j * found[1:-1:2]
f, p = signal.periodogram(x - basis @ found, rate, axis=0)
band = (f >= 22.4) & (f <= 22400)
print(json.dumps({
    "level": (20 * np.log10(abs(a))).tolist(),
    "phase": np.degrees(np.angle(a[:, 1] * np.conj(a[:, 0]))).tolist(),
    "noise": (10 * np.log10(2 * p[band].sum(axis=0) * (f[1] - f[0]))).tolist(),
}))
