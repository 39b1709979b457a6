# Checks the JSON on the standard input against the schema named as the argument; prints what does not fit.
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
validator = jsonschema.validators.validator_for(schema)(schema)
for error in validator.iter_errors(json.load(sys.stdin)):
    print(error.json_path, error.message)
