"""Selective levels of a WAV file, the plain way, by SciPy's periodograms. Prints one JSON array, left then right.

Usage: selective.py FILE erase HZ FROM TO FROM2 TO2     level ratio at HZ between two stretches, dB
       selective.py FILE separation HZ FROM TO          left over right and right over left by the coherence of the two, dB
"""
import json
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
x = np.asarray(x, float)
hz = float(sys.argv[3])


def part(a, b):
    return x[int(a * rate):int(b * rate)]


def line(y):
    f, p = signal.welch(y, rate, "hann", nperseg=int(2 * rate), axis=0)
    near = abs(f - hz) <= 10
    beside = (abs(f - hz) > 14) & (abs(f - hz) < 46)
    return (p[near].sum(axis=0) - near.sum() * p[beside].mean(axis=0)) * (f[1] - f[0])


if sys.argv[2] == "erase":
    a, b, c, d = map(float, sys.argv[4:8])
    print(json.dumps(list(10 * np.log10(line(part(a, b)) / line(part(c, d))))))
else:
    y = part(*map(float, sys.argv[4:6]))
    f, pxy = signal.csd(y[:, 0], y[:, 1], rate, "hann", nperseg=int(0.25 * rate))
    _, pxx = signal.welch(y[:, 0], rate, "hann", nperseg=int(0.25 * rate))
    _, pyy = signal.welch(y[:, 1], rate, "hann", nperseg=int(0.25 * rate))
    k = int(np.argmin(abs(f - hz)))
    near = slice(k - 1, k + 2)
    cross = abs(pxy[near].sum())
    print(json.dumps([20 * np.log10(pxx[near].sum() / cross), 20 * np.log10(pyy[near].sum() / cross)]))
