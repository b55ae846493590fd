"""Writes every figure into the folder named on the command line."""

import sys
from pathlib import Path

import beams
import circuits
import hours
import money
import paths
import preferred
import purchase

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for source in (circuits, preferred, money, paths, hours, beams, purchase):
        source.write(folder)
