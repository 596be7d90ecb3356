"""A reader of printed sums: it knows school arithmetic and nothing of the program that printed them."""

from __future__ import annotations

import math
import re

UNITS = r"(?:g/cm³|g/mm³|kg/m³|m/s²|m/s|kg m/s|N m|N s|cm³|cm²|mm|cm|kg|ms|[gmsNJW%])"
NUMBER = rf"(\d+(?:\.\d+)?)(?:\s?(?:{UNITS}))?°?(?![A-Za-z])"
KNOWN = {"log": math.log, "arctan": lambda x: math.degrees(math.atan(x)), "erf": math.erf, "root": math.sqrt}


def both_sides(text: str) -> tuple[float, float, float]:
    """What the left of a sum comes to, what is printed on its right, and half a unit of the last printed digit."""
    left, _, right = text.rpartition(" = ")
    answer = re.search(r"−?\d+(?:\.\d+)?", right)
    assert answer is not None, text
    printed = answer[0].replace("−", "-")
    places = len(printed.partition(".")[2])
    digits = printed.lstrip("-")
    step = 10.0**-places
    if not places and digits.endswith("0") and len(digits) > 3:
        step = 10.0 ** (len(digits) - 3)  # three figures, rounded to tens
    return worth(left), float(printed), 0.5 * step


def worth(left: str) -> float:
    """The left side in plain arithmetic."""
    plain = re.sub(NUMBER, r"\1", left)
    for sign, python in (("÷", "/"), ("×", "*"), ("−", "-"), ("²", "**2"), ("½", "0.5"), ("√2", "root(2)")):
        plain = plain.replace(sign, python)
    assert re.fullmatch(r"[\d.\s()+*/\-]|(?:[\d.\s()+*/\-]|arctan|erf|root|log)+", plain), (left, plain)
    return float(eval(plain, {"__builtins__": {}}, dict(KNOWN)))
