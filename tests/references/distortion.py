"""Harmonics of a WAV file's steady tone, the plain ways, with SciPy and NumPy. Prints one JSON object.

Usage: distortion.py FILE FREQUENCY_HZ [FROM_S TO_S]

Two ways, for each channel: "fft": a transform of a whole number of periods (the file's frequency must be known exactly), the harmonics' bins alone;
"fit": a sine fit of several harmonics with the frequency as an unknown too (four-parameter fit with harmonics), by SciPy's least squares.
Ratios are over the total of fundamental and harmonics below 20 kHz, in percent.
"""
import json
import sys

import numpy as np
from scipy import optimize
from scipy.io import wavfile

path, f0 = sys.argv[1], float(sys.argv[2])
rate, x = wavfile.read(path)
if x.dtype.kind == "i":
    x = x / float(2 ** (8 * x.dtype.itemsize - 1))
x = np.atleast_2d(np.asarray(x, float).T)
if len(sys.argv) > 4:
    x = x[:, int(float(sys.argv[3]) * rate):int(float(sys.argv[4]) * rate)]


def ratios(amplitudes):
    total = np.sqrt(np.sum(amplitudes**2))
    return {
        "levelDb": float(20 * np.log10(amplitudes[0])),
        "thd": float(100 * np.sqrt(np.sum(amplitudes[1:] ** 2)) / total),
        "second": float(100 * amplitudes[1] / total),
        "third": float(100 * amplitudes[2] / total),
    }


def by_fft(y):
    # The longest stretch that holds a whole number of periods to a hundred thousandth of one.
    for periods in range(int(len(y) * f0 / rate), 0, -1):
        n = periods * rate / f0
        if abs(n - round(n)) < 1e-6:
            break
    n = int(round(n))
    spectrum = np.abs(np.fft.rfft(y[:n])) * 2 / n
    orders = int(min(20000, 0.5 * rate) // f0)
    return ratios(spectrum[[periods * k for k in range(1, orders + 1) if periods * k < len(spectrum)]])


def by_fit(y, orders=8):
    t = np.arange(len(y)) / rate
    orders = min(orders, int(min(20000, 0.5 * rate) // f0))

    def solve(f):
        columns = [np.ones_like(t)]
        for k in range(1, orders + 1):
            columns += [np.cos(2 * np.pi * k * f * t), np.sin(2 * np.pi * k * f * t)]
        matrix = np.stack(columns, 1)
        c, *_ = np.linalg.lstsq(matrix, y, rcond=None)
        return c, y - matrix @ c

    best = optimize.minimize_scalar(lambda f: np.sum(solve(f)[1] ** 2), bounds=(f0 - 0.3 / t[-1], f0 + 0.3 / t[-1]), method="bounded", options={"xatol": 1e-9 * f0})
    c, _ = solve(best.x)
    return ratios(np.hypot(c[1::2], c[2::2]))


print(json.dumps({"fft": [by_fft(y) for y in x], "fit": [by_fit(y[:rate]) for y in x]}))
