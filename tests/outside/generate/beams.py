"""The rod over its fulcrum as a beam, by the beams of sympy.

The drive moves the lower end sideways by half its travel; the blades stop the tip at half of theirs. Force at the tip and largest
bending stress follow from the boundary conditions alone: the lower end pinned or clamped, the fulcrum a simple support.
"""

import random
from importlib.metadata import version
from pathlib import Path

import table
from sympy import N, Rational, pi, solve, symbols
from sympy.physics.continuum_mechanics.beam import Beam


def rod(clamped: bool, diameter, above, below, drive, blades, modulus):
    """The force on the tip, and the largest bending moment over the section's modulus.

    Solved for a rigidity of one and scaled. Seen from the drive, the fulcrum moves by half the drive's travel to one side, and the
    blades stop the tip at that and half of their own travel.
    """
    lower, fulcrum, couple, force, turn, x = symbols("lower fulcrum couple force turn x")
    beam = Beam(below + above, 1, 1)
    beam.apply_load(lower, 0, -1)
    beam.apply_load(couple, 0, -2)
    beam.apply_load(fulcrum, below, -1)
    beam.apply_load(force, below + above, -1)
    beam.bc_deflection = [(0, 0)]
    beam.bc_slope = [(0, 0)]
    beam.solve_for_reaction_loads(lower, couple)
    # A pinned end bears no couple and turns; a clamped one bears a couple and does not turn.
    bent = beam.deflection() + turn * x
    end = turn if clamped else beam.reaction_loads[couple]
    held = solve([bent.subs(x, below) - drive / 2, bent.subs(x, below + above) - drive / 2 - blades / 2, end], [fulcrum, force, turn])
    moment = beam.bending_moment().subs(held)
    largest = max(abs(moment.subs(x, at)) for at in (Rational(1, 10**12), below))
    rigidity = modulus * pi * diameter**4 / 64
    return abs(N(held[force] * rigidity)), N(largest * rigidity * 32 / (pi * diameter**3))


def write(folder: Path) -> None:
    rng = random.Random(228)
    rows = []
    for clamped in (False, True):
        for _ in range(8):
            um, modulus = rng.choice([(500, 203_400), (800, 203_400), (1000, 200_000), (1200, 200_000), (2000, 196_500)])
            above, below, drive = rng.randint(20, 60), rng.randint(10, 50), rng.randint(8, 15)
            blades = rng.randint(9, 25)
            force, stress = rod(clamped, Rational(um, 1000), above, below, Rational(drive), Rational(blades, 10), modulus)
            rows.append(("clamped" if clamped else "pinned", um, above, below, drive, blades * 100, table.number(force), table.number(stress)))
    source = f"beams by sympy {version('sympy')}, moduli of music wire by Shigley's table 10-5, in newtons and N/mm2"
    table.write(folder / "rods.csv", source, "end,diameter_um,above_mm,below_mm,drive_mm,blades_um,force,stress", rows)
