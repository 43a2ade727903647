"""Works the numbers of whole packets out again, from the published formulas and apart
from the program: records.py says what is on record, gnu.py converts it by GNU Units,
tables.py holds the figures of standards and handbooks. Only the standard library is used.

Prints tab-separated lines: the case, "record", name and text of each recorded value that
was used; and the case, "value", name and SI amount (or text) of each number. A band has
NAME.low, NAME.high and NAME.target. Temperatures are in K, counts and parts plain."""

import datetime
from math import ceil, exp, inf, log, log10, pi, sqrt

from gnu import convert
from pressing import PRESSING
from records import CASES
from tables import (CONTAINERS, CRUSHING, MATERIALS, NUT_FACTOR, SCATTER, STUDENT_T, TENSION, TOUCH, UNCERTAINTY,
                    deviations, strength, thread)

ZERO_C = 273.15
TURN = 2 * pi


def bisect(f, low, high):
    """A root of f, which rises or falls through zero between low and high."""
    rising = f(high) > f(low)
    for _ in range(300):
        mid = (low + high) / 2
        if (f(mid) > 0) == rising:
            high = mid
        else:
            low = mid
    return (low + high) / 2


# ---- Bolting -----------------------------------------------------------------------

def stress_area(name):
    """ISO 898-1, 9.1.6.1; ASME B1.1."""
    d, p, metric = thread(name)
    if metric:
        return pi / 4 * ((d - 0.649519 * p + d - 1.226869 * p) / 2) ** 2
    return 0.7854 * (d - 0.9743 * p) ** 2


def torsion(name, mu):
    """VDI 2230, assembly preload: equivalent over axial stress while tightening."""
    d, p, _ = thread(name)
    d2, d3 = d - 0.649519 * p, d - 1.226869 * p
    d0 = (d2 + d3) / 2
    return sqrt(1 + 3 * (1.5 * d2 / d0 * (p / (pi * d2) + 1.155 * mu)) ** 2)


def bolting(v, raw, out):
    for joint in ("head", "housing_face", "seal_holder", "relief_valve", "gauge_port", "base"):
        j = "joints.%s." % joint
        if j + "thread" not in raw:
            continue
        name = raw[j + "thread"]
        d = thread(name)[0]
        proof, yielding = strength(raw[j + "grade"], name)
        k = NUT_FACTOR[raw[j + "condition"]]
        if j + "torque" in raw:  # the design states it
            low, high = v[j + "torque"]
            target = (low + high) / 2
            load, least, most = target / (k * d), low / (k * d), high / (k * d)
        else:  # Shigley, eq. 8-31 and 8-27
            load = v[j + "fraction"] * stress_area(name) * proof
            target = k * d * load
            out[j + "aim"] = target
            deviation = out[j + "wrench_deviation"] = 0.04 if target > 10 else 0.06  # ISO 6789-1
            low, high, least, most = target * (1 - deviation), target * (1 + deviation), load, load
        out[j + "load"] = load
        out[j + "torque.low"], out[j + "torque.high"], out[j + "torque.target"] = low, high, target
        for part, says in zip(raw[j + "passes"].split(), ("first_pass", "second_pass", "third_pass")):
            out[j + says] = float(part) * target
        out[j + "tightened_by"] = raw[j + "method"]
        scatter = SCATTER[raw[j + "method"]]
        out[j + "left.low"], out[j + "left.high"] = least * (1 - scatter), most * (1 + scatter)  # NASA-STD-5020
        # The friction that the least nut factor stands for: Shigley, eq. 8-26 with a seat of 1.25 d, linear in it.
        _, p, _ = thread(name)
        d2 = d - 0.649519 * p
        mu = bisect(lambda m: 0.16 * p / d + 0.58 * d2 / d * m + 1.25 / 2 * m - k / (1 + scatter), 0, 1)
        out[j + "friction"] = mu
        out[j + "yield_used.high"] = 1
        out[j + "yield_used.target"] = most * (1 + scatter) / (stress_area(name) * yielding) * torsion(name, mu)


# ---- End clearance -----------------------------------------------------------------

def closing(v, raw, at="duty.temperature"):
    """What the heat takes of the end clearance: rotor's growth less casing's."""
    warm = v[at] - v["site.surroundings"]
    return (MATERIALS[raw["built.rotor"]][2] * v["growth.rotor"] - MATERIALS[raw["built.casing"]][2] * v["growth.casing"]) * warm


def settable(wanted, v):
    """Up to the next whole step of the feeler gauge: 0.01 mm, or half a thou in inches."""
    step = 0.0005 * 0.0254 if v["inches"] else 1e-5
    return step * ceil(wanted / step - 1e-4)


def warm_up(v, raw, clearance, left, rotor, casing):
    """Temperature of the casing at which a rotor as hot as the liquid leaves so much."""
    cold, hot = v["site.surroundings"], v["duty.temperature"]
    if hot <= cold:
        return cold
    grows = MATERIALS[raw["built.rotor"]][2] * rotor * (hot - cold)
    return max(cold, cold + (grows + left - clearance) / (MATERIALS[raw["built.casing"]][2] * casing))


def end_clearance(v, raw, out):
    lost = out["taken"] = closing(v, raw)
    out["step"] = settable(1e-6, v)
    out["setting_at"], taken = v["setting_at"], closing(v, raw, "setting_at")
    out["set_closing"] = taken
    low, ice = v["setting_at"] - 5, raw["liquid.freezing_point"]
    if not out["opened"] and ice != "none":  # a full pump stays 2 K above freezing
        low = max(low, min(v["liquid.freezing_point"] + 2, v["setting_at"]))
    out["setting_band.low"], out["setting_band.target"], out["setting_band.high"] = low, v["setting_at"], v["setting_at"] + 5
    out["rotor_expansion"], out["casing_expansion"] = MATERIALS[raw["built.rotor"]][2], MATERIALS[raw["built.casing"]][2]
    margin = v["end_clearance.set"] - v["end_clearance.low"]
    out["grown"] = max(v["end_clearance.hot"] + lost, 0)
    c = settable(max(v["end_clearance.set"], out["grown"] + margin), v)
    out["clearance"] = c
    out["running_clearance"] = c - lost
    radius, u = v["rotor.outside"] / 2, UNCERTAINTY["end_clearance"]
    out["warm_end"] = warm_up(v, raw, c - margin, u, v["growth.rotor"], v["growth.casing"])
    out["warm_tip"] = warm_up(v, raw, v["tip_clearance"], u, radius, radius)
    out["warm_at"] = out["warm_casing.low"] = max(out["warm_end"], out["warm_tip"])
    if "duty.start_at" in v:
        out["pipe_warm.low"] = v["duty.start_at"]
        out["start_warm.low"] = max(v["duty.start_at"], out["warm_at"])
    warm = v["duty.temperature"] - v["site.surroundings"]
    out["tip_taken"] = radius * warm * (MATERIALS[raw["built.rotor"]][2] - MATERIALS[raw["built.casing"]][2])
    out["tip_running"] = v["tip_clearance"] - out["tip_taken"]
    c = out["to_set"] = out["clearance_band.target"] = settable(c - taken, v)  # as it measures where it is set
    out["clearance_band.low"], out["clearance_band.high"] = c - margin, c + v["end_clearance.high"] - v["end_clearance.set"]
    for end in ("low", "target", "high"):
        out["clearance_read." + end] = out["clearance_band." + end]
    helix = pi * v["housing.diameter"] / v["housing.lead"]  # arc on the outside for an advance of one
    out["travel"] = out["travel_exact"] = c * helix
    out["turn"] = TURN * c / v["housing.lead"]
    out["made"] = 10e-3 / helix
    out["turn_back"] = {"cw": "anticlockwise", "ccw": "clockwise"}[raw["housing.turn_in"]]
    out["back_off_travel"] = v["end_clearance.back_off"] * helix


# ---- Liquid ------------------------------------------------------------------------

def viscosity(t, t1, v1, t2, v2):
    """ASTM D341, log log Z a straight line over log T; mm2/s and K."""
    def z(n):
        return n + 0.7 + exp(-1.47 - 1.84 * n - 0.51 * n * n)
    y1, y2 = log10(log10(z(v1))), log10(log10(z(v2)))
    b = (y1 - y2) / (log10(t2) - log10(t1))
    y = y1 - b * (log10(t) - log10(t1))
    return bisect(lambda n: log10(log10(z(n))) - y, 0.2, 1e6)


def boiling(p, t1, p1, t2, p2):
    """Clausius-Clapeyron through two points."""
    heat = log(p2 / p1) / (1 / t1 - 1 / t2)
    return 1 / (1 / t1 - log(p / p1) / heat)


def flammable(flash, boil):
    """29 CFR 1910.106(a)(19)."""
    if flash < 23 + ZERO_C:
        return 1 if boil <= 35 + ZERO_C else 2
    return 3 if flash <= 60 + ZERO_C else 4 if flash <= 93 + ZERO_C else 0


def liquid(v, raw, out):
    t, room = v["duty.temperature"], v["site.surroundings"]
    boil = raw["liquid.boiling_point"]
    if "liquid.vapour.at" in raw and boil != "none":
        points = v["liquid.boiling_point"], 101325.0, v["liquid.vapour.at"], v["liquid.vapour.pressure"]
        out["boils_at"] = boiling(v["site.air_pressure"], *points)
        out["inlet_boils"] = boiling(v["duty.inlet"] + v["site.air_pressure"], *points)
    elif boil != "none":
        out["boils_at"] = v["liquid.boiling_point"]
    out["open_below"] = out["boil_margin"] = out["boils_at"] - 20 if "boils_at" in out else 700 + ZERO_C
    if raw["liquid.flash_point"] != "none" and v["liquid.flash_point"] - 16.7 > room:  # 29 CFR 1910.106(a)(19): 30 degF
        out["open_below"] = min(out["open_below"], v["liquid.flash_point"] - 16.7)
    out["category"] = out["handled_category"] = 0
    if raw["liquid.flash_point"] != "none":
        flash = v["liquid.flash_point"]
        out["category"] = flammable(flash, inf if boil == "none" else v["liquid.boiling_point"])
        heated = t >= flash - 16.7  # 30 degF
        out["handled_category"] = {4: 3, 0: 4}.get(out["category"], out["category"]) if heated else out["category"]
    out["touch"] = TOUCH
    # Lumped capacity, Holman 4-2; 460 J/(kg K), 8 W/(m2 K), mineral wool 0.045 W/(m K)
    out["cool_to"] = TOUCH
    if raw["liquid.freezing_point"] != "none" and v["liquid.freezing_point"] > room:
        out["cool_to"] = max(TOUCH, v["liquid.freezing_point"] + 20)
    out["cool_time"] = 0.0
    if t > out["cool_to"]:
        assert 8 * v["pump.mass"] / 7200 / (v["pump.surface"] * 50) < 0.1  # Biot number
        out["cool_time"] = v["pump.mass"] * 460 / (8 * v["pump.surface"]) * log((t - room) / (out["cool_to"] - room))
    film = out["film"] = 1 / (1 / 8 + v["built.lagging"] / 0.045) if "built.lagging" in v else 8
    out["cool_full"] = 0.0
    end = v["setting_at"] + 5
    if t > end:  # the liquid's heat with that of the iron
        heat = v["pump.mass"] * 460 + v["liquid.density"] * v["pump.volume"] * v["liquid.specific_heat"]
        out["cool_full"] = heat / (film * v["pump.surface"]) * log((t - room) / (end - room))
    steel_e, _, steel_a = MATERIALS["steel"]  # API 521, hydraulic expansion, with the pipe's give
    out["trapped"] = (v["liquid.expansion"] - 3 * steel_a) * 10 / (v["liquid.compressibility"] + v["piping.bore"] / (v["piping.wall"] * steel_e))
    out["catch"] = pi / 4 * v["piping.bore"] ** 2 * v["piping.between_valves"] + v["pump.volume"]
    out["container"] = min(c for c in CONTAINERS if out["catch"] <= 0.8 * c * 1e-3) * 1e-3
    if "piping.jacket_volume" in raw:
        out["jacket_drum"] = min(c for c in CONTAINERS if v["piping.jacket_volume"] <= 0.8 * c * 1e-3 * (1 + 1e-9)) * 1e-3
    out["catch_mass"] = v["liquid.density"] * out["catch"] + 100 * out["container"]
    # DHHS (NIOSH) 94-110: hands 40 cm forward, 30 cm high, lifted 50 cm, fair hold below 75 cm
    out["carry_limit"] = 23 * (25 / 40) * (1 - 0.003 * abs(30 - 75)) * (0.82 + 4.5 / 50) * 1.0 * 0.95
    out["carried"] = "One person may carry it" if out["catch_mass"] <= out["carry_limit"] else "Trolley or pump-out, not by hand"
    out["gas_limit.high"] = 10
    if "liquid.gas_limit" in v:
        out["breathed.high"] = v["liquid.gas_limit"]
    for relief in ("piping.relief_set", "duty.relief_set"):
        if relief in v:
            out["relief_at"] = v[relief]
    out["flush_volume"] = 3 * v["pump.volume"]
    out["flush_band.low"], out["flush_band.high"] = v["liquid.flush.at"]
    if raw["liquid.freezing_point"] != "none":
        out["warm_band.low"], out["warm_band.high"] = v["liquid.freezing_point"] + 5, max(TOUCH, v["liquid.freezing_point"] + 20)
    out["no_pressure"] = 0  # gauge pressure counts from the air's
    out["flush_ph.low"], out["flush_ph.high"] = 6, 9
    # Other liquids than petroleum by the same line, between their two points only.
    assert raw["liquid.petroleum"] == "true" or v["liquid.viscosity.cool_at"] <= t <= v["liquid.viscosity.hot_at"]
    out["thickness"] = viscosity(t, v["liquid.viscosity.cool_at"], v["liquid.viscosity.cool"] * 1e6, v["liquid.viscosity.hot_at"], v["liquid.viscosity.hot"] * 1e6) * 1e-6
    out["mu"] = out["thickness"] * v["liquid.density"]


# ---- Slip and duty -----------------------------------------------------------------

def slot(width, gap, length, dp, mu):
    """Plane Poiseuille flow: Fox & McDonald, section 8.2."""
    return width * gap**3 * dp / (12 * mu * length)


def paths(v, dp, mu, end, tip, crescent, bushing):
    """The flow through each gap; that they add up is the project's own model, without
    an outside source."""
    return {
        "end clearance": slot(v["rotor.outside"] - v["pin_diameter"], end, v["land.end"], dp, mu),
        "tip clearance": slot(2 * v["rotor.width"], tip, v["land.tip"], dp, mu),
        "crescent clearance": slot(2 * v["rotor.width"], crescent, v["land.crescent"], dp, mu),
        "bushing clearance": 2.5 * slot(pi * v["shaft_diameter"], bushing, v["bracket_bushing.length"], dp, mu),
    }


def carried(v, end, tip, crescent, bushing):
    """Plane Couette flow: half the speed of the rotor's outside over the three gaps
    along which it runs."""
    wall = v["duty.speed"] * v["rotor.outside"] / 2
    return wall / 2 * ((v["rotor.outside"] - v["pin_diameter"]) * end + 2 * v["rotor.width"] * (tip + crescent))


def delivery(v, raw, out):
    dp = v["duty.outlet"] - v["duty.inlet"]
    mu, rho, lost = out["mu"], v["liquid.density"], closing(v, raw)
    q = v["displacement"] * v["duty.speed"] / TURN
    out["difference"], out["theoretical"] = dp, q
    limit = v["features.end_clearance.reject_above"]
    hot = out["worn_running"] = limit - lost

    def reynolds(gap, length):  # rho V h / mu, V the mean velocity in the slot
        return rho * slot(1, gap, length, dp, mu) / mu

    lands = v["land.end"], v["land.tip"], v["land.crescent"], v["bracket_bushing.length"]
    new = out["running_clearance"], out["tip_running"], v["crescent_clearance"], v["bushing_clearance"] / 2

    def most(gaps):  # shaft against one side of its bushing: the whole diametral clearance
        return max(reynolds(g, length) for g, length in zip(gaps[:3] + (2 * gaps[3],), lands))

    def slip(gaps):
        return sum(paths(v, dp, mu, *gaps).values())

    out["worn_tip"] = max(new[1], (v["features.casing_bore.reject_above"] - v["features.rotor_outside.reject_below"]) / 2 - out["tip_taken"])
    out["worn_crescent"] = new[2] + (v["features.crescent_thickness.new"] - v["features.crescent_thickness.reject_below"]) / 2
    out["worn_bushing"] = max(v["bushing_clearance"], v["features.bracket_bushing_bore.reject_above"] - v["features.shaft_journal.reject_below"]) / 2
    worn, every = (hot,) + new[1:], (hot, out["worn_tip"], out["worn_crescent"], out["worn_bushing"])
    out["reynolds"], out["reynolds_worn"] = most(new), max(most(new), most(worn))
    out["reynolds_all"] = max(out["reynolds_worn"], most(every))
    out["walls"] = carried(v, *new) / slip(new) if out["reynolds"] < 1400 else 0
    out["walls_worn"] = carried(v, *worn) / slip(worn) if out["reynolds_worn"] < 1400 else 0
    out["walls_all"] = carried(v, *every) / slip(every) if out["reynolds_all"] < 1400 else 0
    least = v["duty.least_flow"]
    keep = out["features.end_clearance.keep.high"]
    out["found_limit.high"] = keep
    still = out["reynolds"] < 1400 and out["walls"] <= 1
    if out["reynolds"] < 1400:
        out["slip_new"], out["slip_most"] = slip(new), slip(new) + carried(v, *new)
        out["delivered"], out["delivered_least"] = max(q - out["slip_new"], 0), max(q - out["slip_most"], 0)
    if out["reynolds_worn"] < 1400:
        out["slip_worn"] = slip(worn)
        out["worn_flow"] = max(q - out["slip_worn"], 0)
        if still and out["walls_worn"] <= 1 and out["delivered"] > least:
            cold = limit
            if out["worn_flow"] < least:  # the hot gap at which just the least flow is left, as it measures cold
                cold = bisect(lambda e: q - slip((e,) + new[1:]) - least, 1e-6, 5e-3) + lost
            out["worn_limit"] = cold
            out["found_limit.high"] = min(keep, cold - UNCERTAINTY["end_clearance"])
    if out["reynolds_all"] < 1400 and out["walls_all"] <= 1:
        out["slip_all"] = slip(every)
        out["all_flow"] = max(q - out["slip_all"], 0)
        was, now = paths(v, dp, mu, *every), paths(v, dp, mu, *new)
        widest = max(was, key=lambda gap: was[gap] - now[gap])
        out["renew_first"] = {"end clearance": "End clearance: reset it", "tip clearance": "Rotor or casing", "crescent clearance": "Head with its crescent",
                              "bushing clearance": "Bracket bushing or shaft"}[widest]
    else:
        out["not_worked_out"] = ("Not worked out: the flow in the gaps is not laminar" if out["reynolds_all"] >= 1400
                                 else "Not worked out: the liquid is so thick that the turning walls drag it along")
    out["least_flow.low"] = least
    out["found_here.high"] = out["found_limit.high"] - closing(v, raw, "setting_at")
    out["left_for_wear"] = out["clearance"] + v["end_clearance.high"] - v["end_clearance.set"]
    # Lumped capacity, Holman 4-2, the pump full: iron 460 J/(kg K) and the liquid in it
    out["full_heat"] = 460 + v["liquid.specific_heat"] * v["liquid.density"] * v["pump.volume"] / v["pump.mass"]
    out["cool_full"], to = 0.0, v["setting_at"] + 5
    if v["duty.temperature"] > to:
        room = v["site.surroundings"]
        lost = out["film"] * v["pump.surface"] / (v["pump.mass"] * out["full_heat"])
        out["cool_full"] = log((v["duty.temperature"] - room) / (to - room)) / lost
    out["most_current.high"] = v["drive.current"]
    if "drive.belt_span" in v:
        out["belt_give"] = v["drive.belt_span"] / 64
        out["belt_pull.low"], out["belt_pull.high"] = v["drive.belt_force"]
    rpm = v["duty.speed"] / TURN * 60
    out["align_offset.high"] = (0.13 if rpm <= 600 else 0.10 if rpm <= 1200 else 0.06) * 1e-3
    out["align_gap.high"] = (0.13 if rpm <= 600 else 0.08 if rpm <= 1200 else 0.06) * 1e-3
    if "drive.pump_low" in v:
        low, offset = v["drive.pump_low"], out["align_offset.high"]
        out["align_cold.low"], out["align_cold.target"], out["align_cold.high"] = max(low - offset, 0), low, low + offset
    out["pumped"] = max(out["delivered"], least) if still else q
    out["pump_power"] = out["pumped"] * dp
    out["drive_power"] = out["pumped"] * dp / v["duty.efficiency"] / v["drive.efficiency"]
    out["starter_power"] = out["drive_power"] / v["drive.motor_efficiency"]
    out["power_share"] = out["drive_power"] / v["drive.power"]
    out["bearing_high.high"] = v["housing.max_temperature"]
    ph = raw["liquid.ph"]  # GHS 3.2.2.2: corrosive at 2 and less, 11.5 and more
    burns = v["duty.temperature"] > TOUCH or out["handled_category"] > 0 or ph != "none" and not 2 < float(ph) < 11.5
    out["most_drops.high"] = 0 if burns else v["seal.most_drops"]


# ---- Fits --------------------------------------------------------------------------

def press(v, raw, out, which, bore, hub):
    """ISO 286 limits; Lame, Shigley eq. 3-56; press force with friction 0.15."""
    d, length, outer = (v["%s_bushing.%s" % (which, p)] for p in ("outside", "length", "hub"))
    hole = deviations(raw["bushing_fit.hole"], d)
    shaft = deviations(raw["bushing_fit.bronze" if raw["built.bushing"] == "bronze" else "bushing_fit.carbon"], d)
    inside = deviations(raw["bushing_fit.bore"], bore)
    least, most = shaft[0] - hole[1], shaft[1] - hole[0]
    for name, band in (("hole", hole), ("outside", shaft), ("bore", inside), ("interference", (least, most))):
        out["%s_%s.low" % (which, name)], out["%s_%s.high" % (which, name)] = band
    e_hub, nu_hub, a_hub = MATERIALS[hub]
    e, nu, a = MATERIALS[raw["built.bushing"]]
    warm = v["duty.temperature"] - v["site.surroundings"]
    out["%s_hot" % which] = (d + least) * 1 - d + d * a * warm - d * a_hub * warm  # both diameters at the other temperature
    out["%s_lost" % which] = least - out["%s_hot" % which]
    r, ro = d / 2, outer / 2

    def pressure(interference, ri):
        return interference / 2 / (r * ((ro**2 + r**2) / (ro**2 - r**2) + nu_hub) / e_hub + r * ((r**2 + ri**2) / (r**2 - ri**2) - nu) / e)

    def shrinks(interference, ri):  # the bore of a cylinder under outside pressure, on the diameter
        return 2 * (2 * pressure(interference, ri) * r**2 * ri / (e * (r**2 - ri**2)))

    ri = bore / 2
    p = out["%s_pressure" % which] = pressure(most, ri)
    tightest = out["%s_tightest" % which] = max(most, most + d * (a - a_hub) * warm)
    strain = hold = out["%s_elastic" % which] = pressure(tightest, ri)
    if raw["built.bushing"] == "bronze":  # a tube that yields right through, Hill: 2/sqrt(3) R ln(r/ri)
        hold = min(strain, 2 / sqrt(3) * 1.5 * TENSION["bronze"] * log(r / ri))
    out["%s_hold" % which] = hold
    # The bore that shrinks to the middle of what is wanted, at the middle of the interference.
    wanted, middle = (inside[0] + inside[1]) / 2, (least + most) / 2
    out["%s_before" % which] = bisect(lambda b: b - shrinks(middle, b / 2) - wanted, wanted / 2, 0.99 * d)
    out["%s_heat" % which] = v["site.surroundings"] + (most + 0.0005 * d) / (a_hub * d)  # it grows by interference and room
    # Lame: hoop stress at the bore of either part; the hub's with the pressure added (Tresca).
    out["%s_hub_used.high" % which] = out["%s_bushing_whole.high" % which] = 1
    out["%s_hub_used.target" % which] = (hold * (ro**2 + r**2) / (ro**2 - r**2) + hold) / TENSION[hub]
    out["%s_bushing_used" % which] = out["%s_bushing_whole.target" % which] = 2 * strain * r**2 / (r**2 - ri**2) / CRUSHING[raw["built.bushing"]]
    out["%s_force" % which], out["%s_out" % which] = pi * d * length * p * 0.15, pi * d * length * p * 0.25


# ---- Running, seal, lifting --------------------------------------------------------

def running(v, raw, out):
    ball = raw["built.thrust_bearing"] == "ball"
    kind, p = ("ball", 3) if ball else ("taper", 10 / 3)
    width = v[kind + ".width"] * (1 if ball else 2)
    out["grease"] = 0.005 * v[kind + ".outside"] * 1e3 * width * 1e3 * 1e-3  # Tribology Handbook, A20
    out["thrust"] = (v["duty.outlet"] - v["duty.inlet"]) * v["thrust_area"]
    out["rated_life"] = 1e6 * (v[kind + ".rating"] / out["thrust"]) ** p / (v["duty.speed"] / TURN)  # ISO 281
    out["life"] = min(out["rated_life"], 200000 * 3600)
    slots, tangs = v["lock_nut.slots"], v["lock_nut.tangs"]
    steps = next(n for n in range(1, 10000) if n % slots == 0 and n % tangs == 0)
    out["nut_turn"] = TURN / steps
    out["nut_torque.low"], out["nut_torque.high"] = v["lock_nut.torque"]
    # Bickford, eq. 8.1 and 8.2: the advance is taken up by two springs, shaft and stack, one behind the other.
    d, area = v["lock_nut.diameter"], v["lock_nut.stack_outside"] ** 2 - v["lock_nut.diameter"] ** 2
    steel = MATERIALS["steel"][0] * pi / 4 / v["lock_nut.stack"]
    spring = 1 / (1 / (steel * d * d) + 1 / (steel * area))
    per_turn = NUT_FACTOR["oiled"] * d * spring * v["lock_nut.lead"]  # torque of one turn; K d F, Shigley eq. 8-27
    out["nut_added"] = per_turn / steps
    out["nut_room"] = TURN * (v["lock_nut.torque"][1] - v["lock_nut.torque"][0]) / per_turn
    if not ball:
        out["drag.low"], out["drag.high"] = v["taper.drag"]
    out["half_port_angle"] = v["port_angle"] / 2
    out["o_ring_lubricant"] = "silicone grease" if raw["built.o_rings"] == "EPDM" else "clean mineral oil"
    out["set_screw_torque.low"], out["set_screw_torque.high"] = v["set_screws.torque"]
    out["set_screw_count"] = v["set_screws." + {"single spring": "single_spring", "multiple springs": "multiple_springs", "bellows": "bellows"}[raw["built.seal_type"]]]
    out["sliding"] = v["duty.speed"] * v["seal.mean_diameter"] / 2
    out["face_load"] = v["duty.outlet"] * (v["seal.balance"] - 0.5) + v["seal.spring"]  # Lobanoff & Ross, chapter 17
    out["seal_pv.high"], out["seal_pv.target"] = v["seal.most_pv"], out["face_load"] * out["sliding"]


def lifting(v, raw, out):
    """DHHS (NIOSH) 94-110, metric: hands 40 cm forward, 75 cm high, lifted 50 cm, turned
    30 degrees, once in five minutes for up to an hour, fair hold at 75 cm."""
    limit = 23 * (25 / 40) * (1 - 0.003 * abs(75 - 75)) * (0.82 + 4.5 / 50) * (1 - 0.0032 * 30) * 1.0 * 1.0

    def people(mass):  # for two: L23, paragraph 120
        return "One person" if mass <= limit else "Two people" if mass <= 2 / 3 * 2 * limit else "Hoist"

    for name in raw:
        if name.startswith("assemblies.") and name.endswith(".mass"):
            a = name[: -len("mass")]
            out[a + "limit"], out[a + "people"] = limit, people(v[name])
    head = v["assemblies.head.mass"] + (v["assemblies.relief_valve.mass"] if raw["built.relief_valve"] == "on-head" else 0)
    out["head_lift"], out["head_people"] = head, people(head)
    out["pump_people"] = people(v["pump.mass"])
    out["hoisted"] = max(head, v["assemblies.rotor.mass"])


# ---- Wear --------------------------------------------------------------------------

def wear(case, v, raw, out, convert):
    for feature, u in UNCERTAINTY.items():
        f = "features.%s." % feature
        out[f + "uncertainty"] = u
        if f + "reject_below" in v:  # ISO 14253-1
            out[f + "keep.low"] = v[f + "reject_below"] + u
        if f + "reject_above" in v:
            out[f + "keep.high"] = v[f + "reject_above"] - u
    parts = {"idler_pin_diameter": "idler_pin", "idler_bushing_bore": "idler_bushing", "bracket_bushing_bore": "bracket_bushing", "end_clearance": None}
    for feature, part in parts.items():
        # Wear since the part was new or the clearance first set, added up over settings.
        points, total, last = [], 0.0, None
        for day, replaced, found, left in case.history:
            if part in replaced:
                points, total, last = [], 0.0, None
            elif feature in found and last is not None:
                total, last = total + convert[found[feature]] - last, convert[found[feature]]
            if feature not in left:
                continue
            if feature not in found and last is not None:
                total += convert[left[feature]] - last
            last = convert[left[feature]]
            points.append((datetime.date.fromisoformat(day).toordinal(), total))
        if len(points) > 1:
            trend("features.%s." % feature, points, last, v, out)


def trend(f, points, last, v, out):
    """Least squares (NIST e-Handbook, 4.1.4.1), and Fieller's interval: the days x at which
    the limit lies within the 95 % interval of the line, found by search. No reading is
    better than its instrument, however well they lie on a line."""
    n = len(points)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    mx, my = sum(xs) / n, sum(ys) / n
    sxx = sum((x - mx) ** 2 for x in xs)
    slope = sum((x - mx) * (y - my) for x, y in points) / sxx
    out[f + "rate"] = slope / 86400
    limit = v.get(f + "reject_below", v.get(f + "reject_above"))
    level = limit - (last - ys[-1])  # in terms of the wear added up
    day = mx + (level - my) / slope

    def date(x):
        return datetime.date.fromordinal(int((x + 1e-6) // 1)).isoformat()  # a day that is met exactly is that day

    out[f + "forecast"] = date(day)
    if n > 2:
        scatter = sqrt(sum((y - my - slope * (x - mx)) ** 2 for x, y in points) / (n - 2))

        def outside(x):  # above zero where the limit is outside the interval of the line
            spread = max(STUDENT_T[n - 3] * scatter, out.get(f + "uncertainty", 0))
            return abs(my + slope * (x - mx) - level) - spread * sqrt(1 / n + (x - mx) ** 2 / sxx)

        if outside(xs[-1] - 1e4) > 0 and outside(day + 1e5) > 0:  # else the readings bound no day
            early, late = bisect(outside, xs[-1] - 1e4, day), bisect(outside, day, day + 1e5)
            out[f + "forecast"] += " (%s to %s)" % (date(early), date(late))


def work(case, outside=False):
    """The numbers of a rebuild, or of a setting made from outside."""
    raw = case.values
    readings = [x for _, _, found, left in case.history for x in list(found.values()) + list(left.values())]
    si = convert(list(raw.values()) + readings)
    v = {name: si[text] for name, text in raw.items()}
    out = {"opened": 0 if outside else 1}
    v["setting_at"] = v["site.surroundings"]
    v["inches"] = case.site == "inch"
    if outside and raw["liquid.freezing_point"] != "none" and v["liquid.freezing_point"] > v["setting_at"]:  # a full pump is kept liquid
        v["setting_at"] = v["duty.start_at"]
    bolting(v, raw, out)
    end_clearance(v, raw, out)
    liquid(v, raw, out)
    wear(case, v, raw, out, si)
    delivery(v, raw, out)
    press(v, raw, out, "idler", v["pin_diameter"], raw["built.idler"])
    press(v, raw, out, "bracket", v["shaft_diameter"], raw["built.casing"])
    running(v, raw, out)
    lifting(v, raw, out)
    return out


for label, case in {**CASES, **PRESSING}.items():
    print("\t".join((label, "unit", case.site, case.unit)))
    for name, text in case.values.items():
        print("\t".join((label, "record", name, text)))
    rebuild = work(case)
    for prefix, values in (("", rebuild), ("reset-end-clearance/", work(case, outside=True))):
        for name, value in values.items():
            if prefix and value == rebuild.get(name):
                continue
            print("\t".join((label, "value", prefix + name, value if isinstance(value, str) else repr(float(value)))))
