"""Who works on many pieces at once: this process, the cores of this machine, or a cluster?

All are executors of `concurrent.futures`: the same jobs give the same numbers on each. A cluster is
one of Dask (extra `cluster`); its workers must run this version.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from typing import Any, TypeVar

import crossfell

T = TypeVar("T")
J = TypeVar("J")
FEW = 8  # jobs below which starting processes takes longer than the jobs


class NoWorkersError(Exception):
    """Why nobody works, in a sentence."""


@contextmanager
def workers(
    on: str = "", *, jobs: int, cores: int | None = None, few: int = FEW
) -> Iterator[Executor | None]:
    """An executor for so many jobs; None: a plain loop does. on: address of a cluster.

    few: jobs below which a plain loop is as good.

    Errors: NoWorkersError.
    """
    if on:
        with _cluster(on) as executor:
            yield executor
        return
    cores = min(cores or os.cpu_count() or 1, jobs)
    if cores < 2 or jobs < few:
        yield None
        return
    pool = ProcessPoolExecutor(cores)
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


def done_by(
    executor: Executor | None, work: Callable[[J], T], jobs: Iterable[J],
    said: Callable[[int], None] = lambda _: None,
) -> list[T]:  # fmt: skip
    """What becomes of each job, in their order; `said` counts those that are done."""
    if executor is None:
        found = []
        for k, job in enumerate(jobs):
            found.append(work(job))
            said(k + 1)
        return found
    futures = [executor.submit(work, job) for job in jobs]
    try:
        for k, _ in enumerate(as_completed(futures)):
            said(k + 1)
        return [future.result() for future in futures]
    finally:
        for future in futures:
            future.cancel()


@contextmanager
def _cluster(on: str) -> Iterator[Executor]:
    try:
        import distributed
    except ImportError:
        raise NoWorkersError(
            "work on a cluster needs the extra: pip install 'crossfell[cluster]'"
        ) from None
    made: Any = distributed.Client
    try:
        client = made(on, timeout=10, set_as_default=False)
    except (OSError, ValueError) as problem:
        raise NoWorkersError(f"{on} cannot be reached: {problem}") from None
    with client:
        versions = client.run(version)
        others = sorted({str(v) for v in versions.values()} - {crossfell.__version__})
        if not versions or others:
            why = f"its workers run {', '.join(others)}" if others else "it has no workers"
            raise NoWorkersError(f"{on}: {why}; they must run {crossfell.__version__}")
        yield client.get_executor(pure=False)


def version() -> str:
    """The version that a worker runs."""
    return crossfell.__version__
