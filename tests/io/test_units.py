"""Units of the trade: spellings against exactly defined conversions, and refusals by their words."""

from __future__ import annotations

import math

import pytest

from shellbuck.io.language.units import UnitError, example, parse_quantity

INCH = 0.0254  # m, exact since 1959
POUND = 0.45359237  # kg, exact since 1959
GRAVITY = 9.80665  # m/s^2, exact since 1901
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2

# The conversions are exact; a product of a few rounded factors may be off by some units in the 16th digit.
ROUNDING = 1e-14

SPELLINGS = [
    ("2.3 mm", "length", 2.3e-3),
    ("2.3mm", "length", 2.3e-3),
    (" 2.3  mm ", "length", 2.3e-3),
    ("+2.3 mm", "length", 2.3e-3),
    (".5 cm", "length", 5e-3),
    ("5. m", "length", 5.0),
    ("80 µm", "length", 80e-6),
    ("80 um", "length", 80e-6),
    ("80 micron", "length", 80e-6),
    ("1.2e3 mm", "length", 1.2),
    ("1.2E+3mm", "length", 1.2),
    ("0.09 in", "length", 0.09 * INCH),
    ('0.09"', "length", 0.09 * INCH),
    ("0.09 in.", "length", 0.09 * INCH),
    ("0.09 inch", "length", 0.09 * INCH),
    ("90 mil", "length", 0.09 * INCH),
    ("90 thou", "length", 0.09 * INCH),
    ("5 ft", "length", 60 * INCH),
    ("5 feet", "length", 60 * INCH),
    ("\u22125 mm", "length", -5e-3),
    ("1e0001 mm", "length", 0.01),
    ("1_000 mm", "length", 1.0),
    ("2\u00a0mm", "length", 2e-3),
    ("6.2 MN", "force", 6.2e6),
    ("500 kN", "force", 5e5),
    ("1200 lb", "force", 1200 * POUND_FORCE),
    ("1200 lbf", "force", 1200 * POUND_FORCE),
    ("1200 lbs", "force", 1200 * POUND_FORCE),
    ("12 kip", "force", 12e3 * POUND_FORCE),
    ("12 kips", "force", 12e3 * POUND_FORCE),
    ("12 klbf", "force", 12e3 * POUND_FORCE),
    ("-3 N", "force", -3.0),
    ("35 psi", "pressure", 35 * PSI),
    ("35 psig", "pressure", 35 * PSI),
    ("2.4 bar", "pressure", 2.4e5),
    ("24 mbar", "pressure", 2400.0),
    ("180 kPa", "pressure", 1.8e5),
    ("0 psi", "pressure", 0.0),
    ("10.5 Msi", "stress", 10.5e6 * PSI),
    ("10.5e6 psi", "stress", 10.5e6 * PSI),
    ("50 ksi", "stress", 50e3 * PSI),
    ("73.1 GPa", "stress", 73.1e9),
    ("340 MPa", "stress", 340e6),
    ("340 N/mm2", "stress", 340e6),
    ("340 N/mm^2", "stress", 340e6),
    ("340 N/mm**2", "stress", 340e6),
    ("340 N/mm²", "stress", 340e6),
    ("9 MN*m", "moment", 9e6),
    ("9 MN m", "moment", 9e6),
    ("9 MN.m", "moment", 9e6),
    ("9 MN·m", "moment", 9e6),
    ("9 MNm", "moment", 9e6),
    ("9 kNm", "moment", 9e3),
    ("9 Nm", "moment", 9.0),
    ("9 N-mm", "moment", 9e-3),
    ("9 kN * m", "moment", 9e3),
    ("9 N m^2 / m", "moment", 9.0),
    ("3e5 in-lb", "moment", 3e5 * INCH * POUND_FORCE),
    ("3e5 lb-in", "moment", 3e5 * INCH * POUND_FORCE),
    ("3e5 in. lb", "moment", 3e5 * INCH * POUND_FORCE),
    ("3e5 in-lbs", "moment", 3e5 * INCH * POUND_FORCE),
    ("3e5 lbf*in", "moment", 3e5 * INCH * POUND_FORCE),
    ("300 in-kip", "moment", 3e5 * INCH * POUND_FORCE),
    ("3e5 ft-lb", "moment", 36e5 * INCH * POUND_FORCE),
    ("25 kip-ft", "moment", 3e5 * INCH * POUND_FORCE),
    ("1200 lb/in", "membrane stiffness", 1200 * POUND_FORCE / INCH),
    ("180 kN/mm", "membrane stiffness", 1.8e8),
    ("180 MN/m", "membrane stiffness", 1.8e8),
    ("12 kN", "coupling stiffness", 1.2e4),
    ("12 kNm/m", "coupling stiffness", 1.2e4),
    ("2 lb-in2/in", "bending stiffness", 2 * POUND_FORCE * INCH),
    ("0.1 lb/in^3", "density", 0.1 * POUND / INCH**3),
    ("0.1 lbm/in3", "density", 0.1 * POUND / INCH**3),
    ("0.1 lb / in ^ 3", "density", 0.1 * POUND / INCH**3),
    ("0.1 lb/in³", "density", 0.1 * POUND / INCH**3),
    ("0.1 lb/(in*in*in)", "density", 0.1 * POUND / INCH**3),
    ("2.7 g/cm3", "density", 2700.0),
    ("2.7 t/m^3", "density", 2700.0),
    ("2840 kg/m^3", "density", 2840.0),
    ("8.1 kg/m^2", "area density", 8.1),
    ("1.5 lb/ft^2", "area density", 1.5 * POUND / (12 * INCH) ** 2),
    ("120 mm^2", "area", 120e-6),
    ("0.2 in2", "area", 0.2 * INCH**2),
    ("4500 mm^4", "second moment of area", 4500e-12),
    ("0.01 in4", "second moment of area", 0.01 * INCH**4),
    ("294 K", "temperature", 294.0),
    ("529.2 degR", "temperature", 294.0),
]


@pytest.mark.parametrize(("text", "kind", "value"), SPELLINGS, ids=lambda x: x if isinstance(x, str) else "")
def test_spelling(text, kind, value):
    assert parse_quantity(text, kind) == pytest.approx(value, rel=ROUNDING, abs=0)


@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        ("-253 degC", 20.15),
        ("-253 °C", 20.15),
        ("0 celsius", 273.15),
        ("-423 degF", (-423 + 459.67) / 1.8),
        ("70 °F", (70 + 459.67) / 1.8),
        ("-459.67 degF", 0.0),
    ],
)
def test_temperatures_carry_their_zero(text, kelvin):
    """Absolute tolerance: the zeros 273.15 and 459.67 are subtracted, which leaves about 1e-13 K of rounding."""
    assert parse_quantity(text, "temperature") == pytest.approx(kelvin, rel=0, abs=1e-12)


def test_ksi_as_tables_print_it():
    """Tables print 6.894757 MPa, seven digits; half a unit of the last digit is 7e-8."""
    assert parse_quantity("1 ksi", "stress") == pytest.approx(6.894757e6, rel=1e-7)


@pytest.mark.parametrize("value", [0.33, "0.33", "33e-2"])
def test_plain_numbers(value):
    assert parse_quantity(value, "number") == 0.33


def refusal(text, kind):
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, kind)
    return caught.value.problem


@pytest.mark.parametrize(
    ("text", "kind", "code", "words"),
    [
        (2.3, "length", "unit-missing", 'write "2.3 mm", "2.3 m" or "2.3 in", whichever you mean'),
        (3, "force", "unit-missing", 'a quantity such as "6.2 MN"'),
        (95, "conductivity", "unit-missing", 'write "95 W/(m*K)" if you mean that'),
        ("2.3", "length", "unit-missing", "a number without a unit"),
        ("1e3", "force", "unit-missing", 'write "1e3 kN", "1e3 MN" or "1e3 lbf"'),
        (math.nan, "length", "unit-missing", "got nan"),
        (True, "length", "unit-kind", "a length is needed"),
        ([1], "force", "unit-kind", "a force is needed"),
        ({"a": 1}, "stress", "unit-kind", "a stress is needed"),
        ("2 " + "m" * 100, "length", "unit-kind", "a length is needed"),
        ("2 Mpa", "stress", "unit-unknown", "did you mean MPa?"),
        ("2 mPa", "stress", "unit-unknown", "did you mean MPa?"),
        ("35 PSI", "pressure", "unit-unknown", "did you mean psi?"),
        ("2 furlongs", "length", "unit-unknown", 'unknown unit "furlongs"'),
        ("9OO kN", "force", "unit-unknown", "got '9OO kN'"),
        ("9OO kN", "force", "unit-unknown", "write 900 if you mean that number"),
        ("2 years", "length", "unit-unknown", 'unknown unit "years"'),
        ("2 exp", "length", "unit-unknown", 'unknown unit "exp"'),
        ("2 kg", "force", "unit-dimension", "this is not a force"),
        ("2 mm", "stress", "unit-dimension", 'for example "73.1 GPa"'),
        ("2 mm^2", "length", "unit-dimension", "got 2 mm^2"),
        ("70 degC", "length", "unit-dimension", "this is not a length"),
        ("5 lb", "density", "unit-dimension", "this is not a density"),
        ("5 ft 3 in", "length", "unit-unknown", "cannot be read"),
        ("35 psia", "pressure", "unit-absolute", "subtract the outside pressure"),
        ("35 psi (abs)", "pressure", "unit-absolute", "gauge pressure across the wall"),
        ("2 bara", "pressure", "unit-absolute", "absolute"),
        ("2 bar abs", "pressure", "unit-absolute", "absolute"),
        ("200 kPa(a)", "pressure", "unit-absolute", "absolute"),
        ("2,3 mm", "length", "unit-number", "write a decimal point"),
        ("1,200 lb", "force", "unit-number", "no thousands separator"),
        ("nan mm", "length", "unit-number", "no number found"),
        ("inf mm", "length", "unit-number", "no number found"),
        ("mm", "length", "unit-number", "no number found"),
        ("", "length", "unit-number", "no number found"),
        ("--2 mm", "length", "unit-number", "no number found"),
        ("0.33 mm", "number", "unit-number", "a plain number is needed"),
        (10**400, "number", "unit-number", "a plain number is needed"),
        ("1e400 mm", "length", "value-range", "not finite"),
        ("1e99999 mm", "length", "value-range", "not finite"),
        ("1e308 km", "length", "value-range", "not finite"),
        ("2 mm^9", "length", "unit-unknown", "powers from 1 to 4"),
        ("2 mm^99999999", "length", "unit-unknown", "no such power"),
        ("2 mm^0", "length", "unit-unknown", "no such power"),
        ("2 mm^^2", "area", "unit-unknown", "no such power"),
        ("2700 kg m^-3", "density", "unit-unknown", "divide instead: kg/m^3"),
    ],
)
def test_refusal_says(text, kind, code, words):
    problem = refusal(text, kind)
    assert problem.code == code
    assert words in problem.sentence()


UNREADABLE = [
    "2 1 mm",
    "2 3 mm",
    "2 * 3 mm",
    "1 000 mm",
    "1/2 in",
    "1 1/2 in",
    "2 mm 1",
    "2 mm - 1",
    "2 /mm",
    "2 mm*",
    "2 mm^",
    "2 (mm",
    "2 mm)",
    "2 ()",
    "2 mm//mm*m",
    "2 m*/m*m",
    "2 mm # thick",
    "2 mm; 3",
    "2 $",
    "2 mm\x00",
    "2 mm^2^1",
    "2 m^(1)",
    "2.3.4 mm",
    "- 2 mm",
    "2 ^ mm",
    "1e mm",
]


@pytest.mark.parametrize("text", UNREADABLE)
def test_what_is_no_quantity_is_never_half_read(text):
    """A number or operator that the reader does not understand must not be dropped: "2 1 mm" is not 2 mm."""
    assert refusal(text, "length").code in {"unit-unknown", "unit-number"}


KINDS = (
    "length",
    "force",
    "moment",
    "pressure",
    "stress",
    "density",
    "area density",
    "area",
    "second moment of area",
    "temperature",
    "membrane stiffness",
    "coupling stiffness",
    "bending stiffness",
)


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_is_itself_accepted(kind):
    assert parse_quantity(example(kind).strip('"'), kind) > 0


@pytest.mark.parametrize("kind", [k for k in KINDS if k != "temperature"])
def test_bare_zero_is_refused_too(kind):
    """Zero has the same value in every unit, but a habit of bare numbers starts with zero."""
    assert refusal(0, kind).code == "unit-missing"
