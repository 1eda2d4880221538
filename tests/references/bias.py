"""Peak and end level of a tone whose level changes, by SciPy's means. Prints one JSON object.

Usage: bias.py FILE HZ
Butterworth band-pass, Hilbert envelope, means of 50 ms, and a Savitzky-Golay line of third order over 12 s for the peak; the last 4 s averaged.
"""
import json
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, x = wavfile.read(sys.argv[1])
x = np.asarray(x, float)
hz = float(sys.argv[2])
sos = signal.butter(3, [hz - 300, hz + 300], "bandpass", fs=rate, output="sos")
out = []
for channel in x.T:
    power = np.abs(signal.hilbert(signal.sosfiltfilt(sos, channel)))**2
    n = rate // 20
    level = 10 * np.log10(power[:len(power) // n * n].reshape(-1, n).mean(axis=1))[4:-4]
    smooth = signal.savgol_filter(level, 241, 3)
    out.append({"peak": float(smooth.max()), "end": float(level[-80:].mean())})
print(json.dumps(out))
