"""Writes a table as CSV with a line of comment that names its source."""

from pathlib import Path


def write(path: Path, source: str, heading: str, rows) -> None:
    lines = [f"# {source}", heading, *(",".join(str(cell) for cell in row) for row in rows)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def number(value: float) -> str:
    """Ten digits: more than any comparison looks at, few enough to be the same on every machine."""
    return f"{float(value):.10g}"
