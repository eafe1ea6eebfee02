#!/usr/bin/env python3
"""validate_schema.py [--jsonl | --refused] SCHEMA FILE...

Checks files against data/schemas/SCHEMA.schema.json with the jsonschema library (Draft 2020-12), an
implementation that is not ours. With --jsonl every line is a document. Exit 0 when all are valid, 1 when one
is not (each fault with file and JSON place), 2 when something is missing. With --refused the other way round:
exit 0 when none is valid.
"""
import json
import pathlib
import sys
import warnings

import jsonschema

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "data" / "schemas"


def refuse_constant(word):
    raise ValueError(f"{word} is no JSON number")


def parse(text):
    return json.loads(text, parse_constant=refuse_constant)


def validator(name):
    schemas = [json.loads(p.read_text(encoding="utf-8")) for p in sorted(FOLDER.glob("*.schema.json"))]
    wanted = json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(wanted)
    try:  # jsonschema 4.18 and later
        import referencing
        registry = referencing.Registry().with_resources(
            [(s["$id"], referencing.Resource.from_contents(s)) for s in schemas])
        return jsonschema.Draft202012Validator(wanted, registry=registry)
    except ImportError:  # Debian 12 has 4.10
        warnings.simplefilter("ignore", DeprecationWarning)
        resolver = jsonschema.RefResolver.from_schema(wanted, store={s["$id"]: s for s in schemas})
        return jsonschema.Draft202012Validator(wanted, resolver=resolver)


def main(arguments):
    lines = "--jsonl" in arguments
    refused = "--refused" in arguments
    arguments = [a for a in arguments if not a.startswith("--")]
    if len(arguments) < 2:
        print(__doc__, file=sys.stderr)
        return 2
    check = validator(arguments[0])
    faults = 0
    accepted = []
    for name in arguments[1:]:
        text = pathlib.Path(name).read_text(encoding="utf-8-sig")
        documents = [t for t in text.splitlines() if t] if lines else [text]
        if not documents:
            print(f"{name}: empty")
            faults += 1
        before = faults
        for number, document in enumerate(documents, 1):
            where = f"{name}:{number}" if lines else name
            try:
                errors = sorted(check.iter_errors(parse(document)), key=lambda e: list(map(str, e.absolute_path)))
            except ValueError as trouble:
                print(f"{where}: {trouble}")
                faults += 1
                continue
            for error in [] if refused else errors:
                print(f"{where}: /{'/'.join(map(str, error.absolute_path))}: {error.message[:300]}")
            faults += len(errors)
        if faults == before:
            accepted.append(name)
    if refused:
        for name in accepted:
            print(f"{name}: valid, but should not be")
        return 1 if accepted else 0
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
