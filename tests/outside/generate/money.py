"""Currencies by the package `iso4217`, and amounts rounded to the minor unit by Python's `decimal`."""

import random
from decimal import ROUND_HALF_UP, Decimal
from importlib.metadata import version
from pathlib import Path

import table
from iso4217 import Currency


def write(folder: Path) -> None:
    places = {currency.code: currency.exponent for currency in Currency if currency.exponent is not None}
    source = f"ISO 4217, by iso4217 {version('iso4217')}"
    table.write(folder / "currencies.csv", source, "code,places", sorted(places.items()))

    rng = random.Random(4217)
    rows = []
    for _ in range(200):
        code = rng.choice(["EUR", "GBP", "USD", "JPY", "KWD", "BHD"])
        # Halves of a minor unit come up often: four or five digits of which the last is often a 5.
        amount = Decimal(rng.randint(-200_000, 9_999_999)).scaleb(-rng.randint(1, 4)) * 5
        minor = amount.scaleb(places[code]).quantize(Decimal(1), rounding=ROUND_HALF_UP)
        rows.append((f"{amount:f}", code, int(minor)))
    table.write(folder / "rounding.csv", "rounded half away from zero by Python's decimal", "amount,code,minor", rows)
