"""The E24 series by the package `eseries`: for each resistance the smallest value that is not below it."""

import random
from importlib.metadata import version
from pathlib import Path

import table
from eseries import E24, find_greater_than_or_equal


def write(folder: Path) -> None:
    rng = random.Random(60063)
    asked = [1.0, 9.1, 9.2, 10.0, 150.0, 150.5, 910.0, 911.0, 9_100_000.0] + [round(10 ** rng.uniform(0.05, 6.9), 3) for _ in range(200)]
    rows = [(table.number(value), table.number(find_greater_than_or_equal(E24, value))) for value in asked]
    table.write(folder / "e24.csv", f"IEC 60063, by eseries {version('eseries')}, in ohms", "asked,next", rows)
