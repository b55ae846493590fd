"""The least cost of random purchases and of the harbour example, by HiGHS (an open integer programming solver, `highspy` on PyPI).

The instances are those of `tests/all/instances.rs`: `cargo bench --bench purchase -- --write` makes them, solves them and writes each
as MPS with the crate's own result and time. HiGHS solves the same files with one thread, a feasibility tolerance of 1e-7 and gaps of
0. Where both have proven an optimum it is the same to the coin, or the script fails; the shares proven and the ratio of times go to
standard error. What is written holds no times, so that two runs agree.
"""

import csv
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import highspy
from table import write as write_table

ROOT = Path(__file__).parents[3]
SOURCE = "least cost in minor units by HiGHS (highspy); what it has not done within a minute is left out"
COUNTS = {"small": 67, "medium": 67, "large": 66, "twenty-suppliers": 6}
# With `--check` so many of each are solved anew, the rest is taken from the committed figures: HiGHS takes minutes for all.
CHECKED = {"small": 67, "medium": 67, "large": 8, "twenty-suppliers": 0}
SECONDS = 60


def solve(path: Path, seconds: float = SECONDS):
    """Whether it was done, the best total, the bound, and the seconds it took."""
    highs = highspy.Highs()
    options = {
        "output_flag": False,
        "threads": 1,
        "time_limit": float(seconds),
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.0,
        "primal_feasibility_tolerance": 1e-7,
        "mip_feasibility_tolerance": 1e-7,
    }
    for name, value in options.items():
        highs.setOptionValue(name, value)
    if highs.readModel(str(path)) == highspy.HighsStatus.kError:
        sys.exit(f"HiGHS cannot read {path}")
    start = time.perf_counter()
    highs.run()
    spent = time.perf_counter() - start
    info = highs.getInfo()
    done = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return done, round(info.objective_function_value), info.mip_dual_bound, spent


def bench(folder: Path, size: str, count: int) -> None:
    command = ["cargo", "bench", "--locked", "-q", "--bench", "purchase", "--"]
    subprocess.run(
        [*command, "--size", size.replace("-", " "), "--count", str(count), "--write", str(folder)],
        check=True,
        cwd=ROOT,
        stdout=sys.stderr,
    )


def compare(folder: Path, size: str, count: int):
    """The least costs of a size; fails where the two disagree."""
    rows, ours_taken, theirs_taken, proven = [], [], [], {1: 0, 10: 0}
    for seed in range(count):
        path = folder / f"{size}-{seed}.mps"
        total, bound, taken = path.with_suffix(".txt").read_text().split()
        total, bound, taken = int(total), int(bound), float(taken)
        done, theirs, their_bound, spent = solve(path)
        both = done and bound == total
        if (both and theirs != total) or bound > theirs or (bound == total and their_bound > total + 0.5):
            sys.exit(f"{size} {seed}: ours {bound}..{total}, HiGHS {their_bound}..{theirs}")
        for limit in proven:
            proven[limit] += bound == total and taken <= limit
        ours_taken.append(taken)
        theirs_taken.append(spent)
        if done:
            rows.append(((size, seed), theirs))
    ratio = statistics.median(theirs_taken) / statistics.median(ours_taken)
    print(
        f"{size}: {count} purchases, proven in 1 s {proven[1]}, in 10 s {proven[10]}; median {statistics.median(ours_taken):.4f} s, "
        f"HiGHS {statistics.median(theirs_taken):.4f} s: {ratio:.0f} times as long; not done by HiGHS {count - len(rows)}",
        file=sys.stderr,
    )
    return rows


def harbour(folder: Path):
    """The programme that `shop --mps` writes for each scheme of the example, solved."""
    for scheme in ("solenoid", "servo-made", "stall-motor"):
        path = folder / f"harbour-{scheme}.mps"
        command = ["cargo", "run", "--locked", "-q", "--release", "--", "shop", "examples/saltmarsh-harbour.yaml"]
        subprocess.run([*command, "--scheme", scheme, "--mps", str(path)], check=True, cwd=ROOT, stdout=subprocess.DEVNULL)
        done, least, _, _ = solve(path, 120)
        if done:
            yield (f"harbour {scheme}", 0), least


def committed():
    with (Path(__file__).parents[1] / "figures" / "purchase.csv").open(encoding="utf-8") as file:
        lines = list(csv.reader(line for line in file if not line.startswith("#")))
    return {(size, int(seed)): least for size, seed, least in lines[1:]}


def write(folder: Path) -> None:
    quick = bool(os.environ.get("QUICK"))
    solved = {}
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        for size, count in (CHECKED if quick else COUNTS).items():
            if count:
                bench(work, size, count)
                solved.update(compare(work, size, count))
        solved.update(harbour(work))
    if quick:
        # What was not done in time this time stands; a figure that is new is no contradiction.
        solved = {key: solved.get(key, least) for key, least in committed().items()}
    order = [*COUNTS]
    place = lambda key: (order.index(key[0]) if key[0] in order else len(order), *key)
    write_table(folder / "purchase.csv", SOURCE, "size,seed,least", [(*key, solved[key]) for key in sorted(solved, key=place)])
