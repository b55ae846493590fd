"""Checks that what the program prints as JSON is what its own JSON Schema says, and that the shipped layouts keep to theirs.

    python schemas.py PROGRAM    PROGRAM is the built underboard; runs in the top folder of the project

The validator is `jsonschema` (PyPI), an implementation of draft 2020-12; layouts are read by `PyYAML` (PyPI).
"""

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import yaml

VERBS = ("compare", "bill", "shop", "wiring", "power", "hours", "check")


def ran(program: str, *args: str) -> str:
    done = subprocess.run([program, *args], capture_output=True, text=True, check=False)
    # 1 says that the plan falls short; the report is whole all the same.
    if done.returncode not in (0, 1):
        sys.exit(f"{' '.join(args)}: exit {done.returncode}\n{done.stderr}")
    return done.stdout


def validator(text: str):
    schema = json.loads(text)
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    return kind(schema)


def main(program: str) -> None:
    reports = validator(ran(program, "schema"))
    layouts = validator(ran(program, "schema", "layout"))
    seen = 0
    for layout in sorted(Path("examples").glob("*.yaml")):
        written = yaml.safe_load(layout.read_text(encoding="utf-8"))
        layouts.validate(written)
        # A schema that takes anything would pass too.
        if layouts.is_valid(written | {"turnuots": []}):
            sys.exit(f"{layout}: the schema takes a key that no layout has")
        for verb in VERBS:
            report = json.loads(ran(program, verb, str(layout), "--format", "json"))
            reports.validate(report)
            # Without its version no report is one.
            del report["version"]
            if reports.is_valid(report):
                sys.exit(f"{verb} of {layout}: the schema does not ask for a version")
            seen += 1
    print(f"{seen} reports and the layouts they are of keep to their schemas")


if __name__ == "__main__":
    main(sys.argv[1])
