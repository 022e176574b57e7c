"""Write the lift and drag of thin cambered blade sections to `src/platewright/catalogue/rotor/section_polars.csv`.

It needs what the project does not: `neuralfoil` 0.3.3 (MIT), a neural network trained on XFOIL, in an environment
of its own:

    python3 -m venv ENV && ENV/bin/pip install neuralfoil==0.3.3
    ENV/bin/python scripts/section_polars.py
"""

import csv
from pathlib import Path

import aerosandbox
import neuralfoil
import numpy as np

OUT = Path(__file__).parents[1] / "src/platewright/catalogue/rotor/section_polars.csv"
SECTIONS = ("naca2408", "naca4408", "naca6408")  # camber 2, 4, 6 % at 0.4 of the chord, 8 % thick
REYNOLDS = (10e3, 20e3, 30e3, 45e3, 70e3, 100e3, 140e3, 200e3)
ANGLES = np.arange(-10.0, 21.0, 1.0)

with OUT.open("w", encoding="utf-8", newline="") as file:
    table = csv.writer(file, lineterminator="\n")
    table.writerow(("camber_pct", "reynolds", "alpha_deg", "cl", "cd", "confidence"))
    for name in SECTIONS:
        section = aerosandbox.Airfoil(name)
        for reynolds in REYNOLDS:
            made = neuralfoil.get_aero_from_airfoil(section, ANGLES, reynolds, model_size="xxxlarge")
            for alpha, cl, cd, sure in zip(ANGLES, made["CL"], made["CD"], made["analysis_confidence"], strict=True):
                table.writerow((name[4], f"{reynolds:.0f}", f"{alpha:g}", f"{cl:.4f}", f"{cd:.5f}", f"{sure:.3f}"))
