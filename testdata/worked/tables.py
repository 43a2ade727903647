"""Figures of standards and handbooks that the worked cases need, each with its source.
They were put down here from the sources and from the gathered reference values, not
taken from the program."""

from math import inf

# ISO 286-1 and -2 (H7, E8, r6, s6 seen in a table of JIS B 0401:1999, which is the same
# here): lower and upper deviation in micrometres, for sizes over a up to and including b mm.
DEVIATIONS = {
    "H7": [(10, 18, 0, 18), (18, 30, 0, 21), (30, 50, 0, 25), (50, 80, 0, 30)],
    "E8": [(10, 18, 32, 59), (18, 30, 40, 73), (30, 50, 50, 89), (50, 80, 60, 106)],
    "r6": [(10, 18, 23, 34), (18, 30, 28, 41), (30, 50, 34, 50), (50, 65, 41, 60), (65, 80, 43, 62)],
    "s6": [(10, 18, 28, 39), (18, 30, 35, 48), (30, 50, 43, 59), (50, 65, 53, 72), (65, 80, 59, 78)],
}

# Young's modulus Pa, Poisson's ratio, linear expansion 1/K. Callister, App. B (E: B.2,
# alpha: B.6), type 316 for stainless, G3000 for cast iron (E 90 to 113 GPa), 60-40-18 for
# ductile iron, 1020 for steel, C93200 for bronze; nu and silicon carbide: Dowling, table
# 5.2; carbon graphite (E 15 to 25 GPa, alpha 4 to 5), E of bronze and nu of ductile iron
# from memory.
MATERIALS = {
    "cast iron": (100e9, 0.26, 11.4e-6), "ductile iron": (169e9, 0.29, 11.2e-6), "steel": (207e9, 0.293, 11.7e-6),
    "stainless steel": (193e9, 0.30, 15.9e-6), "bronze": (100e9, 0.34, 18.0e-6), "carbon graphite": (20e9, 0.20, 4.5e-6),
    "silicon carbide": (396e9, 0.22, 4.1e-6),
}

# Stress in Pa that a material takes when pulled and when pressed: Callister, App. B, table
# B.4 (G3000 tensile, 60-40-18, 1020 hot rolled and C93200 yield; 316 from memory), grey iron
# alike in both; silicon carbide in compression from a table of properties; carbon graphite
# from memory.
TENSION = {"cast iron": 207e6, "ductile iron": 276e6, "steel": 210e6, "stainless steel": 205e6, "bronze": 125e6}
CRUSHING = {"bronze": 125e6, "carbon graphite": 150e6, "silicon carbide": 2780e6}

# Proof and yield stress by grade, for nominal diameters up to the first figure (mm for ISO
# classes, in for SAE). ISO 898-1 8.8 and 10.9 MPa; SAE J429 ksi (Shigley, 5th ed., p. 341);
# ISO 3506-1 A2-70 has no proof stress, its yield stands for it.
STRENGTH = {
    "8.8": [(16, 580e6, 640e6), (39, 600e6, 660e6)], "10.9": [(39, 830e6, 940e6)], "A2-70": [(20, 450e6, 450e6)],
    "SAE 5": [(1.0, 85, 92), (1.5, 74, 81)], "SAE 8": [(1.5, 120, 130)],
}
KSI = 1000 * 4.4482216152605 / 0.0254**2  # Pa; pound-force and inch by definition

# Coarse pitch in mm, ISO 261; threads per inch in the designation itself.
COARSE = {8: 1.25, 10: 1.5, 12: 1.75, 16: 2.0}

# Shigley, 9th ed., table 8-15.
NUT_FACTOR = {"oiled": 0.18, "lubricated": 0.18, "zinc plated": 0.20, "dry": 0.20}

# Scatter of the preload: NASA preload criteria (torque wrench, lubricated 25 %);
# Machinery's Handbook (turn of nut 15 %).
SCATTER = {"torque wrench, oiled": 0.25, "turn of nut": 0.15}

# Expanded uncertainty of the built-in instruments, m: common practice, no source.
UNCERTAINTY = {
    "idler_pin_diameter": 6e-6, "idler_bushing_bore": 10e-6, "shaft_journal": 6e-6, "bracket_bushing_bore": 10e-6,
    "rotor_outside": 6e-6, "casing_bore": 10e-6, "idler_length": 6e-6, "crescent_thickness": 6e-6, "head_face_groove": 10e-6,
    "shaft_runout": 10e-6, "end_clearance": 10e-6,
}

# ISO 13732-1:2006, bare metal, one minute (from memory): 51 degC.
TOUCH = 51 + 273.15

# Containers of which the liquid may fill 80 %, litres: common practice, no source.
CONTAINERS = [1, 2, 5, 10, 20, 30, 60, 120, 200, 1000]

# Student's t, 95 % two-sided, for 1, 2 ... degrees of freedom: NIST/SEMATECH e-Handbook
# of Statistical Methods, 1.3.6.7.2.
STUDENT_T = [12.706, 4.303, 3.182, 2.776, 2.571]


def deviations(fit, size):
    """Lower and upper limit of size in m."""
    mm = round(size * 1e3, 6)
    for over, up_to, low, high in DEVIATIONS[fit]:
        if over < mm <= up_to:
            return size + low * 1e-6, size + high * 1e-6
    raise SystemExit("no deviation of %s for %g mm is in the table" % (fit, mm))


def thread(name):
    """Diameter and pitch in m, and whether it is metric."""
    if name.startswith("M"):
        d = int(name[1:])
        return d * 1e-3, COARSE[d] * 1e-3, True
    size, tpi = name.rsplit("-", 1)
    top, under = size.split("/")
    return int(top) / int(under) * 0.0254, 0.0254 / int(tpi), False


def strength(grade, name):
    d, _, metric = thread(name)
    size = d * 1e3 if metric else d / 0.0254
    for up_to, proof, yielding in STRENGTH[grade]:
        if size <= up_to * (1 + 1e-9):
            return (proof, yielding) if metric else (proof * KSI, yielding * KSI)
    return inf, inf
