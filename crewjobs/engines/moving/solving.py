"""Running the solver: one worker, as much deterministic time as given, stoppable from another thread."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from crewjobs.engines.scheduling.solver import POLL_SECONDS


def run(solver: Any, model: Any, effort: float, stop: Callable[[], bool]) -> Any:
    """Solve and return the status; the same model and effort give the same answer unless it is stopped."""
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C is the program's: it keeps what was found
    solver.parameters.max_deterministic_time = effort
    done = threading.Event()

    def watch() -> None:
        while not done.wait(POLL_SECONDS):
            if stop():
                solver.stop_search()

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        return solver.solve(model)
    finally:
        done.set()
        thread.join()
