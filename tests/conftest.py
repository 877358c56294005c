"""Settings of every test: one thread for linear algebra, because tests run side by side; and generated examples have no
time limit, because a busy machine must not fail them."""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):  # before numpy is loaded
    os.environ.setdefault(name, "1")

from hypothesis import settings  # noqa: E402

settings.register_profile("patient", deadline=None, max_examples=40)
settings.register_profile("thorough", deadline=None, max_examples=300)  # CI, with --hypothesis-profile
settings.load_profile("patient")

import pytest  # noqa: E402
from undrawn import figures_left_out  # noqa: E402


@pytest.fixture(scope="module")
def undrawn():
    """No figures on the pages of a module's tests."""
    with figures_left_out():
        yield


@pytest.fixture(autouse=True, scope="session")
def one_solution_of_one_state():
    """Tests assess the same few barrels again and again: the nonlinear prebuckled load of a state is solved once in a
    process. Everything that it depends on is in the key; a test that replaces the engine gets its own answer."""
    from shellbuck.engines import ritz
    from shellbuck.margins import post_buckled, prebuckled

    solve, engine, known = prebuckled._solved, ritz.nonlinear, {}

    def solved(state, pressure):
        key = (
            repr(state.case.barrel),
            repr(state.case.material),
            post_buckled.stable_wall(state).matrix.tobytes(),
            state.temperature,
            state.load.p_min,
            state.load.p_max,
            pressure,
        )
        if ritz.nonlinear is not engine:
            return solve(state, pressure)
        if key not in known:
            known[key] = solve(state, pressure)
        return known[key]

    prebuckled._solved = solved
    yield
    prebuckled._solved = solve
