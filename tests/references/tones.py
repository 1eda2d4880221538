#!/usr/bin/python3
"""Tones of a WAV file by other means than the program's (Debian: python3-numpy, python3-scipy).

Usage: tones.py FILE [HZ FROM TO]...
Prints one JSON list: for each stretch (seconds) the frequency and level by a sine fit of three and of four parameters [IEEE1057:2017], the level
by a flat-top window, and the phase of right minus left at the peak of the cross-spectrum.
Levels in dB, a full-scale sine is 0.
"""
import json
import sys

import numpy as np
from scipy import optimize, signal
from scipy.io import wavfile


def three(x, t, hz):
    basis = np.column_stack([np.cos(2 * np.pi * hz * t), np.sin(2 * np.pi * hz * t), np.ones_like(t)])
    (a, b, _), *_ = np.linalg.lstsq(basis, x, rcond=None)
    return np.hypot(a, b)


def four(x, t, hz):
    def residual(p):
        return p[0] * np.cos(2 * np.pi * p[3] * t) + p[1] * np.sin(2 * np.pi * p[3] * t) + p[2] - x

    start = np.array([three(x, t, hz), 0.0, 0.0, hz])
    w = np.exp(-2j * np.pi * hz * t)
    z = 2 * np.mean(x * w)
    start[0], start[1] = z.real, -z.imag
    fit = optimize.least_squares(residual, start, x_scale=[1, 1, 1, 1e-3], method="lm", xtol=1e-14, ftol=1e-14)
    return np.hypot(fit.x[0], fit.x[1]), fit.x[3]


def flat_top(x, rate, hz):
    n = len(x)
    power = np.abs(np.fft.rfft(x * signal.windows.flattop(n, sym=False))) / np.sum(signal.windows.flattop(n, sym=False)) * 2
    k = int(round(hz * n / rate))
    return power[max(0, k - 3):k + 4].max()


def cross_phase(left, right, rate, hz):
    n = len(left)
    w = np.hanning(n)
    l, r = np.fft.rfft(left * w), np.fft.rfft(right * w)
    k = int(round(hz * n / rate))
    band = slice(max(1, k - 2), k + 3)
    return float(np.degrees(np.angle(np.sum(r[band] * np.conj(l[band])))))


def db(x):
    return float(20 * np.log10(x))


def main():
    rate, data = wavfile.read(sys.argv[1])
    data = data.astype(np.float64)
    out = []
    for i in range(2, len(sys.argv), 3):
        hz, start, end = map(float, sys.argv[i:i + 3])
        part = data[int(start * rate):int(end * rate)]
        t = np.arange(len(part)) / rate
        t -= t.mean()
        left, right = part[:, 0], part[:, 1]
        a4, f4 = four(left, t, hz)
        b4, _ = four(right, t, f4)
        out.append({
            "frequency": float(f4),
            "left": db(a4), "right": db(b4),
            "left3": db(three(left, t, f4)), "leftFlatTop": db(flat_top(left, rate, f4)),
            "phase": cross_phase(left, right, rate, f4),
        })
    print(json.dumps(out))


main()
