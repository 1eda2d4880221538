"""Start of a program's marker, by SciPy's hyperbolic chirp and plain correlation. Prints seconds.

Usage: marker.py FILE LOW HIGH SECONDS FIRST_UP(0/1)
"""
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
x = np.asarray(x, float)
x = x[:, 0] if x.ndim > 1 else x
low, high, seconds, up = float(sys.argv[2]), float(sys.argv[3]), float(sys.argv[4]), sys.argv[5] == "1"
t = np.arange(int(seconds * rate)) / rate
f = (low, high) if up else (high, low)
chirp = signal.chirp(t, f[0], seconds, f[1], method="hyperbolic", phi=-90) * signal.windows.tukey(len(t), 0.12)
c = np.abs(signal.hilbert(signal.correlate(x[:rate * 3], chirp, mode="valid", method="fft")))
first = np.nonzero(c > 0.7 * c.max())[0][0]
k = first + np.argmax(c[first:first + 200])
a, b, d = np.log(c[k - 1:k + 2])
print((k + 0.5 * (a - d) / (a - 2 * b + d)) / rate)
