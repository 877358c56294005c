"""A line load around from a table: its parts by hand, two load cases, and no lower load than that of its peak."""

import math
from pathlib import Path

import pytest

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.io import read_case
from shellbuck.io.language.case_file import case_from_text, read_alone
from shellbuck.model.around import parts_of

CASES = Path(__file__).parents[2] / "cases"
HEAD = "theta [deg],line_load [N/mm]\n"
CASE = """name = "from a shell model"
line_load_table = "n.csv"
factors = "agency prototype"
"""


def written(folder: Path, lines: str, *, case: str = CASE) -> Path:
    text = (CASES / "plain-aluminium.toml").read_text()
    (folder / "my.toml").write_text(text[: text.index("[[load_cases]]")] + "[[load_cases]]\n" + case)
    (folder / "n.csv").write_text(HEAD + lines)
    return folder / "my.toml"


def lines(load) -> str:
    return "".join(f"{a},{load(math.radians(a))}\n" for a in range(0, 360, 5))


def test_parts_of_a_triangle_by_hand():
    """A peak of 1 at 90 deg that falls to 0 at 60 and 120 deg: mean 30 deg/360 deg; n = 1 by
    (2/pi) times the integral of (1 - x/b) cos x from 0 to b, which is (1 - cos b)/b, b = pi/6."""
    b = math.pi / 6
    angles = [k * b for k in range(12)]
    found = parts_of("t", angles, [0.0] * 3 + [1.0] + [0.0] * 8)
    first = 2 / math.pi * (1 - math.cos(b)) / b
    assert (found.peak, found.least) == (1.0, 0.0)
    assert found.mean == pytest.approx(1 / 12, rel=1e-12)
    assert found.bending == pytest.approx(first, rel=1e-12)
    assert found.rest == pytest.approx(1 - 1 / 12 - first, rel=1e-9)


def test_two_load_cases_of_peak_and_least(tmp_path):
    """N = 100 + 150 cos(theta - 20 deg) N/mm has its peak at a line; R of the middle of the skin."""
    path = written(tmp_path, lines(lambda a: 100 + 150 * math.cos(a - math.radians(20))))
    file = read_case(path)
    R = file.case.barrel.middle_radius
    peak, least = file.case.load_cases
    assert (peak.name, least.name) == ("from a shell model, peak line load", "from a shell model, least line load")
    assert peak.axial_force == pytest.approx(250e3 * 2 * math.pi * R, rel=1e-9)
    assert least.axial_force == pytest.approx(-50e3 * 2 * math.pi * R, rel=1e-9)
    assert peak.bending_moment == least.bending_moment == 0
    assert peak.around.bending == pytest.approx(150e3, rel=1e-3)  # linear between lines of 5 deg
    assert peak.around.rest < 0.002 * 150e3
    assert [name for name, _ in file.tables] == ["n.csv"]
    said = next(c for c in sb.run(file.case).validity if c.code == "line-load-around")
    assert said.status == "warned"
    assert "-50 to 250 kN/m" in said.text
    text, _ = read_alone(path)  # of a study's folder, which keeps no such table
    with pytest.raises(Refusal, match="read the case from its file"):
        case_from_text(text)


def test_a_least_that_adds_nothing_is_left_out(tmp_path):
    path = written(tmp_path, lines(lambda a: 100 + 50 * math.cos(a)))
    assert [load.name for load in read_case(path).case.load_cases] == ["from a shell model, peak line load"]
    pressed = CASE + 'pressure_minimum = "0 kPa"\npressure_maximum = "50 kPa"\naxial_force_includes_thrust = false\n'
    path = written(tmp_path, lines(lambda a: 100 + 50 * math.cos(a)), case=pressed)
    assert len(read_case(path).case.load_cases) == 2


@pytest.mark.parametrize(
    ("given", "case", "words"),
    [
        ("0,1\n90,1\n180,1\n270,1\n", CASE, r"row 2: angles must rise.*got 90 deg"),
        (lines(lambda _: 1.0).replace("20,1.0\n", "5,1.0\n", 1), CASE, r"angles must rise once around"),
        (lines(lambda _: 1.0) + "360,2\n", CASE, "at 360 deg is not that at 0 deg"),
        ("0,x\n", CASE, r'row 2, column "line_load \[N/mm\]"'),
        (lines(lambda _: 1.0), CASE + 'axial_force = "1 kN"\n', "axial force of this load case is in its table"),
        (lines(lambda _: 1.0), CASE.replace('"n.csv"', '"../n.csv"'), "a table stands beside the file"),
        (lines(lambda _: 1.0), CASE.replace('"n.csv"', "5"), "text in quotes is needed"),
    ],
)
def test_refusals(tmp_path, given, case, words):
    with pytest.raises(Refusal, match=words):
        read_case(written(tmp_path, given, case=case))
