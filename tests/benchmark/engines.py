"""The tables beside the direct model, HiGHS and brute force: the same optimum, how much sooner."""

from __future__ import annotations

import demo_cases
from engine_worker import ENGINES, Answer, Batch, Run, Worker
from figures import MISSING, DifferentOptimumError, Table, median, seconds, times
from roofs import many_planes
from strategies import random_case

OURS = ENGINES[0]


def batches(*, quick: bool) -> dict[str, Batch]:
    """Named groups of cases, small to large."""
    if quick:
        found: dict[str, Batch] = {"cottage": [demo_cases.document("cottage")]}
        found["4 random small"] = [random_case(seed) for seed in range(4)]
        found["1 plane, 3 pipes"] = [many_planes(1, 3)]
        return found
    found = {name: [demo_cases.plain_document(name)] for name in demo_cases.plain_names()}
    found["40 random small"] = [random_case(seed) for seed in range(40)]
    for pipes in (5, 10, 15, 25, 35, 45):
        found[f"1 plane, {pipes} pipes"] = [many_planes(1, pipes)]
    for planes in (2, 4):
        found[f"{planes} planes, 10 pipes each"] = [many_planes(planes, 10)]
    return found


def agreed(name: str, answers: dict[str, tuple[Answer, ...]]) -> None:
    """Insist that every engine that finished proved the same optima, to the cent.

    Raises:
        DifferentOptimumError: they did not.
    """
    if len(set(answers.values())) > 1:
        told = "; ".join(f"{engine}: {found}" for engine, found in answers.items())
        raise DifferentOptimumError(f"{name}: optima in cents differ: {told}")


def measure(repeat: int, bound: float, *, quick: bool) -> list[Table]:
    """Both tables: seconds and optima, and the ratios to ours.

    Raises:
        DifferentOptimumError: engines disagree about an optimum.
    """
    groups = batches(quick=quick)
    workers = {engine: Worker(engine) for engine in ENGINES}
    try:
        runs = _rounds(groups, workers, repeat, bound)
    finally:
        for worker in workers.values():
            worker.close()
    over = f">{bound:g}"
    plain = Table(
        "engines",
        f"2a. Seconds to the proven optimum, in process, after loading; median of {repeat}",
        ("case", *ENGINES, "optimum"),
    )
    ratio = Table(
        "engine-ratios",
        "2b. The same as ratios: how many times as long as the tables",
        ("case", *ENGINES[1:], "agree"),
    )
    for name in groups:
        medians: dict[str, float | None] = {}
        answers: dict[str, tuple[Answer, ...]] = {}
        for engine in ENGINES:
            done = runs[name, engine]
            finished = [run for run in done if run.answers is not None]
            whole = len(finished) == len(done)
            medians[engine] = median([run.seconds for run in finished]) if whole else None
            for run in finished:
                answers.setdefault(engine, run.answers or ())
                agreed(name, {**answers, f"{engine} again": run.answers or ()})
            plain.keep(name, engine, medians[engine], "s", note="" if whole else f"{over} s")
        plain.rows.append((
            name, *(over if m is None else seconds(m) for m in medians.values()),
            _optimum(answers),
        ))
        _ratios(ratio, name, medians, bound)
        agreeing = f"{len(answers)} of {len(ENGINES)}"
        ratio.rows[-1] = (*ratio.rows[-1], agreeing)
        ratio.keep(name, "engines that agree", len(answers), "engines")
    plain.notes += [
        f"{over}: not proven within {bound:g} s, then cut off. Optimum in cents; all engines that",
        "finish must prove the same one, or this program fails. The program's engines also price",
        "the usual, the drawn and the blind start, and brute force does; HiGHS does not.",
    ]
    ratio.notes += [
        "Machine-independent. 'agree': how many engines finished, all with the same optima.",
    ]
    return [plain, ratio]


def _rounds(
    groups: dict[str, Batch], workers: dict[str, Worker], repeat: int, bound: float
) -> dict[tuple[str, str], list[Run]]:
    """Every engine on every group, in rounds; who hits the bound is not asked again."""
    runs: dict[tuple[str, str], list[Run]] = {
        (name, engine): [] for name in groups for engine in ENGINES
    }
    for worker in workers.values():  # first calls pay for caches and lazy imports
        worker.run([many_planes(1, 2)], bound)
    for _ in range(repeat):
        for name, batch in groups.items():
            for engine, worker in workers.items():
                done = runs[name, engine]
                if not done or done[-1].answers is not None:
                    done.append(worker.run(batch, bound))
    return runs


def _optimum(answers: dict[str, tuple[Answer, ...]]) -> str:
    found = next(iter(answers.values()), ())
    if len(found) != 1:
        return f"{len(found)} optima" if found else MISSING
    return "no layout" if found[0] is None else f"{found[0]:,}"


def _ratios(table: Table, name: str, medians: dict[str, float | None], bound: float) -> None:
    ours = medians[OURS]
    cells = []
    for engine in ENGINES[1:]:
        theirs = medians[engine]
        if ours is None:
            cells.append(MISSING)
            continue
        value = (bound if theirs is None else theirs) / ours
        cells.append((">" if theirs is None else "") + times(value))
        table.keep(name, f"{engine} over {OURS}", value, "ratio",
                   note="at least" if theirs is None else "")
    table.rows.append((name, *cells))
