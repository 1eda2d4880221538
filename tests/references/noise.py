"""Noise of a WAV file's channels, the plain way, with NumPy and SciPy. Prints one JSON object.

Usage: noise.py FILE

A-weighting by the formula of the magnitude, applied to the whole file's spectrum; the 468 network through SciPy's own evaluation of its poles, then
a quasi-peak detector written out sample by sample; the unweighted band by summing the spectrum; lines by a flat-top spectrum.
"""
import json
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
if x.dtype.kind == "i":
    x = x / float(2 ** (8 * x.dtype.itemsize - 1))
x = np.asarray(x, float)
x = x[:, None] if x.ndim == 1 else x
n = len(x)
f = np.fft.rfftfreq(n, 1 / rate)
g = np.maximum(f, 1e-9)


def a_gain(f):
    f2 = f * f
    return 12194.217**2 * f2 * f2 / ((f2 + 20.598997**2) * np.sqrt((f2 + 107.65265**2) * (f2 + 737.86223**2)) * (f2 + 12194.217**2))


poles = [-25903.701, -23615.535 + 36379.909j, -23615.535 - 36379.909j, -18743.747 + 62460.156j, -18743.747 - 62460.156j, -62675.170]
_, h = signal.freqs_zpk([0], poles, 1, 2 * np.pi * np.append(g, 1000.0))
network = h[:-1] / abs(h[-1])


def quasi_peak(w):
    first = second = 0.0
    charge1, fall1 = 1 - np.exp(-1 / (0.00143694 * rate)), np.exp(-1 / (0.28886347 * rate))
    charge2, fall2 = 1 - np.exp(-1 / (0.27890433 * rate)), np.exp(-1 / (0.28328484 * rate))
    out = np.empty(len(w))
    for i, v in enumerate(np.abs(w).tolist()):
        first *= fall1
        if v > first:
            first += charge1 * (v - first)
        second *= fall2
        if first > second:
            second += charge2 * (first - second)
        out[i] = second
    return out


calibration = np.mean(quasi_peak(np.sin(2 * np.pi * 1000 * np.arange(3 * rate) / rate))[2 * rate:]) * np.sqrt(2)
out = []
for c in range(x.shape[1]):
    spectrum = np.fft.rfft(x[:, c])
    power = np.abs(spectrum) ** 2 * 2 / n / n
    weighted = a_gain(g) / a_gain(np.array([1000.0]))
    band = (f >= 22.4) & (f <= 22400)
    indication = quasi_peak(np.fft.irfft(spectrum * network, n))[int(1.5 * rate):]
    window = signal.windows.flattop(n, sym=False)
    lines = np.abs(np.fft.rfft(x[:, c] * window)) * 2 / window.sum()
    peaks, _ = signal.find_peaks(np.where((f > 30) & (f < 1000), lines, 0), height=1e-4, distance=int(5 * n / rate))
    out.append({
        "noiseA": 10 * np.log10(2 * np.sum(power * weighted**2)),
        "noise468": 20 * np.log10(np.mean(indication) / calibration * np.sqrt(2)),
        "unweighted": 10 * np.log10(2 * np.sum(power[band])),
        "lines": [[float(f[p]), float(20 * np.log10(lines[p]))] for p in peaks],
    })
print(json.dumps(out))
