"""Settings of every test: one thread for linear algebra, because tests run side by side; and generated examples have no
time limit, because a busy machine must not fail them."""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):  # before numpy is loaded
    os.environ.setdefault(name, "1")

from hypothesis import settings  # noqa: E402

settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
