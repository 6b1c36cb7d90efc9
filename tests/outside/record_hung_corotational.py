"""Record what a corotational frame program makes of three hung pieces.

Run by hand: `python tests/outside/record_hung_corotational.py` where OpenSeesPy is installed (it
needs BLAS and LAPACK of the system); it writes hung_corotational.json beside itself. Bands are stars
of very stiff beams, ends corotational trusses that hardly push; a damped run in time brings the
piece near its rest, static Newton steps finish it. The pieces are given as bare numbers, so nothing
of the package is used here.
"""

import json
import math
from pathlib import Path

import numpy as np
import openseespy.opensees as ops

EA, TENSION, ARM = 18_000.0, 12.0, 1e6
CASES = {
    "pairs and a straight one": {
        "x": [
            [-50, -25, 0, 25, 50],
            [-25, -50, 0, 50, 25],
            [-25, -50, 0, 50, 25],
            [-50, -25, 0, 25, 50],
        ],
        "height": [140, 100, 160],
        "band": [0.5, 0.6, 0.7, 3.0],
    },
    "left half leans": {
        "x": [[-60, -20, 20, 60], [-45, -5, 20, 60], [-45, -5, 35, 60]],
        "height": [150, 150],
        "band": [0.5, 0.8, 2.0],
    },
    "all lean": {
        "x": [[-60, -20, 20, 60], [-50, -10, 30, 70]],
        "height": [150],
        "band": [0.5, 2.0],
    },
}


def hung(x, height, band):
    """Poses [bands - 1][x, y, tilt] below the fixed top band, and tensions of every end."""
    ops.wipe()
    ops.model("basic", "-ndm", 2, "-ndf", 3)
    ops.geomTransf("Corotational", 1)
    y = -np.concatenate([[0], np.cumsum(height)])
    tag = 0
    centres, at = [], {}
    for b, row in enumerate(x):
        tag += 1
        centre = tag
        centres.append(centre)
        ops.node(centre, float(np.mean(x[0])), float(y[b]))
        if b == 0:
            ops.fix(centre, 1, 1, 1)
        for u, place in enumerate(row):
            tag += 1
            ops.node(tag, float(place), float(y[b]))
            at[b, u] = tag
            if b == 0:
                ops.fix(tag, 1, 1, 1)
            elif place == np.mean(x[0]):
                ops.equalDOF(centre, tag, 1, 2, 3)
            else:
                ops.element(
                    "elasticBeamColumn", 100 + tag, centre, tag, 1.0, ARM * abs(place), ARM * 1e4, 1
                )
            ops.mass(tag, 1e-4, 1e-4, 1e-2)
        ops.mass(centre, band[b] / 9806.65, band[b] / 9806.65, 10.0)
    ends = []
    for s in range(len(height)):
        for u in range(len(x[0])):
            long = math.hypot(x[s + 1][u] - x[s][u], height[s])
            natural = long / (1 + TENSION / EA)
            k = EA / natural
            number = 1000 + len(ends)
            ops.uniaxialMaterial("Elastic", number, k * long, 0.0, 1e-6 * k * long)
            ops.uniaxialMaterial(
                "InitStrainMaterial", number + 5000, number, (long - natural) / long
            )
            ops.element("corotTruss", number, at[s, u], at[s + 1, u], 1.0, number + 5000)
            ends.append(number)
    ops.timeSeries("Constant", 1)
    ops.pattern("Plain", 1, 1)
    for b in range(1, len(x)):
        ops.load(centres[b], 0.0, -band[b], 0.0)
    ops.constraints("Transformation")
    ops.numberer("RCM")
    ops.system("UmfPack")
    ops.test("NormDispIncr", 1e-9, 40)
    ops.algorithm("Newton")
    ops.rayleigh(20.0, 0.0, 0.0, 0.0)
    ops.integrator("Newmark", 0.6, 0.3025)
    ops.analysis("Transient")
    step = 1e-4
    for _ in range(2500):
        if ops.analyze(1, step) != 0:
            step /= 4
            if step < 1e-9:
                raise SystemExit("the run in time does not converge")
        else:
            step = min(step * 1.1, 0.02)
    ops.wipeAnalysis()
    ops.constraints("Transformation")
    ops.numberer("RCM")
    ops.system("UmfPack")
    ops.test("NormDispIncr", 1e-12, 50)
    ops.algorithm("Newton")
    ops.integrator("LoadControl", 0.0)
    ops.analysis("Static")
    done = ops.analyze(1)
    return {
        "static": done,
        "pose": [[ops.nodeDisp(c, i) for i in (1, 2, 3)] for c in centres[1:]],
        "tension": [max(ops.basicForce(e)[0], 0.0) for e in ends],
    }


if __name__ == "__main__":
    record = {
        "program": f"OpenSeesPy {ops.version()}",
        "ea_n": EA,
        "tension_n": TENSION,
        "cases": {},
    }
    for name, case in CASES.items():
        record["cases"][name] = {**case, **hung(**case)}
        print(name, record["cases"][name]["static"], record["cases"][name]["pose"])
    out = Path(__file__).with_name("hung_corotational.json")
    out.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
