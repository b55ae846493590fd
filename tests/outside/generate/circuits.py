"""Circuits simulated by ngspice.

A netlist in `netlists` says itself what is measured: a line `* figure NAME EXPRESSION` asks for the operating point, a line
`* measure NAME STATEMENT` for a transient measurement. Feeds made at random are written into `feeds.cir` beside the figures,
so that the tests solve the very same networks.
"""

import random
import re
import subprocess
import tempfile
from pathlib import Path

import table

NETLISTS = Path(__file__).resolve().parent.parent / "netlists"


def version() -> str:
    out = subprocess.run(["ngspice", "--version"], capture_output=True, text=True, check=True).stdout
    return re.search(r"ngspice-(\d+)", out).group(0)


def simulate(netlist: str) -> dict[str, float]:
    """Runs the analysis that the netlist's comments ask for, and reads the figures back."""
    figures = re.findall(r"^\* figure (\S+) (.+)$", netlist, re.M)
    measures = re.findall(r"^\* measure (\S+) (.+)$", netlist, re.M)
    control = ["set numdgt=10"]
    if figures:
        control += ["op"] + [line for name, expression in figures for line in (f"let {name} = {expression}", f"print {name}")]
    if measures:
        control += ["run"] + [f"meas tran {name} {statement}" for name, statement in measures]
    body = re.sub(r"^\.end\s*$", "", netlist, flags=re.M)
    with tempfile.NamedTemporaryFile("w", suffix=".cir") as file:
        file.write(body + "\n.options reltol=1e-7 abstol=1e-13 vntol=1e-10\n.control\n" + "\n".join(control) + "\nquit\n.endc\n.end\n")
        file.flush()
        out = subprocess.run(["ngspice", "-b", file.name], capture_output=True, text=True).stdout
    values = {}
    for name, _ in figures + measures:
        match = re.search(rf"^{name.lower()}\s*=\s*([-+.0-9eE]+)", out, re.M)
        if match is None:
            raise RuntimeError(f"ngspice gave no {name}:\n{out}")
        values[name] = float(match.group(1))
    return values


def random_feed(rng: random.Random, name: str) -> str:
    """A feed of outgoing conductors and returns with loads between them, some of constant power, some loops closed."""
    voltage = rng.choice([5, 12, 16])
    lines = [f"* {name}", f"vsource out 0 dc {voltage}"]
    pairs = [("out", "0")]
    for k in range(rng.randint(2, 12)):
        out, back = rng.choice(pairs)
        lines.append(f"ro{k} {out} a{k} {rng.uniform(0.005, 0.2):.4f}")
        shared = rng.random() < 0.3
        lines.append(f"rb{k} b{k} {rng.choice(pairs)[1] if shared else back} {rng.uniform(0.005, 0.2):.4f}")
        lines.append(f".nodeset v(a{k})={voltage} v(b{k})=0")
        pairs.append((f"a{k}", f"b{k}"))
    for k in range(rng.randint(0, 3)):
        side = rng.randrange(2)
        a, b = rng.choice(pairs)[side], rng.choice(pairs)[side]
        if a != b:
            lines.append(f"rc{k} {a} {b} {rng.uniform(0.01, 0.3):.4f}")
    figures = []
    for k in range(rng.randint(1, 8)):
        out, back = rng.choice(pairs)[0], rng.choice(pairs)[1]
        if rng.random() < 0.5:
            lines.append(f"i{k} {out} {back} {rng.uniform(0.01, 0.25):.4f}")
        else:
            lines.append(f"b{k} {out} {back} i={rng.uniform(0.05, 0.25) * voltage:.4f}/v({out},{back})")
        across = f"v({out})" if back == "0" else f"v({out})-v({back})"
        figures.append(f"* figure load{k} {across}")
    figures.append("* figure total -i(vsource)")
    return "\n".join(lines + figures + [".end"]) + "\n"


def write(folder: Path) -> None:
    rows = []
    for path in sorted(NETLISTS.glob("*.cir")):
        rows += [(path.stem, name, table.number(value)) for name, value in simulate(path.read_text(encoding="utf-8")).items()]
    rng = random.Random(60228)
    feeds = [random_feed(rng, f"random-{number:02}") for number in range(40)]
    (folder / "feeds.cir").write_text("".join(feeds), encoding="utf-8")
    for number, feed in enumerate(feeds):
        rows += [(f"random-{number:02}", name, table.number(value)) for name, value in simulate(feed).items()]
    table.write(folder / "circuits.csv", f"simulated by {version()}, in volts, amperes, joules and seconds", "circuit,figure,value", rows)
