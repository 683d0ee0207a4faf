"""Reads `cargo metadata` and names every dependency that offers none of the licences given as arguments."""
import json
import re
import sys

allowed = set(sys.argv[1:])


def offered(expression: str) -> bool:
    """Whether one way through an SPDX expression of OR, AND, WITH and brackets is allowed."""
    text = re.sub(r"\s+WITH\s+\S+", "", expression).replace("/", " OR ")
    words = re.findall(r"\(|\)|[^\s()]+", text)
    code = {"OR": "or", "AND": "and", "(": "(", ")": ")"}
    # only True, False, and, or, and brackets reach eval
    return bool(eval(" ".join(code.get(word) or str(word in allowed) for word in words)))


packages = [package for package in json.load(sys.stdin)["packages"] if package["source"]]
bad = [package for package in packages if not package["license"] or not offered(package["license"])]
for package in bad:
    print(f"{package['name']} {package['version']}: {package['license'] or 'no licence named'}")
print(f"{len(packages)} dependencies, {len(bad)} to look at")
sys.exit(1 if bad or not packages else 0)
