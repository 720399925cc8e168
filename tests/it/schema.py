"""Holds descriptions against JSON Schema, draft 2020-12: each is a schema, its own cases meet it, and wrong ones do not."""

import json
import sys

from jsonschema import Draft202012Validator

wrong = []
n_met = n_refused = 0
for described in json.load(sys.stdin):
    name, schema = described["name"], described["schema"]
    Draft202012Validator.check_schema(schema)
    if schema["$schema"] != "https://json-schema.org/draft/2020-12/schema":
        wrong.append(f"{name}: names another draft")
    validator = Draft202012Validator(schema)
    for case in described["meets"]:
        errors = [f"{name}: {'/'.join(map(str, error.path))}: {error.message[:200]}" for error in validator.iter_errors(case)]
        wrong.extend(errors)
        n_met += not errors
    for case in described["does_not_meet"]:
        if validator.is_valid(case):
            wrong.append(f"{name}: takes {json.dumps(case)[:200]}")
        else:
            n_refused += 1
json.dump({"wrong": wrong, "met": n_met, "refused": n_refused}, sys.stdout)
