#!/usr/bin/env python3
"""Reads one file with pandas. Usage: intake_compare_pandas.py FILE; prints name, seconds, CPU seconds, peak MB."""
import resource
import sys
import time

import pandas

path = sys.argv[1]
begin, cpu = time.perf_counter(), time.process_time()
if path.endswith(".xlsx"):
    name = "pandas.read_excel (openpyxl)"
    table = pandas.read_excel(path, engine="openpyxl")
else:
    name = "pandas.read_csv"
    table = pandas.read_csv(path)
seconds, cpu = time.perf_counter() - begin, time.process_time() - cpu
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6
assert len(table.columns) == 6 and len(table) > 0
print(f"{name}\t{seconds:.3f}\t{cpu:.3f}\t{peak:.0f}\t{len(table)} rows")
