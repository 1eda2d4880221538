"""A plain SciPy measurement of speed on one channel, as the yardstick for `spoolwright measure speed`.

usage: speed-against-scipy.py make FILE      writes a 10-minute 96 kHz 24-bit stereo capture of a 3150 Hz tone with flutter
       speed-against-scipy.py measure FILE   mix down, decimate, angle, difference on the left channel; prints what it found and how long it took

Run by benchmarks/speed-against-scipy.sh, which also sets the allocator's thresholds so that page faults are not what is timed.
"""
import sys
import time
import wave

import numpy as np
from scipy import signal

RATE, SECONDS, TONE = 96000, 600, 3150.0


def make(path):
    rng = np.random.default_rng(1)
    with wave.open(path, "wb") as out:
        out.setnchannels(2)
        out.setsampwidth(3)
        out.setframerate(RATE)
        phase = 0.0
        noise = 0.25 * 10 ** (-60 / 20) / np.sqrt(2) * np.sqrt(RATE / 2 / 20000)
        for second in range(SECONDS):
            t = second + np.arange(RATE) / RATE
            speed = 1.0045 * (1 + 0.0005 * np.sin(2 * np.pi * 6.06 * t) + 0.0003 * np.sin(2 * np.pi * 0.53 * t))
            angle = phase + 2 * np.pi * np.cumsum(TONE * speed) / RATE
            phase = angle[-1]
            left = 0.25 * np.cos(angle) + noise * rng.standard_normal(RATE)
            right = 0.22 * np.cos(angle - 0.2) + noise * rng.standard_normal(RATE)
            whole = np.round(np.stack([left, right], 1) * 8388608).astype("<i4")
            out.writeframes(np.frombuffer(whole.tobytes(), np.uint8).reshape(-1, 4)[:, :3].tobytes())


def measure(path):
    start = time.perf_counter()
    with wave.open(path, "rb") as sound:
        rate = sound.getframerate()
        raw = np.frombuffer(sound.readframes(sound.getnframes()), np.uint8).reshape(-1, 2, 3)
    left = raw[:, 0, :].astype(np.int32)
    x = ((left[:, 2] << 24) | (left[:, 1] << 16) | (left[:, 0] << 8)) / 2147483648.0
    read = time.perf_counter()
    n = np.arange(len(x))
    z = x * np.exp(-2j * np.pi * TONE / rate * n)
    z = signal.decimate(z, 16, ftype="fir", zero_phase=False)
    deviation = np.diff(np.unwrap(np.angle(z))) * (rate / 16) / (2 * np.pi * TONE)
    done = time.perf_counter()
    print(f"scipy: speed error {100 * deviation[100:-100].mean():.4f} %, {read - start:.2f} s reading, {done - read:.2f} s measuring one channel, {done - start:.2f} s in all")


if __name__ == "__main__":
    {"make": make, "measure": measure}[sys.argv[1]](sys.argv[2])
