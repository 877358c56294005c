"""A small plain barrel as a case file, its load case named to do harm."""

from __future__ import annotations

CASE = """
[identity]
title = "Export"
part = "P"
revision = "A"
[barrel]
radius = "1.6 m"
radius_is = "skin middle"
length = "1.2 m"
ends = "closed"
skin_thickness = "2.2 mm"
skin_thickness_minimum = "2.1 mm"
[wall]
kind = "plain"
[material]
name = "test metal"
family = "aluminium"
source = "test"
basis = "example"
density = "2800 kg/m^3"
poissons_ratio = 0.33
[[material.points]]
temperature = "294 K"
youngs_modulus = "73 GPa"
tension_yield = "350 MPa"
compression_yield = "350 MPa"
ultimate = "440 MPa"
[[load_cases]]
name = "=1+1, ../a"
axial_force = "350 kN"
bending_moment = "17 kN*m"
pressure_minimum = "0 kPa"
pressure_maximum = "0 kPa"
factors = "agency prototype"
"""
