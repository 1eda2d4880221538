"""Dropouts of a tone in a WAV file, the plain way, by SciPy's analytic signal. Prints one JSON array, left then right.

Usage: dropouts.py FILE HZ

Band-pass of 1.2 kHz about the tone, envelope, at least 6 dB under its median for at least 5 ms; level stability by the percentiles of the power over 0.1 s.
"""
import json
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
x, hz = np.asarray(x, float), float(sys.argv[2])
taps = signal.firwin(int(rate * 0.004) | 1, [hz - 900, hz + 900], pass_zero=False, fs=rate)
out = []
for c in range(x.shape[1]):
    envelope = np.abs(signal.hilbert(signal.fftconvolve(x[:, c], taps, "same")))[rate // 10:-rate // 10]
    low = np.concatenate([[0], envelope < np.median(envelope) * 10 ** (-6 / 20), [0]]).astype(int)
    edges = np.flatnonzero(np.diff(low))
    lengths = (edges[1::2] - edges[::2]) / rate
    step = rate // 10
    level = 10 * np.log10(np.mean(np.reshape(envelope[:len(envelope) // step * step] ** 2, (-1, step)), axis=1))
    out.append({"count": int(np.sum(lengths >= 0.005)), "stability": float(np.percentile(level, 95) - np.percentile(level, 5))})
print(json.dumps(out))
