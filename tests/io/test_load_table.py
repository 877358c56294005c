"""A table of load cases beside the case file: the same load cases as written out, every problem by row and column."""

from dataclasses import replace
from pathlib import Path

import pytest

from shellbuck.core.errors import Refusal
from shellbuck.io import read_case
from shellbuck.io.language.case_file import case_from_text, read_alone
from shellbuck.io.language.table_file import confined, read_sheet

CASES = Path(__file__).parents[2] / "cases"
HEAD = (
    "name,factors,axial_force [kN],axial_force_includes_thrust,bending_moment [kN*m],pressure_minimum [kPa],"
    "pressure_maximum [kPa],temperature [degC]\n"
)
LINES = (
    '"pad, empty, wind",agency prototype,700,,350,0,0,\n'
    '"flight, cold",agency prototype,1900,no,800,170,260,-183\n'
    "own factors,programme A,1500,false,350,90,140,\n"
)
SETS = '\n[factor_sets."programme A"]\nultimate_factor = 1.3\nyield_factor = 1.1\nsource = "invented"\n'


def base(load_table: str = "loads.csv") -> str:
    text = (CASES / "plain-aluminium.toml").read_text()
    return f'load_table = "{load_table}"\n' + text[: text.index("[[load_cases]]")] + SETS


def written(folder: Path, table: str, text: str | None = None) -> Path:
    (folder / "loads.csv").write_text(table)
    (folder / "my.toml").write_text(base() if text is None else text)
    return folder / "my.toml"


def problems(path: Path) -> list[str]:
    with pytest.raises(Refusal) as caught:
        read_case(path)
    return [p.sentence() for p in caught.value.problems]


def test_lines_are_the_load_cases_of_the_file(tmp_path):
    file = read_case(written(tmp_path, HEAD + LINES))
    pad, cold, own = file.case.load_cases
    assert (pad.name, pad.axial_force, pad.axial_force_includes_thrust, pad.temperature) == (
        "pad, empty, wind",
        7e5,
        None,
        None,
    )
    assert (cold.bending_moment, cold.pressure_minimum, cold.pressure_maximum) == (8e5, 1.7e5, 2.6e5)
    assert cold.temperature == pytest.approx(90.15, abs=1e-12)  # -183 + 273.15
    assert (own.factors.ultimate_factor, own.factors.name, own.factors.source) == (1.3, "programme A", "invented")
    assert file.tables[0][0] == "loads.csv"
    assert len(file.tables[0][1]) == 64
    assert file.raw["load_cases"][1]["axial_force"] == "1900 kN"


def test_the_table_adds_to_the_file(tmp_path):
    one = '[[load_cases]]\nname = "listed"\nfactors = "programme A"\naxial_force = "1 kN"\n'
    loads = read_case(written(tmp_path, HEAD + LINES, base() + one)).case.load_cases
    assert [load.name for load in loads] == ["listed", "pad, empty, wind", "flight, cold", "own factors"]
    assert loads[0].factors == loads[3].factors


def test_semicolons_and_units_in_cells(tmp_path):
    table = "name;factors;Axial Force\npad;agency prototype;700 kN\n"
    assert read_case(written(tmp_path, table)).case.load_cases[0].axial_force == 7e5


def test_a_text_that_stands_alone_gives_the_same_case(tmp_path):
    path = written(tmp_path, HEAD + LINES)
    text, _ = read_alone(path)
    assert case_from_text(text).case == read_case(path).case


def test_every_problem_at_once_by_row_and_column(tmp_path):
    table = HEAD + (
        "a,agency prototype,1e12,,350,0,0,\n"  # 1e15 N is beyond what is accepted
        "\n"
        "b,nobody's,x,maybe,,0,0,\n"
        "a,agency prototype,1,,1,0,0,\n"
        "c,agency prototype,1,no,1,5,1,\n"
    )
    found = problems(written(tmp_path, table))
    assert len(found) == 6
    text = "\n".join(found)
    assert 'table loads.csv, row 2, column "axial_force [kN]" (load case "a")' in text
    assert "got 1e12 kN" in text
    assert 'row 4, column "factors"' in text
    assert 'row 4, column "axial_force [kN]" (load case "b"): a plain number is needed' in text
    assert 'row 4, column "axial_force_includes_thrust" (load case "b"): true or false is needed' in text
    assert 'row 4, column "bending_moment [kN*m]" (load case "b"): the cell is empty; got nothing; write 0' in text
    assert 'row 6, column "pressure_maximum [kPa]" (load case "c"): the maximum pressure is below the minimum' in text


def test_names_are_unique_with_those_of_the_file(tmp_path):
    one = '[[load_cases]]\nname = "pad, empty, wind"\nfactors = "programme A"\naxial_force = "1 kN"\n'
    (found,) = problems(written(tmp_path, HEAD + LINES, base() + one))
    assert found.startswith('table loads.csv, row 2, column "name" (load case "pad, empty, wind"): two load cases')


def test_what_concerns_the_barrel_is_placed_too(tmp_path):
    table = "name,factors,axial_force [kN],pressure_maximum [kPa]\nup,agency prototype,5,100\n"
    (found,) = problems(written(tmp_path, table))
    assert found.startswith('table loads.csv, row 2, axial_force_includes_thrust (load case "up"): closed ends under')


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("name,factors,axial [kN]\na,b,1\n", "did you mean axial_force?"),
        ("name,factors,axial_force [kN],axial_force [N]\na,b,1,1\n", "two columns have the same heading"),
        ("name,factors,axial_force [kPa]\na,b,1\n", "this is not a force"),
        ("name,factors [kN],axial_force [kN]\na,b,1\n", "this column has no unit"),
        ("factors,axial_force [kN]\nb,1\n", "a column is missing; got nothing; allowed: name"),
        ("name,factors,axial_force [kN]\na,agency prototype\n", "row 2: the line has another number of cells"),
        ("name,factors,axial_force [kN]\n", "the table has no line"),
        ("name,factors,axial_force [kN]\na,agency prototype,nan\n", "no number found; got 'nan kN'"),
        ('name,factors,axial_force [kN]\na,agency prototype,"1,5"\n', "a plain number is needed"),
        ("name,factors,axial_force\na,agency prototype,5\n", "a number without a unit"),
    ],
)
def test_refusals(tmp_path, table, words):
    assert words in "\n".join(problems(written(tmp_path, table)))


@pytest.mark.parametrize("name", ["../loads.csv", "/etc/loads.csv", "C:\\loads.csv", "a/../../loads.csv", " "])
def test_a_table_stands_beside_its_case(tmp_path, name):
    with pytest.raises(Refusal, match="a table stands beside the file that names it"):
        confined(tmp_path, name, "load_table")


def test_other_refusals(tmp_path):
    path = written(tmp_path, HEAD + LINES)
    with pytest.raises(Refusal, match="has no folder for its table"):
        case_from_text(path.read_text())
    path.write_text(base("loads.txt"))
    assert "a table is read from CSV or XLSX" in problems(path)[0]
    path.write_text(base("none.csv"))
    assert "the file cannot be read (No such file or directory)" in problems(path)[0]
    path.write_text(base().replace("programme A", "agency prototype"))
    assert "the program has a set of this name" in "\n".join(problems(path))
    path.write_text(base().replace("load_table = ", "load_table = 5 #"))
    assert "text in quotes is needed" in problems(path)[0]


def test_a_workbook_gives_the_same_load_cases(tmp_path):
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    sheet = book.active
    for line in (
        ["name", "factors", "axial_force [kN]", "axial_force_includes_thrust", "bending_moment [kN*m]"],
        ["pad", "agency prototype", 700, None, 350.5],
        ["own", "programme A", 1500, False, 0],
    ):
        sheet.append(line)
    book.save(tmp_path / "loads.xlsx")
    (tmp_path / "my.toml").write_text(base("loads.xlsx"))
    pad, own = read_case(tmp_path / "my.toml").case.load_cases
    assert (pad.axial_force, pad.bending_moment, own.axial_force_includes_thrust) == (7e5, 350.5e3, False)
    sheet["C2"] = "=2*350"  # openpyxl saves no value beside it
    book.save(tmp_path / "loads.xlsx")
    assert "row 2: a formula without a saved value; got =2*350" in problems(tmp_path / "my.toml")[0]
    (tmp_path / "loads.xlsx").write_bytes(b"no workbook")
    assert "the workbook cannot be read" in problems(tmp_path / "my.toml")[0]


def test_without_the_library_a_workbook_is_refused_in_words(tmp_path, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "openpyxl", None)
    (tmp_path / "loads.xlsx").write_bytes(b"PK")
    with pytest.raises(Refusal, match=r"XLSX needs the openpyxl library.*save the table as CSV"):
        read_sheet(tmp_path / "loads.xlsx")


def test_the_largest_number_of_load_cases(tmp_path):
    line = "load {},agency prototype,1,,1,0,0,\n"
    table = HEAD + "".join(line.format(i) for i in range(5001))
    assert "too many load cases; got 5001; allowed: 5000" in problems(written(tmp_path, table))[0]
    case = read_case(written(tmp_path, HEAD + line.format(0))).case
    with pytest.raises(Refusal, match="two load cases have the same name"):
        replace(case, load_cases=case.load_cases * 2)
