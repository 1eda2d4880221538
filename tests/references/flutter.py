"""Flutter of a WAV file's first channel, the plain way, with SciPy's own routines. Prints one JSON object.

Usage: flutter.py FILE NOMINAL_HZ TABLE.json

TABLE.json holds the published weighting table as [[Hz, dB], ...]: the weighting is drawn through its points (cubic, over the logarithm of the
rate), not from the meter's formula, and applied in the frequency domain. The analytic signal gives the phase; nothing is tracked or bridged.
"""
import json
import sys

import numpy as np
from scipy import interpolate, signal
from scipy.io import wavfile

path, nominal, table_path = sys.argv[1], float(sys.argv[2]), sys.argv[3]
rate, x = wavfile.read(path)
if x.dtype.kind == "i":
    x = x / float(2 ** (8 * x.dtype.itemsize - 1))
x = np.asarray(x, float)
if x.ndim > 1:
    x = x[:, 0]
seconds = len(x) / rate

# Mix down, decimate in two steps, angle, difference.
z = x * np.exp(-2j * np.pi * nominal * np.arange(len(x)) / rate)
step = int(rate // 4000)
z = signal.upfirdn(signal.firwin(16 * step + 1, 0.8 / step, window=("kaiser", 10)), z, down=step)[16:-16]
low = rate / step
phase = np.unwrap(np.angle(z))
speed = np.diff(phase) * low / (2 * np.pi)  # Hz from nominal
mean = nominal + (phase[-1] - phase[0]) / (2 * np.pi) / ((len(phase) - 1) / low)
deviation = 100 * (speed + nominal - mean) / mean

# Filters in the frequency domain, over a line-free, tapered copy four times as long, the ends mirrored.
n = len(deviation)
long = np.concatenate([deviation[::-1], deviation, deviation[::-1]])
f = np.fft.rfftfreq(len(long), 1 / low)
spectrum = np.fft.rfft(long)
table = np.array(json.load(open(table_path)))
curve = interpolate.PchipInterpolator(np.log(table[:, 0]), table[:, 1])
weight = np.zeros_like(f)
inside = (f >= table[0, 0]) & (f <= 200)
weight[inside] = 10 ** (curve(np.log(f[inside])) / 20)
weight[f < table[0, 0]] = 0
weighted = np.fft.irfft(spectrum * weight, len(long))[n:2 * n]

# The rational fit to the same table (poles and zeros in Hz: reference 1.3), through SciPy's own evaluation.
w0, q = 0.4633, 0.6022
pair = [-w0 / (2 * q) + 1j * w0 * np.sqrt(1 - 1 / (4 * q * q)), -w0 / (2 * q) - 1j * w0 * np.sqrt(1 - 1 / (4 * q * q))]
_, h = signal.freqs_zpk([0, 0, 0, -35.432], [-1.2967, *pair, -9.0123, -47.756], 1, np.append(np.maximum(f, 1e-9), 4.0))
fit = np.fft.irfft(spectrum * (np.abs(h[:-1]) / np.abs(h[-1])) * (f <= 200), len(long))[n:2 * n]

b, a = signal.butter(2, 2 * np.pi * 0.2, "high", analog=True)
_, h = signal.freqs(b, a, 2 * np.pi * np.maximum(f, 1e-9))
unweighted = np.fft.irfft(spectrum * np.abs(h) * (f <= 200), len(long))[n:2 * n]

# Lines by a flat-top spectrum: the height of a peak is its amplitude.
window = signal.windows.flattop(n, sym=False)
lines = np.abs(np.fft.rfft(deviation * window)) * 2 / window.sum()
g = np.fft.rfftfreq(n, 1 / low)
hann = np.abs(np.fft.rfft(deviation * signal.windows.hann(n, sym=False)))
peaks, _ = signal.find_peaks(hann * (g > 0.4) * (g < 200), height=hann.max() / 30, distance=8)

print(json.dumps({
    "seconds": seconds,
    "speedErrorPercent": 100 * (mean / nominal - 1),
    "weightedRms": float(np.sqrt(np.mean(weighted**2))),
    "fitRms": float(np.sqrt(np.mean(fit**2))),
    "unweightedRms": float(np.sqrt(np.mean(unweighted**2))),
    "twoSigma": float(np.quantile(np.abs(weighted), 0.95)),
    "lines": [[float(g[p]), float(lines[p - 1:p + 2].max())] for p in peaks],
}))
