# What flutter makes of a marker's middle, by NumPy: each sweep is displaced by a small sinus and held against itself by a matched filter, and the middle of a
# row of 24 is taken from what they say. Prints what an upward and a downward sweep say of exp(i·2π·f·t), then the error of the middle against what is seen from
# sweep to sweep, for the row of a program and a variant; half of the flutter as strong in every octave, half in every hertz. Figures in MarkerWowTests.
import numpy as np

LOW, HIGH, LONG, EVERY, RATE, N = 900.0, 5400.0, 0.072, 0.08, 48000, 1 << 14
SLOPE = (1 / HIGH - 1 / LOW) / LONG
T = np.arange(N) / RATE - 0.05
F = np.fft.fftfreq(N, 1 / RATE)


def sweep(t, up):
    along = t if up else LONG - t
    phase = 2 * np.pi / SLOPE * np.log(np.maximum(1 + SLOPE * LOW * along, 1e-9))
    beside, edge = np.minimum(t, LONG - t), 0.06 * LONG
    window = np.where(beside < edge, 0.5 - 0.5 * np.cos(np.pi * beside / edge), 1.0)
    return np.where((t > 0) & (t < LONG), window * np.sin(phase), 0)


def peak(x, up):
    c = np.fft.fft(x) * np.conj(np.fft.fft(sweep(T, up))) * (F > 0)
    wide = np.zeros(16 * N, complex)
    wide[: N // 2] = c[: N // 2]
    y = np.abs(np.fft.ifft(wide))
    y = np.r_[y[-200:], y[:200]]
    k = np.argmax(y)
    a, b, c = np.log(y[k - 1 : k + 2])
    return (k - 200 + 0.5 * (a - c) / (a - 2 * b + c)) / (RATE * 16)


def says(hz, up):
    small = min(2e-6, 2e-4 / (2 * np.pi * hz))
    rest = peak(sweep(T, up), up)
    return sum(
        turn * (peak(sweep(T - small * np.cos(2 * np.pi * hz * T - at), up), up) - rest) / small for at, turn in ((0, 1), (np.pi / 2, 1j))
    )


def row(program, variant):
    data, check = program << 3 | variant, 0x2A
    for i in range(7, -1, -1):
        feed = ((check >> 5) & 1) ^ ((data >> i) & 1)
        check = ((check << 1) & 63) ^ (3 if feed else 0)
    return [1, 1, 0, 1, 0] + [(data >> i) & 1 for i in range(7, -1, -1)] + [(check >> i) & 1 for i in range(5, -1, -1)] + [0, 0, 1, 1, 1]


def share(bits, rates, heard):
    up = LONG / (1 - LOW / HIGH)
    x = np.array([i * EVERY + (up if b else LONG - up) for i, b in enumerate(bits)])
    order = np.argsort(x)
    x, whole = x[order], 23 * EVERY + LONG
    lines = np.column_stack([np.ones(24), x])
    fit = np.linalg.pinv(lines)
    middles = (x[:-1] + x[1:]) / 2
    parts = (np.r_[middles, max(whole, x[-1])] - np.r_[min(0, x[0]), middles]) / whole
    middle = fit[0] + fit[1] * whole / 2 + parts @ (np.eye(24) - lines @ fit)
    rough = np.zeros((22, 24))
    for i in range(1, 23):
        s = (x[i] - x[i - 1]) / (x[i + 1] - x[i - 1])
        rough[i - 1, i - 1 : i + 2] = np.array([-(1 - s), 1, -s]) / np.sqrt(1 + s * s + (1 - s) ** 2)
    errors = seen = 0
    for f, h in zip(rates, heard):
        y = np.array([np.exp(2j * np.pi * f * i * EVERY) * h[b] for i, b in enumerate(bits)])[order]
        truth = (np.exp(2j * np.pi * f * whole) - 1) / (2j * np.pi * f * whole)
        power = (1 / np.log(200) + f / 99.5) / f**2
        errors += power * abs(middle @ y - truth) ** 2
        seen += power * np.mean(abs(rough @ y) ** 2)
    return np.sqrt(errors / seen / (parts**2).sum())


for hz in (1, 5, 10, 20, 40):
    print(hz, np.round(says(hz, True), 4), np.round(says(hz, False), 4))
rates = 0.5 * 200 ** ((np.arange(100) + 0.5) / 100)
heard = [(says(f, False), says(f, True)) for f in rates]
for program, variant in ((10, 0), (10, 4), (2, 0)):
    print(program, variant, round(float(share(row(program, variant), rates, heard)), 3))
