"""Turns the declarations of the npm package schema-dts into a table of schema.org's vocabulary.

    npm pack schema-dts@2.1.0 && tar xzf schema-dts-2.1.0.tgz
    python3 from_schema_dts.py package/dist/schema.d.ts > vocabulary.tsv

Rows: `class`, its name, its parents; `property`, its name, the classes it may stand on, what its values may be, and
what has taken its place, if anything. Lists are parted by blanks. Order: by name.
"""

import re
import sys

HEAD = """\
# The vocabulary of schema.org as test data: classes and properties.
# Source: npm package schema-dts 2.1.0 (dist/schema.d.ts), Copyright Google LLC, Apache License 2.0,
# https://github.com/google/schema-dts; the terms themselves are schema.org's, CC BY-SA 3.0.
# Changed: only names, parents, domains, ranges and superseding are kept; made by from_schema_dts.py beside this file.
"""


def short(name):
    """A class of schema.org itself: the names of others hold their whole address."""
    name = name.lstrip("_")
    return None if "_" in name else name


def parents_of(text):
    found = []
    for part in re.findall(r"\b(\w+?)(?:Base)\b", text):
        name = short(part)
        if name and name not in found:
            found.append(name)
    return found


def main(path):
    lines = open(path, encoding="utf-8").read().split("\n")
    classes, properties, superseded = {}, {}, {}
    at_class, deprecated = None, None
    for line in lines:
        opened = re.match(r"(?:export )?interface (\w+?)(Base|Leaf)(?:<[^>]*>)? extends (.*) \{$", line)
        typed = re.match(r"export type (\w+?)Leaf<[^=]*= Omit<(\w+?)Base,", line)
        # What a data type may also be: Text takes a URL, Number an Integer.
        data = re.match(r"export type (Text|Number|Quantity) = (.*);$", line)
        if opened:
            name = short(opened[1])
            at_class = name
            if name:
                parents = [one for one in parents_of(opened[3]) if one != name]
                known = classes.setdefault(name, [])
                known.extend(one for one in parents if one not in known)
        elif typed:
            name, parent = short(typed[1]), short(typed[2])
            classes.setdefault(name, [] if name == parent else [parent])
        elif data:
            for kind in re.findall(r"\b[A-Z]\w*\b", data[2]):
                classes.setdefault(kind, []).append(data[1])
            classes.setdefault(data[1], [])
        elif line.startswith("}"):
            at_class = None
        deprecation = re.search(r"@deprecated Consider using https://schema\.org/(\w+)", line)
        if deprecation:
            deprecated = deprecation[1]
        field = re.match(r'    "(\w+)"\?: SchemaValue<(.*), "\w+">;$', line)
        if field and at_class:
            domains, ranges = properties.setdefault(field[1], (set(), set()))
            domains.add(at_class)
            ranges.update(one for one in re.findall(r"\w+", field[2]) if one != "IdReference" and short(one))
            if deprecated:
                superseded[field[1]] = deprecated
        if field or line.startswith(("}", "export", "interface")):
            deprecated = None
    for kind in "Boolean Date DateTime Time Duration Distance Energy Mass".split():
        classes.setdefault(kind, [])
    print(HEAD, end="")
    for name in sorted(classes):
        print("class", name, " ".join(classes[name]), sep="\t")
    for name in sorted(properties):
        domains, ranges = properties[name]
        row = [name, " ".join(sorted(domains)), " ".join(sorted(ranges)), superseded.get(name, "")]
        print("property", *row, sep="\t")


main(sys.argv[1])
