"""Reads the corpus with a general-purpose reader of quantities and prints where it and the labels differ.

    python3 -m pip install --target FOLDER quantulum3==0.10.0
    PYTHONPATH=FOLDER python3 tests/data/second_opinion.py tests/data/corpus.tsv

It knows no kitchen: bounds, pairs, gas marks, counts of things and the home of a cup are beyond it, so only words, kind and
value are compared, and its numbers without a unit are left out. No test needs it, nor does it need the net.
"""

import re
import sys
import warnings

warnings.filterwarnings("ignore")
from quantulum3 import parser  # noqa: E402 (it warns on loading)

US, UK = 3785.411784, 4546.09
VOLUMES = {"gallon": 1, "quart": 4, "pint": 8, "cup": 16, "fluid ounce": 160, "tablespoon": 256, "teaspoon": 768}
METRIC = {"cup": (250, 250), "tablespoon": (15, 20), "teaspoon": (5, 5)}
FIXED = {
    "gram": ("mass", 1),
    "kilogram": ("mass", 1000),
    "milligram": ("mass", 0.001),
    "ounce": ("mass", 28.349523125),
    "pound-mass": ("mass", 453.59237),
    "stone": ("mass", 6350.29318),
    "litre": ("volume", 1000),
    "millilitre": ("volume", 1),
    "decilitre": ("volume", 100),
    "centilitre": ("volume", 10),
    "cubic centimetre": ("volume", 1),
    "second": ("time", 1),
    "minute": ("time", 60),
    "hour": ("time", 3600),
    "day": ("time", 86400),
    "week": ("time", 604800),
    "fortnight": ("time", 1209600),
    "month": ("time", 2629746),
    "millimetre": ("length", 1),
    "centimetre": ("length", 10),
    "metre": ("length", 1000),
    "inch": ("length", 25.4),
    "foot": ("length", 304.8),
    "percentage": ("share", 0.01),
    "parts-per-million": ("share", 0.000001),
    "drop": ("volume", 0.05),
    "dessertspoon": ("volume", 10),
    "minute of arc": ("time", 60),  # without its trained part it cannot tell the two minutes apart
    "second of arc": ("time", 1),
}


def base(value, unit, home):
    """The kind and the value in the unit the corpus uses, or None for a unit it has no use for."""
    if unit == "degree Celsius":
        return "temperature", value
    if unit == "degree fahrenheit":
        return "temperature", (value - 32) / 1.8
    if unit == "degree angle":
        return "degrees", value
    if unit in VOLUMES:
        if home != "us" and unit in METRIC:
            return "volume", value * METRIC[unit][home == "au"]
        parts = 128 if home == "us" and unit == "fluid ounce" else VOLUMES[unit]
        return "volume", value * (US if home == "us" else UK) / parts
    if unit in FIXED:
        kind, size = FIXED[unit]
        return kind, value * size
    return None


def sentences(path):
    """Yields number, home, sentence and labels, each a list of fields."""
    found = []
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            if line.startswith("#"):
                continue
            fields = [re.sub(r"\\u([0-9a-f]{4})", lambda m: chr(int(m[1], 16)), f) for f in line.rstrip("\n").split("\t")]
            if fields[0]:
                found.append((fields[0], fields[1], fields[2], []))
            else:
                found[-1][3].append(fields[1:])
    return found


def places(text, labels):
    """Where each label's words stand, in order, never inside another number or word."""
    at = 0
    for label in labels:
        pattern = re.escape(label[0])
        before = r"(?<![^\W_])" if label[0][0].isalnum() else ""
        after = r"(?![^\W_])" if label[0][-1].isalnum() else ""
        match = re.compile(before + pattern + after).search(text, at)
        at = match.end()
        yield match.start(), match.end(), label


def same(one, label):
    kind, low, high = label[1], float(label[2]), float(label[3])
    if one is None:
        return False
    own_kind, own_low, own_high = one
    if own_kind == "degrees":
        return False
    near = lambda a, b: abs(a - b) <= 1e-4 * max(abs(a), abs(b), 1e-9)
    return own_kind == kind and near(own_low, low) and near(own_high, high)


def opinion(text, home):
    """What the library reads: start, end, words, unit, and the value in the corpus's unit."""
    for one in parser.parse(text):
        if one.unit.name == "dimensionless":
            continue
        spread = one.uncertainty or 0
        low, high = base(one.value - spread, one.unit.name, home), base(one.value + spread, one.unit.name, home)
        yield *one.span, one.surface, one.unit.name, low and (low[0], low[1], high[1])


def main():
    labels = alike = outside = read = bare = 0
    quiet = [0, 0]
    for number, home, text, wanted in sentences(sys.argv[1]):
        try:
            ones = list(opinion(text, home))
        except Exception as error:  # the library fails on some sentences
            print(f"{number}\t{text}\n    fails: {error!r}")
            ones = []
        read += len(ones)
        placed = list(places(text, wanted))
        notes = []
        if not wanted:
            quiet[0] += 1
            quiet[1] += bool(ones)
        for start, end, label in placed:
            if label[1] == "count":
                bare += 1
                continue
            labels += 1
            beside = [one for one in ones if one[0] < end and start < one[1]]
            if any((one[0], one[1]) == (start, end) and same(one[4], label) for one in beside):
                alike += 1
            else:
                notes.append(f"    label {label[:4]}, read {[one[2:5] for one in beside]}")
        for one in ones:
            if not any(one[0] < end and start < one[1] for start, end, _ in placed):
                outside += 1
                notes.append(f"    no label, read {one[2:5]}")
        if notes:
            print(f"{number}\t{home}\t{text}", *notes, sep="\n")
    print(f"{labels} labels besides {bare} counts, {alike} read alike; {read} read with a unit, {outside} of them beside no label;")
    print(f"{quiet[1]} of {quiet[0]} sentences without a quantity read as having one")


main()
