"""How long the same work takes in tools from outside and here, in one run, and the ratio.

- The whole vessel of tests/reference/epanet_vessel.py, solved cold by EPANET 2.2's toolkit (C, called from Python
  through the package wntr; only the toolkit's own solve is timed, not opening the file) and by scipy.
- Churchill's friction factor by the Python library fluids.

    python3 -m venv somewhere && somewhere/bin/pip install wntr fluids scipy six setuptools
    somewhere/bin/python benches/outside.py
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests" / "reference"))

import epanet_vessel as vessel  # noqa: E402
from fluids.friction import Churchill_1977  # noqa: E402
from wntr.epanet.toolkit import ENepanet  # noqa: E402


def least(rounds, go, times=10):
    """Nanoseconds a go: the least of some rounds."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        for _ in range(rounds):
            go()
        best = min(best, (time.perf_counter() - start) / rounds)
    return best * 1e9


def by_epanet(edges):
    text, _ = vessel.inp(edges)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "vessel.inp")
        Path(path).write_text(text)
        en = ENepanet(version=2.2)
        en.ENopen(path, os.path.join(folder, "vessel.rpt"), os.path.join(folder, "vessel.bin"))
        en.ENopenH()

        def cold():
            # 10: the first flows afresh, so that each solve starts cold.
            en.ENinitH(10)
            en.ENrunH()

        took = least(20, cold)
        en.ENcloseH()
        en.ENclose()
    return took


def ours():
    told = subprocess.run(
        ["cargo", "bench", "--quiet", "--bench", "outside"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    lines = [line.rsplit(" ", 1) for line in told.splitlines() if line]
    return {name: float(figure) for name, figure in lines}


def main():
    edges = vessel.passages()
    here = ours()
    rows = [
        ("network solve", "EPANET 2.2 toolkit", by_epanet(edges)),
        ("network solve", "scipy root", least(1, lambda: vessel.by_root(edges), 3)),
        ("friction factor", "fluids", least(20000, lambda: Churchill_1977(Re=2e4, eD=1e-4))),
    ]
    print(f"{'work':16} {'tool':20} {'theirs':>12} {'ours':>10} {'ratio':>8}")
    for work, tool, theirs in rows:
        print(f"{work:16} {tool:20} {theirs:9.0f} ns {here[work]:7.1f} ns {theirs / here[work]:7.0f}x")


if __name__ == "__main__":
    main()
