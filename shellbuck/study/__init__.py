"""Studies: any input varied, any output a column, interruptible and resumable.

Examples
--------
>>> from shellbuck import study
>>> plan = study.plan_of({"vary": [{"key": "wall.side", "values": ["inside", "outside"]}]}, case)  # doctest: +SKIP
>>> with study.open_folder(study.Study.of(plan), "sides") as folder:  # doctest: +SKIP
...     table = study.run_study(study.Study.of(plan), folder)
"""

from ..core.workers import HereWorkers, LocalWorkers, map_chunks
from ..io.language.study_file import plan_of, read_study
from .maps import map_of
from .run import Study, open_folder, run_study
from .scheduler import DaskWorkers
from .summary import summarise

__all__ = [
    "DaskWorkers",
    "HereWorkers",
    "LocalWorkers",
    "Study",
    "map_chunks",
    "map_of",
    "open_folder",
    "plan_of",
    "read_study",
    "run_study",
    "summarise",
]
