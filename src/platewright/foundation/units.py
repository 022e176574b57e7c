"""Named unit factors; multiply to convert from the first unit to the second.

Files and results speak mm, g, N, MPa, s and degrees; `geometry` and `assembly` compute in mm, N, MPa, t and rad
(1 N = 1 t mm/s^2), so grams become tonnes with `T_PER_G`.
"""

import math

__all__ = [
    "AH_PER_MAH",
    "G_PER_CM3_TO_T_PER_MM3",
    "G_PER_T",
    "KG_PER_G",
    "M2_PER_MM2",
    "MM_PER_INCH",
    "MM_PER_M",
    "M_PER_INCH",
    "M_PER_KM",
    "M_PER_MM",
    "NM_PER_NMM",
    "N_PER_GF",
    "OHM_PER_MOHM",
    "RAD_PER_S_PER_RPM",
    "S_PER_MIN",
    "T_PER_G",
]

T_PER_G = 1e-6
G_PER_T = 1e6
G_PER_CM3_TO_T_PER_MM3 = 1e-9
MM_PER_M = 1000.0
MM_PER_INCH = 25.4  # exact by definition of the international inch
NM_PER_NMM = 1e-3
M_PER_MM = 1e-3
M_PER_KM = 1e3
M2_PER_MM2 = 1e-6
M_PER_INCH = 0.0254  # exact by definition of the international inch
AH_PER_MAH = 1e-3
KG_PER_G = 1e-3
N_PER_GF = 9.80665e-3  # gram-force by standard gravity
OHM_PER_MOHM = 1e-3
RAD_PER_S_PER_RPM = 2 * math.pi / 60
S_PER_MIN = 60.0
