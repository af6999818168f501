"""What the makers of the sample studies share: numbers from a seed, the shape of a curve, and texts of files.

The formulas stand at the top of generate.py. Only the standard library is used.
"""

import json
import math
import random

NOTE = ("Invented data: made by a program from formulas, not measured on anyone. The college, its volunteers and its "
        "foods do not exist.")
GENERATOR = "sample_studies/generate.py"
UNIT = "food-science unit of an imagined Baltic college"


class Numbers:
    """Uniform and near-normal numbers from one seed."""

    def __init__(self, seed):
        self.source = random.Random(seed)

    def uniform(self, low, high):
        return low + (high - low) * self.source.random()

    def z(self):
        return sum(self.source.random() for _ in range(12)) - 6.0


def shape(t, tp, a):
    return (t / tp) ** a * math.exp(a * (1.0 - t / tp)) if t > 0 else 0.0


def shape_area(tp, a, end):
    return sum((shape(t, tp, a) + shape(t + 1, tp, a)) / 2.0 for t in range(end))


def visit_area(numbers, level, cv):
    return max(0.25 * level, level * (1.0 + cv * numbers.z()))


def glucose_at(t, curve):
    value = curve["fasting"] + curve["height"] * shape(t, curve["tp"], curve["a"])
    value -= curve["undershoot"] * math.exp(-(((t - 88.0) / 17.0) ** 2)) if t > 0 else 0.0
    return value + curve["second"] * shape(t - curve["second_at"], 30.0, 1.8)


def study_text(study):
    return json.dumps(study, indent=2, ensure_ascii=False) + "\n"


def rows_text(rows):
    return "".join(",".join(row) + "\n" for row in rows)
