"""One whole vessel, solved by EPANET as a pipe network: the reference of our own network solver.

Three trays in a dee-shaped vessel, six layers and one on the floor, seals of 0.05, 0.4 and 1.5 mm, slack on
four pads, one 25 mm hole, a down-tube with leaking joints, a pump with a power-law curve, two hoses. Everything
in it is invented. The laws are worked here in plain Python from the papers named below, apart from the program's
own code. The result is kept in epanet_vessel.json, and tests read that file only: to run this script is needed
only to change the case.

    python3 -m venv somewhere && somewhere/bin/pip install wntr scipy six setuptools
    somewhere/bin/python tests/reference/epanet_vessel.py          # writes epanet_vessel.json beside itself

How the passages reach EPANET (2.2, through the Python package wntr):

- `a q + b q^2` with an `a`: a general purpose valve whose headloss curve has a point every 0.5 % of flow from
  1e-4 to 1e5 l/h. EPANET draws straight lines between points; the line is above the law by at most
  (0.005)^2/4 = 6e-6 of its quadratic part, and exact for the linear part.
- `b q^2` alone (hoses with a fixed friction factor, halves of the down-tube): a pipe of 1 ft with the
  Chezy-Manning formula, its roughness chosen so that r q^2 is b q^2 exactly. Checked on the results.
- the pump: EPANET's power-function curve H = H0 - B q^n through three points, which lie on H0 (1 - (q/Q0)^1.5).

EPANET counts a flow below 1e-6 cfs (0.1 l/h) as that, so small leaks in true units would be wrong. Valve and pump
curves know no units: here 1 l/h is entered as 1 cfs and 1 Pa as 1 ft, which moves that floor to 1e-6 l/h.
The answer is read as double numbers from the toolkit, not from the rounded report. It is then compared, and the
script stops unless it agrees within 0.05 % everywhere, with a root of the same equations found by scipy from
another starting point and by another method (heads only, flow of each passage by its inverse).

It says nothing of the physics: EPANET gets the same `a` and `b`. It checks topology and solver.
"""

import json
import math
import os
import tempfile
from pathlib import Path

import numpy as np
import scipy
import wntr
from scipy.optimize import root
from wntr.epanet.toolkit import ENepanet

L_H = 1e-3 / 3600.0  # one l/h in m3/s
RHO, MU = 997.045, 8.89997e-4  # 25 degC: Kell 1975; IAPWS SR6-08(2011)
G = 9.80665
AGREE = 5e-4  # EPANET against scipy, relative, every flow and every loss

# ---------------------------------------------------------------------------------------------- the vessel (SI)
WIDTH, DEPTH = 0.185, 0.160  # a dee: half circle of that width on a rectangle, less the down-tube
TUBE, TUBE_LENGTH = 0.022, 0.300
JOINT = 0.05e-3
SEAL_LENGTH, MISSING_LENGTH = 0.005, 0.002
HALF = WIDTH / 2
PERIMETER = WIDTH + 2 * (DEPTH - HALF) + math.pi * HALF
AREA = math.pi * HALF**2 / 2 + WIDTH * (DEPTH - HALF) - math.pi * TUBE**2 / 4

# Media: kind and figures. Layers: (name, medium, depth, slack, hole), bottom to top.
RINGS = ("rings", {"outer": 0.012, "inner": 0.007, "length": 0.012, "void": 0.60})
FOAM = {ppi: ("foam", {"ppi": ppi, "void": 0.97}) for ppi in (10, 20, 30, 45)}
LUMPS = ("pieces", {"size": 0.012, "void": 0.44, "sphericity": 0.65})
FLOSS = ("fibre", {"diameter": 30e-6, "solidity": 0.02})
FLOOR = [("floor rings", RINGS, 0.025, 0.0, 0.0)]
TRAYS = [
    {
        "seal": ("lip", 0.05e-3),
        "grid": 0.45,
        "layers": [
            ("foam 10", FOAM[10], 0.025, 0.5e-3, 0.0),
            ("foam 20", FOAM[20], 0.025, 0.5e-3, 0.0),
            ("foam 30", FOAM[30], 0.025, 0.0, 0.0),
        ],
    },
    {"seal": ("worn", 0.4e-3), "grid": 0.45, "layers": [("lumps", LUMPS, 0.060, 0.0, 0.0)]},
    {
        "seal": ("missing", 1.5e-3),
        "grid": 0.45,
        "layers": [
            ("foam 45", FOAM[45], 0.040, 1.0e-3, 0.025),
            ("floss", FLOSS, 0.020, 1.0e-3, 0.0),
        ],
    },
]
PUMP = {"shutoff": RHO * G * 1.7, "free_flow": 1100 * L_H, "exponent": 1.5}
# Hose 16 mm, friction factor held at 0.0268; fittings as velocity heads of the hose; the jet on the delivery.
HOSE = {"bore": 0.016, "friction": 0.0268, "suction": (1.3, 3.63), "delivery": (1.5, 3.63 + 2.41)}
GRID_HOLE, GRID_PLATE = 0.004, 0.002


# ---------------------------------------------------------------------------------------------- laws: a, b in SI
def tau(x):
    """Idelchik, diagram 4-15."""
    if x >= 2.4:
        return 0.0
    return (2.4 - x) * 10 ** -(0.25 + 0.535 * x**8 / (0.05 + x**8))


def gap(h, perimeter, length):
    """Slot (plane Poiseuille, ends of a slit) and thick orifice."""
    return (
        12 * MU * (length + 0.849 * h) / (perimeter * h**3),
        (1.5 + tau(length / (2 * h))) * RHO / (2 * perimeter**2 * h**2),
    )


def hole(d, length):
    """Sampson and Poiseuille; thick orifice."""
    r = d / 2
    return (
        MU * (3 + 8 * length / (math.pi * r)) / r**3,
        (1.5 + tau(length / d)) * RHO / (2 * (math.pi * r * r) ** 2),
    )


def grid(f, area):
    """Perforated plate of Idelchik, diagram 4-15, with creeping holes."""
    r = GRID_HOLE / 2
    n = f * area / (math.pi * r * r)
    k = 0.5 * (1 - f) ** 0.75 + tau(GRID_PLATE / GRID_HOLE) * (1 - f) ** 1.375 + (1 - f) ** 2
    return MU * (3 + 8 * GRID_PLATE / (math.pi * r)) / (r**3 * n), k * RHO / (2 * (f * area) ** 2)


def ergun(d, e, depth, area):
    """Ergun 1952."""
    return (
        150 * MU * (1 - e) ** 2 * depth / (e**3 * d**2 * area),
        1.75 * RHO * (1 - e) * depth / (e**3 * d * area**2),
    )


def bed(medium, depth, area):
    """Ergun 1952; Dietrich 2009 on a Kelvin cell; Davies 1953."""
    kind, m = medium
    if kind == "pieces":
        return ergun(m["sphericity"] * m["size"], m["void"], depth, area)
    if kind == "rings":
        o, i, l = m["outer"], m["inner"], m["length"]
        volume = math.pi / 4 * (o * o - i * i) * l
        surface = math.pi * (o + i) * l + math.pi / 2 * (o * o - i * i)
        return ergun(6 * volume / surface, m["void"], depth, area)
    if kind == "foam":
        e = m["void"]
        d = 4 * e / (1.5 * 4.82 * math.sqrt(1 - e) * m["ppi"] / 0.0254)
        return 110 * MU * depth / (e * d * d * area), 1.45 * RHO * depth / (e * e * d * area**2)
    s = m["solidity"]
    return 64 * MU * s**1.5 * (1 + 56 * s**3) * depth / (m["diameter"] ** 2 * area), 0.0


def velocity_heads(k, bore):
    """K velocity heads of a bore, as b."""
    return k * RHO / (2 * (math.pi * bore * bore / 4) ** 2)


# ---------------------------------------------------------------------------------------------- the graph
def passages():
    """Every passage with its ends, in the order the water meets them."""
    out = []

    def add(name, start, end, kind, law, media=False, **geometry):
        out.append(
            {"name": name, "from": start, "to": end, "kind": kind, "media": media, "a": law[0], "b": law[1],
             "geometry": geometry}
        )  # fmt: skip

    def layer(where, start, end, spec):
        name, medium, depth, slack, bore = spec
        area = AREA - PERIMETER * slack - math.pi * bore**2 / 4
        full = f"{where} {name}"
        add(full, start, end, "bed", bed(medium, depth, area), True,
            bed=medium[0], **medium[1], depth=depth, area=area)  # fmt: skip
        if slack:
            add(f"{full} slack", start, end, "slack", gap(slack, PERIMETER, depth),
                width=slack, perimeter=PERIMETER, length=depth)  # fmt: skip
        if bore:
            add(f"{full} hole", start, end, "hole", hole(bore, depth), diameter=bore, length=depth)

    def hose(name, start, end):
        length, k = HOSE[name]
        total = HOSE["friction"] * length / HOSE["bore"] + k
        add(f"{name} hose", start, end, "velocity heads", (0.0, velocity_heads(total, HOSE["bore"])),
            k=total, bore=HOSE["bore"])  # fmt: skip

    hose("suction", "tank", "inlet")
    add("tube upper half", "inlet", "tube", "velocity heads", (0.0, velocity_heads(1.5, TUBE)), k=1.5, bore=TUBE)
    add("tube lower half", "tube", "foot", "velocity heads", (0.0, velocity_heads(0.5, TUBE)), k=0.5, bore=TUBE)
    below = "foot"
    for i, spec in enumerate(FLOOR):
        above = "under tray 1" if i == len(FLOOR) - 1 else f"floor {i + 1}"
        layer("floor:", below, above, spec)
        below = above
    for i, tray in enumerate(TRAYS, 1):
        top = "lid" if i == len(TRAYS) else f"under tray {i + 1}"
        condition, width = tray["seal"]
        length = MISSING_LENGTH if condition == "missing" else SEAL_LENGTH
        add(f"tray {i} seal", below, top, "seal", gap(width, PERIMETER, length),
            width=width, perimeter=PERIMETER, length=length)  # fmt: skip
        if top != "lid":
            add(f"tray {i} joint", "tube", top, "joint", gap(JOINT, math.pi * TUBE, SEAL_LENGTH),
                width=JOINT, perimeter=math.pi * TUBE, length=SEAL_LENGTH)  # fmt: skip
        face = f"tray {i} face 0"
        add(f"tray {i} grid", below, face, "grid", grid(tray["grid"], AREA), open=tray["grid"], area=AREA)
        for n, spec in enumerate(tray["layers"], 1):
            end = top if n == len(tray["layers"]) else f"tray {i} face {n}"
            layer(f"tray {i}:", face, end, spec)
            face = end
        below = top
    hose("delivery", "outlet of the pump", "tank")
    return out


PUMP_ENDS = ("lid", "outlet of the pump")
FIXED = "tank"


def times_media(edges, factor):
    return [{**e, "a": e["a"] * factor, "b": e["b"] * factor} if e["media"] else e for e in edges]


def nodes_of(edges):
    seen = dict.fromkeys(n for e in edges for n in (e["from"], e["to"]))
    return list(seen)


# ---------------------------------------------------------------------------------------------- EPANET
def manning(b):
    """Roughness of a pipe of 1 ft and 12 in. whose Chezy-Manning loss in feet is b (cfs)^2: EPANET works
    r = (4 n/(1.49 pi d^2))^2 (d/4)^-1.333 L."""
    return math.sqrt(b / 0.25**-1.333) * 1.49 * math.pi / 4


def inp(edges):
    """The network as an EPANET input file; 1 l/h as 1 cfs, 1 Pa as 1 ft."""
    nodes = nodes_of(edges)
    ident = {n: f"N{i}" for i, n in enumerate(nodes)}
    q = np.concatenate([[0.0], np.exp(np.arange(math.log(1e-4), math.log(1e5), 0.005))])
    pipes, valves, curves = [], [], []
    for i, e in enumerate(edges):
        ends = f"{ident[e['from']]} {ident[e['to']]}"
        if e["a"] == 0.0:
            pipes.append(f"L{i} {ends} 1 12 {manning(e['b'] * L_H**2)!r} 0 Open")
        else:
            valves.append(f"L{i} {ends} 12 GPV C{i} 0")
            loss = e["a"] * L_H * q + e["b"] * L_H**2 * q**2
            curves += [f"C{i} {x:.15g} {y:.15g}" for x, y in zip(q, loss)]
    q0 = PUMP["free_flow"] / L_H
    for x in (0.0, 0.5 * q0, 0.9 * q0):
        curves.append(f"P {x:.15g} {PUMP['shutoff'] * (1 - (x / q0) ** PUMP['exponent']):.15g}")
    start, end = PUMP_ENDS
    parts = {
        "JUNCTIONS": [f"{ident[n]} 0 0" for n in nodes if n != FIXED],
        "RESERVOIRS": [f"{ident[FIXED]} 0"],
        "PIPES": pipes,
        "PUMPS": [f"PUMP {ident[start]} {ident[end]} HEAD P"],
        "VALVES": valves,
        "CURVES": curves,
        "TIMES": ["Duration 0"],
        "OPTIONS": [
            "Units CFS", "Headloss C-M", "Trials 2000", "Accuracy 1e-8", "HEADERROR 1e-9", "FLOWCHANGE 1e-10",
            "Unbalanced Stop",
        ],
    }  # fmt: skip
    text = "".join(f"[{k}]\n" + "\n".join(v) + "\n\n" for k, v in parts.items()) + "[END]\n"
    return text, ident


def epanet(edges):
    """Flows in m3/s by passage, the pump's flow, heads in Pa by node."""
    text, ident = inp(edges)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "vessel.inp")
        Path(path).write_text(text)
        en = ENepanet(version=2.2)
        en.ENopen(path, os.path.join(folder, "vessel.rpt"), os.path.join(folder, "vessel.bin"))
        en.ENopenH()
        en.ENinitH(0)
        en.ENrunH()
        flow = {
            e["name"]: en.ENgetlinkvalue(en.ENgetlinkindex(f"L{i}"), 8) * L_H for i, e in enumerate(edges)
        }
        pump = en.ENgetlinkvalue(en.ENgetlinkindex("PUMP"), 8) * L_H
        head = {n: en.ENgetnodevalue(en.ENgetnodeindex(ident[n]), 10) for n in ident}
        en.ENcloseH()
        en.ENclose()
    return flow, pump, head


# ---------------------------------------------------------------------------------------------- scipy
def inverse(e, dp):
    a, b = e["a"], e["b"]
    return 2 * dp / (a + math.sqrt(a * a + 4 * b * abs(dp))) if dp else 0.0


def pump_flow(rise):
    x = 1 - rise / PUMP["shutoff"]
    return PUMP["free_flow"] * math.copysign(abs(x) ** (1 / PUMP["exponent"]), x)


def by_root(edges):
    """The same network by scipy: unknown heads only, each passage by its inverse, mass balance at each node."""
    free = [n for n in nodes_of(edges) if n != FIXED]
    index = {n: i for i, n in enumerate(free)}

    def flows(h):
        def at(n):
            return 0.0 if n == FIXED else h[index[n]]

        q = [inverse(e, at(e["from"]) - at(e["to"])) for e in edges]
        return q, pump_flow(at(PUMP_ENDS[1]) - at(PUMP_ENDS[0]))

    def balance(h):
        q, p = flows(h)
        out = np.zeros(len(free))
        ends = [(e["from"], e["to"], x) for e, x in zip(edges, q)] + [(*PUMP_ENDS, p)]
        for start, end, x in ends:
            if start != FIXED:
                out[index[start]] -= x / L_H
            if end != FIXED:
                out[index[end]] += x / L_H
        return out

    # From a stair of heads: 3 kPa lost before the pump, one pascal a node, the rest after it.
    start = -3000.0 - np.arange(len(free), dtype=float)
    start[index[PUMP_ENDS[1]]] = 4000.0
    found = root(balance, start, method="hybr", tol=1e-13, options={"maxfev": 200000})
    for _ in range(5):
        found = root(balance, found.x, method="lm", tol=1e-14, options={"maxiter": 200000})
    worst = np.abs(balance(found.x)).max()
    assert worst < 1e-6, f"scipy did not close the balance: {worst} l/h"
    q, p = flows(found.x)
    heads = {n: float(h) for n, h in zip(free, found.x)} | {FIXED: 0.0}
    return {e["name"]: x for e, x in zip(edges, q)}, p, heads


# ---------------------------------------------------------------------------------------------- both
def solve(edges, factor):
    edges = times_media(edges, factor)
    flow, pump, head = epanet(edges)
    other, other_pump, other_head = by_root(edges)
    worst = abs(pump / other_pump - 1)
    for e in edges:
        q = flow[e["name"]]
        worst = max(worst, abs(q / other[e["name"]] - 1))
        drop = other_head[e["from"]] - other_head[e["to"]]
        worst = max(worst, abs((head[e["from"]] - head[e["to"]]) / drop - 1))
        law = e["a"] * q + e["b"] * q * abs(q)
        worst = max(worst, abs((head[e["from"]] - head[e["to"]]) / law - 1))
    assert worst < AGREE, f"EPANET and scipy differ by {worst:.2e}"
    print(f"media x{factor:g}: pump {pump / L_H:.4f} l/h, worst difference from scipy {worst:.1e}")
    return {
        "media_times": factor,
        "pump_flow": pump,
        "flows": flow,
        "heads": head,
        "worst_difference_from_scipy": float(f"{worst:.1e}"),
    }


def rounded(x):
    if isinstance(x, dict):
        return {k: rounded(v) for k, v in x.items()}
    if isinstance(x, list):
        return [rounded(v) for v in x]
    return float(f"{x:.10g}") if isinstance(x, float) else x


def main():
    edges = passages()
    cases = {"clean": 1.0, "ten times": 10.0, "three hundred times": 300.0}
    out = {
        "what": "One invented canister vessel as a pipe network, solved by EPANET; see epanet_vessel.py beside it.",
        "solved_by": f"EPANET 2.2 (US EPA, Rossman et al. 2020) through the Python package wntr {wntr.__version__}; "
        f"each case agrees with a scipy {scipy.__version__} root of the same equations as noted there",
        "units": "SI: m, m3/s, Pa; a in Pa per m3/s, b in Pa per (m3/s)2; heads are Pa above the tank",
        "law": "head[from] - head[to] = a q + b q |q|; q counts from `from` to `to`; "
        "a and b of passages with media: true are multiplied by media_times of the case",
        "water": {"density": RHO, "viscosity": MU, "temperature": "25 degC"},
        "fixed": {"node": FIXED, "head": 0.0},
        "pump": {
            "from": PUMP_ENDS[0],
            "to": PUMP_ENDS[1],
            **PUMP,
            "law": "head[to] - head[from] = shutoff (1 - (q/free_flow)^exponent)",
        },
        "tray": {
            "outline": {"dee": {"width": WIDTH, "depth": DEPTH}, "less_round": TUBE},
            "area": AREA,
            "perimeter": PERIMETER,
        },
        "nodes": nodes_of(edges),
        "passages": edges,
        "cases": {name: solve(edges, factor) for name, factor in cases.items()},
    }
    path = Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(rounded(out), indent=1, ensure_ascii=False) + "\n")
    for e in edges:
        shares = [out["cases"][c]["flows"][e["name"]] / L_H for c in cases]
        print(f"{e['name']:24}", *(f"{x:12.6g}" for x in shares))


if __name__ == "__main__":
    main()
