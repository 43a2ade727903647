"""Conversion to SI by GNU Units, the program."""

import re
import subprocess

NUMBER = r"-?[0-9]+(\.[0-9]+)?(/[0-9]+)?"
AMOUNT = re.compile("^%s(\\.\\.%s)?( [^0-9 ]\\S*| 1/M?\\S+)?$" % (NUMBER, NUMBER))

# The records' notation -> that of GNU Units, and the SI unit wanted.
UNITS = {
    "mm": ("mm", "m"), "m": ("m", "m"), "in": ("inch", "m"), "thou": ("mil", "m"), "ft": ("ft", "m"),
    "mm2": ("mm^2", "m^2"), "m2": ("m^2", "m^2"), "in2": ("in^2", "m^2"), "ft2": ("ft^2", "m^2"),
    "L": ("liter", "m^3"), "gal": ("gallon", "m^3"), "in3": ("in^3", "m^3"),
    "kg": ("kg", "kg"), "lb": ("lb", "kg"), "N": ("N", "N"), "kN": ("kN", "N"), "lbf": ("lbf", "N"), "deg": ("degree", "radian"),
    "N.m": ("N m", "N m"), "ft.lbf": ("ft lbf", "N m"), "in.lbf": ("in lbf", "N m"),
    "bar": ("bar", "Pa"), "bar(a)": ("bar", "Pa"), "psi": ("psi", "Pa"), "psi(a)": ("psi", "Pa"), "MPa": ("MPa", "Pa"),
    "rpm": ("rpm", "radian/s"), "m3/h": ("m^3/hr", "m^3/s"), "gal/min": ("gallon/min", "m^3/s"),
    "kW": ("kW", "W"), "hp": ("hp", "W"), "kg/m3": ("kg/m^3", "kg/m^3"), "lb/ft3": ("lb/ft^3", "kg/m^3"),
    "mm2/s": ("mm^2/s", "m^2/s"), "cSt": ("centistokes", "m^2/s"), "1/K": ("/K", "/K"), "1/MPa": ("/MPa", "/Pa"),
    "kJ/(kg.K)": ("kJ/(kg K)", "J/(kg K)"), "MPa.m/s": ("MPa m/s", "Pa m/s"), "psi.ft/min": ("psi ft/min", "Pa m/s"),
}


def convert(texts):
    """Gives the SI amounts of texts such as "77.9 mm", "60 degC" and "95..110 N.m"
    (a pair); a text that is no amount stays as it is."""
    asked, jobs = [], {}
    for text in texts:
        if not AMOUNT.match(text):
            continue
        number, _, unit = text.partition(" ")
        ends = number.split("..")
        if unit == "":
            jobs[text] = [float(e) for e in ends]
        elif unit in ("degC", "degF"):
            jobs[text] = list(range(len(asked), len(asked) + len(ends)))
            asked += [("temp%s(%s)" % (unit[-1], e), "K") for e in ends]
        elif unit in UNITS:
            theirs, si = UNITS[unit]
            jobs[text] = list(range(len(asked), len(asked) + len(ends)))
            asked += [("(%s) %s" % (e.replace("/", "|"), theirs) if theirs[0] != "/" else "%s %s" % (e, theirs), si) for e in ends]
    out = subprocess.run(["units", "-q", "-t", "-1", "-o", "%.17g"], input="".join("%s\n%s\n" % a for a in asked),
                         capture_output=True, text=True, check=True).stdout.split()
    if len(out) != len(asked):
        raise SystemExit("units gave %d answers to %d questions" % (len(out), len(asked)))
    answers = {}
    for text in texts:
        if text not in jobs:
            answers[text] = text
            continue
        plain = text.partition(" ")[2] == ""
        got = tuple(j if plain else float(out[j]) for j in jobs[text])
        answers[text] = got[0] if len(got) == 1 else got
    return answers
