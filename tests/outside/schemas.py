"""Checks that what the program prints as JSON is what its own JSON Schema says, and that the shipped layouts keep to theirs.

    python schemas.py PROGRAM    PROGRAM is the built underboard; runs in the top folder of the project

The validator is `jsonschema` (PyPI), an implementation of draft 2020-12.
"""

import json
import subprocess
import sys
from pathlib import Path

import jsonschema

VERBS = ("compare", "bill", "shop", "wiring", "power", "hours", "check")


def ran(program: str, *args: str) -> str:
    done = subprocess.run([program, *args], capture_output=True, text=True, check=False)
    # 1 says that the plan falls short; the report is whole all the same.
    if done.returncode not in (0, 1):
        sys.exit(f"{' '.join(args)}: exit {done.returncode}\n{done.stderr}")
    return done.stdout


def main(program: str) -> None:
    schema = json.loads(ran(program, "schema"))
    validator = jsonschema.validators.validator_for(schema)
    validator.check_schema(schema)
    reports = validator(schema)
    seen = 0
    for layout in sorted(Path("examples").glob("*.yaml")):
        for verb in VERBS:
            report = json.loads(ran(program, verb, str(layout), "--format", "json"))
            reports.validate(report)
            # A schema that takes anything would pass too: without its version no report is one.
            del report["version"]
            if reports.is_valid(report):
                sys.exit(f"{verb} of {layout}: the schema does not ask for a version")
            seen += 1
    print(f"{seen} reports keep to the schema")


if __name__ == "__main__":
    main(sys.argv[1])
