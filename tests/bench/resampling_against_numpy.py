# Times a sign flip and a bootstrap of the mean by NumPy arrays on the pairs of a file, where NumPy is installed.
# Usage: python3 resampling_against_numpy.py PAIRS.csv RESAMPLES FLIPS RUNS; prints what, n, CPU seconds: the best of RUNS.
import sys
import time

import numpy

path, resamples, flips, runs = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
table = numpy.loadtxt(path, delimiter=",", skiprows=1)
d = table[:, 0] - table[:, 1]
n = len(d)
random = numpy.random.Generator(numpy.random.Philox(1))


def best(work):
    seconds = []
    for _ in range(runs):
        begin = time.process_time()
        work()
        seconds.append(time.process_time() - begin)
    return min(seconds)


def flip():
    block = max(1, min(flips, 10**7 // n))
    limit = abs(d.sum()) - 1e-12 * numpy.abs(d).sum()
    extreme = done = 0
    while done < flips:
        m = min(block, flips - done)
        signs = random.integers(0, 2, size=(m, n), dtype=numpy.int8) * 2.0 - 1.0
        extreme += int((numpy.abs(signs @ d) >= limit).sum())
        done += m
    return (extreme + 1) / (flips + 1)


def resample():
    means = d[random.integers(0, n, size=(resamples, n))].mean(axis=1)
    return numpy.quantile(means, [0.025, 0.975])


print(f"sign flips, NumPy\t{n}\t{best(flip):.6f}")
print(f"bootstrap mean, NumPy\t{n}\t{best(resample):.6f}")
