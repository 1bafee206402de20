"""From the command to its first page: the program started afresh, again and again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import perf_counter, sleep

from tests.benchmarks.client import Client
from tests.benchmarks.servers import running


def first_page_ms(data: Path) -> float:
    """Start on a file, ask for the first page, stop; the milliseconds until that page was there."""
    start = perf_counter()
    with running("webapp", "--data", data, "--port", "0") as server:
        client = Client(server.port)
        client.get("/")
        ms = (perf_counter() - start) * 1000
        client.close()
    return ms


def first_sheet_ms(data: Path, address: str, wait_s: float, *, demo: bool = False) -> float:
    """Start on a file, ask for the first page, wait; the milliseconds that a sheet then takes the first time."""
    with running("webapp", *(["--demo"] if demo else []), "--data", data, "--port", "0") as server:
        client = Client(server.port)
        client.get("/")
        client.close()
        sleep(wait_s)
        client = Client(server.port)
        ms = client.get(address).ms
        client.close()
    return ms


def starts(file_of_run: Callable[[int], Path], runs: int) -> list[float]:
    """Several starts; the first of them, which may still compile the program, is left out."""
    return [first_page_ms(file_of_run(run)) for run in range(runs + 1)][1:]
