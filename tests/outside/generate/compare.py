"""Compares two folders of figures: the same files, the same words, numbers equal to one part in a hundred thousand."""

import sys
from pathlib import Path


def same(a: str, b: str) -> bool:
    if a == b:
        return True
    try:
        x, y = float(a), float(b)
    except ValueError:
        return False
    return abs(x - y) <= 1e-5 * max(abs(x), abs(y)) + 1e-9


def differences(committed: Path, fresh: Path):
    names = sorted({path.name for folder in (committed, fresh) for path in folder.iterdir()})
    for name in names:
        if not ((committed / name).exists() and (fresh / name).exists()):
            yield f"{name}: only in one of the two"
            continue
        before = (committed / name).read_text(encoding="utf-8").splitlines()
        after = (fresh / name).read_text(encoding="utf-8").splitlines()
        if len(before) != len(after):
            yield f"{name}: {len(before)} lines committed, {len(after)} now"
            continue
        for place, (a, b) in enumerate(zip(before, after), start=1):
            # The first line names the tools with their versions; another version that gives the same figures is welcome.
            if place > 1 and not (len(a.split(",")) == len(b.split(",")) and all(map(same, a.split(","), b.split(",")))):
                yield f"{name}:{place}: {a} is now {b}"


if __name__ == "__main__":
    found = list(differences(Path(sys.argv[1]), Path(sys.argv[2])))
    print("\n".join(found) if found else "the figures stand")
    sys.exit(1 if found else 0)
