"""Reads lines "value<TAB>unit<TAB>unit" and prints each value converted, with all digits of a float."""

import sys

import pint

registry = pint.UnitRegistry()
for line in sys.stdin:
    value, source, target = line.rstrip("\n").split("\t")
    print(repr(float(registry.Quantity(float(value), source).to(target).magnitude)))
