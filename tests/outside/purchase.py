#!/usr/bin/env python3
"""Solves random purchases with HiGHS (an open integer programming solver, `highspy` on PyPI) and compares to the penny.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install highspy
    /tmp/venv/bin/python tests/outside/purchase.py --count 67 --seconds 60

Runs `cargo bench --bench purchase -- --write` first, which makes the instances, solves them and writes each as MPS. Prints the share
proven and the ratio of times for each size, and adds to `purchase.csv` beside this file: size, seed, and what HiGHS proved to be the
least cost, where it was done in time. `tests/all/buying.rs` holds the programme to these figures. HiGHS runs with one thread, a
feasibility tolerance of 1e-7 and gaps of 0.
"""

import argparse
import csv
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

import highspy

HERE = pathlib.Path(__file__).parent


def solve(path, seconds):
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("time_limit", float(seconds))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.0)
    highs.setOptionValue("primal_feasibility_tolerance", 1e-7)
    highs.setOptionValue("mip_feasibility_tolerance", 1e-7)
    highs.readModel(str(path))
    start = time.perf_counter()
    highs.run()
    spent = time.perf_counter() - start
    done = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    info = highs.getInfo()
    return done, round(info.objective_function_value), info.mip_dual_bound, spent


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--size")
    parser.add_argument("--keep", help="a folder for the MPS files")
    args = parser.parse_args()
    folder = pathlib.Path(args.keep or tempfile.mkdtemp())
    folder.mkdir(exist_ok=True)
    bench = ["cargo", "bench", "-q", "--bench", "purchase", "--", "--count", str(args.count), "--write", str(folder)]
    subprocess.run(bench + (["--size", args.size] if args.size else []), check=True)
    rows, wrong = [], 0
    for size in ["small", "medium", "large", "twenty-suppliers"]:
        times, ratios, proven, unsolved = [], [], 0, 0
        for seed in range(args.count):
            path = folder / f"{size}-{seed}.mps"
            if not path.exists():
                continue
            ours, bound, seconds = path.with_suffix(".txt").read_text().split()
            ours, bound, seconds = int(ours), int(bound), float(seconds)
            done, theirs, their_bound, spent = solve(path, args.seconds)
            if done and bound == ours and ours != theirs:
                wrong += 1
                print(f"DIFFERS {size} {seed}: ours {ours}, HiGHS {theirs}")
            elif bound > theirs or (bound == ours and their_bound > ours + 0.5):
                wrong += 1
                print(f"DIFFERS {size} {seed}: ours {bound}..{ours}, HiGHS {their_bound}..{theirs}")
            unsolved += not done
            proven += bound == ours
            times.append(spent)
            ratios.append(spent / seconds)
            rows.append([size, seed, theirs if done else ""])
            print(f"{size} {seed}: ours {ours} in {seconds:.3f} s, HiGHS {theirs}{'' if done else ' (not done)'} in {spent:.3f} s", flush=True)
        if times:
            print(
                f"{size}: {len(times)} instances, proven by us {proven}, not done by HiGHS in time {unsolved}; "
                f"HiGHS takes {statistics.median(times):.3f} s in the median, {statistics.median(ratios):.0f} times as long as we do"
            )
    figures = HERE / "purchase.csv"
    known = {}
    if figures.exists():
        with open(figures, newline="") as file:
            known = {(row["size"], int(row["seed"])): row["least"] for row in csv.DictReader(file)}
    known.update({(size, seed): least for size, seed, least in rows if least != ""})
    with open(figures, "w", newline="") as out:
        lines = [[size, seed, least] for (size, seed), least in sorted(known.items())]
        csv.writer(out, lineterminator="\n").writerows([["size", "seed", "least"], *lines])
    sys.exit(wrong > 0)


if __name__ == "__main__":
    main()
