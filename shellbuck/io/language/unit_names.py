"""The units of the trade: definitions, the SI unit and an example of every kind of quantity, other spellings."""

from __future__ import annotations

DEFINITIONS = """
metre = [length] = m
kilogram = [mass] = kg
second = [time] = s
kelvin = [temperature]; offset: 0 = K
radian = [angle] = rad
degree = 0.017453292519943295 radian = deg
degree_Celsius = kelvin; offset: 273.15 = degC
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF
degree_Rankine = 5 / 9 * kelvin; offset: 0 = degR
millimetre = 0.001 metre = mm
centimetre = 0.01 metre = cm
micrometre = 1e-6 metre = um
kilometre = 1000 metre = km
inch = 0.0254 metre = in
foot = 12 inch = ft
mil = 0.001 inch
gram = 0.001 kilogram = g
tonne = 1000 kilogram = t
pound_mass = 0.45359237 kilogram = lbm
newton = kilogram * metre / second ** 2 = N
kilonewton = 1000 newton = kN
meganewton = 1e6 newton = MN
pound_force = 4.4482216152605 newton = lbf
kip = 1000 pound_force
watt = newton * metre / second = W
pascal = newton / metre ** 2 = Pa
kilopascal = 1000 pascal = kPa
megapascal = 1e6 pascal = MPa
gigapascal = 1e9 pascal = GPa
bar = 1e5 pascal
millibar = 100 pascal = mbar
psi = pound_force / inch ** 2
ksi = 1000 psi
Msi = 1e6 psi
percent = 0.01 = pct
"""

EXAMPLE = {
    "length": "2.3 mm",
    "force": "6.2 MN",
    "moment": "9 MN*m",
    "pressure": "35 psi",
    "stress": "73.1 GPa",
    "density": "2840 kg/m^3",
    "area density": "8.1 kg/m^2",
    "area": "120 mm^2",
    "second moment of area": "4500 mm^4",
    "temperature": "294 K",
    "temperature difference": "40 K",
    "expansion": "22 um/(m*K)",
    "angle": "45 deg",
    "membrane stiffness": "180 MN/m",
    "coupling stiffness": "12 kN",
    "bending stiffness": "3.5 kN*m",
    "number": "0.33",
    "acceleration": "35 m/s^2",
    "line load": "120 N/mm",
    "line spring": "120 N/mm^2",
    "rotation spring": "25 kN",
    "conductivity": "95 W/(m*K)",
}

# units that a bare number may have been meant in
MEANT = {
    "length": ("mm", "m", "in"),
    "force": ("kN", "MN", "lbf"),
    "moment": ("kN*m", "MN*m", "in*lbf"),
    "pressure": ("kPa", "bar", "psi"),
    "stress": ("MPa", "GPa", "ksi"),
    "density": ("kg/m^3", "lb/in^3"),
    "area density": ("kg/m^2", "lb/ft^2"),
    "area": ("mm^2", "in^2"),
    "second moment of area": ("mm^4", "in^4"),
    "temperature": ("K", "degC", "degF"),
    "angle": ("deg", "rad"),
    "line load": ("N/mm", "kN/m", "lbf/in"),
    "temperature difference": ("K", "degR"),
}

# spellings of the trade, mapped before the registry is used
SPELLINGS = {
    "inches": "in",
    "inch": "in",
    '"': "in",
    "feet": "ft",
    "foot": "ft",
    "thou": "mil",
    "metre": "m",
    "meter": "m",
    "metres": "m",
    "meters": "m",
    "micron": "um",
    "µm": "um",
    "μm": "um",
    "°": "deg",
    "degrees": "deg",
    "degree": "deg",
    "°C": "degC",
    "°F": "degF",
    "deg_C": "degC",
    "deg_F": "degF",
    "celsius": "degC",
    "Celsius": "degC",
    "kelvin": "K",
    "°R": "degR",
    "lbs": "lb",
    "pounds": "lb",
    "kips": "kip",
    "klb": "kip",
    "kips_f": "kip",
    "klbf": "kip",
    "psig": "psi",
    "psid": "psi",
    "Nm": "(N*m)",
    "kNm": "(kN*m)",
    "MNm": "(MN*m)",
    "Nmm": "(N*mm)",
    "newton": "N",
    "newtons": "N",
    "pascal": "Pa",
    "lb_f": "lbf",
    "lb_m": "lbm",
    "tons": "t",
    "%": "pct",
}
