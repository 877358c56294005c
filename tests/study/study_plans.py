"""Small studies that the tests of this folder build on; invented numbers."""

from __future__ import annotations

import builders

from shellbuck.study import HereWorkers, Study, open_folder, plan_of, run_study

PLAIN = builders.case(builders.PLAIN, barrel=builders.barrel(skin_thickness=5e-3, skin_thickness_minimum=4.9e-3))
GRID = builders.case(builders.GRID)

SKIN = {
    "key": "barrel.skin_thickness",
    "from": 4e-3,
    "to": 6e-3,
    "count": 5,
    "also": [{"key": "barrel.skin_thickness_minimum", "less": 0.1e-3}],
}
AXIAL = {"key": "load_cases.case.axial_force", "from": "0 kN", "to": "800 kN", "count": 3}


def plan(*vary, case=PLAIN, **more):
    """A plan of a case; numbers are SI."""
    return plan_of({"vary": list(vary), "outputs": ["smallest_margin", "mass_per_area"], **more}, case, si=True)


def run(study_plan, path, workers=None):
    """(study, folder) of a plan that was worked out in this process."""
    study = Study.of(study_plan)
    with open_folder(study, path) as folder:
        run_study(study, folder, workers or HereWorkers())
    return study, folder


def rows(folder):
    """Every row of the table as a dictionary by heading."""
    return [
        dict(zip((f.header for f in folder.fields), row, strict=True)) for block in folder.blocks() for row in block
    ]
