"""Make the invented log of Wagtail 2: run it to write wagtail.las again; the same numbers every time."""

from __future__ import annotations

from pathlib import Path

import numpy as np

TOP, BASE, STEP = 6760.0, 7560.0, 0.5  # ft
NULL = -999.25
SEED = 20301

# Sands: top, base (ft), porosity, shale volume, depth of the gas-water contact (ft).
SANDS = (
    (6842.0, 6868.0, 0.185, 0.12, 7520.0),
    (6872.0, 6888.0, 0.165, 0.20, 7520.0),
    (6981.0, 7012.0, 0.205, 0.08, 7520.0),
    (7016.0, 7027.0, 0.160, 0.22, 7520.0),
    (7151.0, 7176.0, 0.215, 0.07, 7520.0),
    (7179.0, 7186.0, 0.265, 0.03, 7520.0),  # the coarse bed
    (7190.0, 7228.0, 0.205, 0.10, 7520.0),
    (7391.0, 7420.0, 0.210, 0.08, 7470.0),
    (7423.0, 7452.0, 0.195, 0.12, 7470.0),
    (7455.0, 7500.0, 0.195, 0.12, 7470.0),  # reaches through the contact
)
# Washed-out stretches of the hole: top, base (ft), how much wider (in).
WASHOUTS = ((6905.0, 6940.0, 1.2), (7060.0, 7075.0, 2.6), (7250.0, 7266.0, 3.4), (7310.0, 7330.0, 0.8))


def noise(random: np.random.Generator, size: int, spread: float, memory: float = 0.8) -> np.ndarray:
    """Noise with a memory from sample to sample, so that the curves look like a tool's."""
    steps = random.normal(0.0, spread * np.sqrt(1.0 - memory**2), size)
    made = np.empty(size)
    made[0] = steps[0]
    for i in range(1, size):
        made[i] = memory * made[i - 1] + steps[i]
    return made


def curves() -> dict[str, np.ndarray]:
    """Depth, gamma ray, effective porosity, water saturation, permeability, caliper."""
    random = np.random.default_rng(SEED)
    depth = np.arange(TOP, BASE + 0.5 * STEP, STEP)
    size = depth.size
    shale = 0.85 + noise(random, size, 0.06)
    porosity = 0.04 + noise(random, size, 0.008)
    contact = np.full(size, 7520.0)
    sand = np.zeros(size, dtype=bool)
    for top, base, phi, vsh, gas_water in SANDS:
        here = (depth >= top) & (depth <= base)
        shale[here] = vsh + noise(random, int(here.sum()), 0.03)
        porosity[here] = phi + noise(random, int(here.sum()), 0.012)
        contact[here] = gas_water
        sand |= here
    shale = np.clip(shale, 0.0, 1.0)
    porosity = np.clip(porosity, 0.01, 0.32)
    gamma = 22.0 + 105.0 * shale + noise(random, size, 3.0)
    permeability = 35.0 * 10.0 ** (16.0 * (porosity - 0.20)) * 10.0 ** noise(random, size, 0.08)
    height = np.maximum(contact - depth, 0.0)
    quality = np.sqrt(permeability / porosity)
    saturation = 0.14 + 0.86 / (1.0 + 0.010 * quality * height)
    saturation = np.where(sand, np.where(height > 0.0, saturation, 1.0), 1.0)
    caliper = 8.5 + np.abs(noise(random, size, 0.08)) + np.where(sand, -0.05, 0.12)
    for top, base, wider in WASHOUTS:
        here = (depth >= top) & (depth <= base)
        caliper[here] += wider * np.sin(np.pi * (depth[here] - top) / (base - top)) ** 0.5
    return {
        "DEPT": depth,
        "GR": gamma,
        "PHIE": porosity,
        "SW": np.clip(saturation, 0.0, 1.0),
        "PERM": permeability,
        "CALI": caliper,
    }


HEAD = """\
~Version Information
 VERS.                 2.0 : CWLS log ASCII standard, version 2.0
 WRAP.                  NO : one line per depth step
~Well Information
 STRT.FT          {start:.4f} : first depth
 STOP.FT          {stop:.4f} : last depth
 STEP.FT            {step:.4f} : step
 NULL.           {null:.2f} : null value
 COMP.        INVENTED     : company
 WELL.        WAGTAIL 2    : well
 FLD .        INVENTED     : field
 LOC .        NOWHERE      : location
 SRVC.        make_log.py  : made by
 DATE.        2030-01-01   : date
~Curve Information
 DEPT.FT   : measured depth
 GR  .GAPI : gamma ray
 PHIE.V/V  : effective porosity
 SW  .V/V  : water saturation
 PERM.MD   : permeability
 CALI.IN   : caliper
~Parameter Information
 BS  .IN    8.5 : bit size
~ASCII
"""


def text() -> str:
    """The log as LAS 2.0 text, with a few nulls at both ends as tools leave them."""
    table = curves()
    for name in ("PHIE", "SW", "PERM"):
        table[name][:6] = NULL
    for name in ("GR", "CALI"):
        table[name][-4:] = NULL
    head = HEAD.format(start=TOP, stop=BASE, step=STEP, null=NULL)
    rows = zip(*table.values(), strict=True)
    return head + "".join(f"{d:10.4f} {g:10.3f} {p:10.4f} {s:10.4f} {k:12.4f} {c:10.3f}\n" for d, g, p, s, k, c in rows)


if __name__ == "__main__":
    Path(__file__).with_name("wagtail.las").write_text(text(), encoding="ascii")
