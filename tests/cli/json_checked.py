"""What a command prints with `--json`, held against its schema by a validator of its own (the package jsonschema)."""

from __future__ import annotations

import json
from functools import cache

from jsonschema import Draft202012Validator

from crewjobs.cli.json_answers import answer_schema


@cache
def validator_of(command: str) -> Draft202012Validator:
    """The validator of a command's answers."""
    return Draft202012Validator(answer_schema(command))


def checked(command: str, printed: str) -> object:
    """Return what was printed as data, once it is JSON without Infinity and NaN and as its schema says."""

    def no_number(word: str) -> object:
        raise AssertionError(f"{word} is no JSON")

    found = json.loads(printed, parse_constant=no_number)
    faults = [f"{fault.json_path}: {fault.message[:300]}" for fault in validator_of(command).iter_errors(found)]
    assert not faults, f"crewjobs {command} --json: {faults[:5]}"
    return found
