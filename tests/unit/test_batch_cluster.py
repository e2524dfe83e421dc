"""`offseam batch --dask` on a real cluster of processes, and every way to have none."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from roofs import many_planes
from solver.batching.cluster import _lost_words
from tests.unit.cli_runs import NOTHING_OBEYS, ROOT, SHED, offseam, write
from tests.unit.test_batch_process import CALL, result, roofs, states, summary, until

pytest.importorskip("distributed")
HERE = {**os.environ, "PYTHONPATH": str(ROOT)}
CLUSTER = (
    "import sys, distributed\n"
    "cluster = distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True,\n"
    "                                   dashboard_address=None)\n"
    "print(cluster.scheduler_address, flush=True)\n"
    "sys.stdin.read()\n"
    "cluster.close()\n"
)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a scheduler that has two workers, each a process of its own."""
    with subprocess.Popen(
        [sys.executable, "-c", CLUSTER], cwd=tmp_path_factory.mktemp("cluster"), env=HERE,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        yield process.stdout.readline().strip()
        process.communicate("", timeout=30)


def test_the_same_as_on_this_machine(tmp_path: Path, cluster: str) -> None:
    place = roofs(tmp_path / "in", 2)
    write(place, NOTHING_OBEYS, "none.toml")
    write(place, "title = ", "wrong.toml")
    (place / "pipes.csv").write_text("id,plane,kind,x,y,outside\nV9,S,pipe,50,50,3.5\n")
    write(place, 'penetrations_csv = "pipes.csv"\n' + SHED, "sheet.toml")
    there, here = tmp_path / "there", tmp_path / "here"
    done = offseam("batch", str(place), "--out", str(there), "--dask", cluster)
    local = offseam("batch", str(place), "--out", str(here), "--jobs", "1")
    assert (done.returncode, done.stderr) == (local.returncode, local.stderr) == (
        2, f"{place}: skipped 1 file of another kind\n")
    assert states(there) == ["no layout", "solved", "solved", "solved", "wrong case"]
    rows = [[{**row, "seconds": ""} for row in summary(out)] for out in (there, here)]
    assert rows[0] == rows[1]
    for path in here.glob("*.json"):
        if path.name != "batch.json":
            assert result(there / path.name) == result(path)
    pens = result(there / "sheet.json")["layouts"][0]["penetrations"]
    assert [pen["id"] for pen in pens] == ["V1", "V2", "V9"]
    # what was solved there is done before here
    assert offseam("batch", str(place), "--out", str(there), "--jobs", "1").returncode == 2
    assert states(there) == ["done before"] * 4 + ["wrong case"]


def test_ctrl_c_leaves_the_cluster_at_once(tmp_path: Path, cluster: str) -> None:
    out = tmp_path / "out"
    cases = [write(tmp_path, json.dumps(many_planes(4, 50, eave_in=7200, seed=n)), f"r{n}.json")
             for n in range(8)]  # a second or so each
    with subprocess.Popen(
        [*CALL, *cases, "--out", str(out), "--dask", cluster], cwd=ROOT, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, encoding="utf-8",
    ) as process:  # fmt: skip
        try:
            until(lambda: list(out.glob("r?.json")))
        finally:
            process.send_signal(signal.SIGINT)
        began = time.monotonic()
        said, told = process.communicate(timeout=30)
        assert time.monotonic() - began < 10
    assert process.returncode == 4
    assert told == "stopping: what is done is kept; Ctrl-C once more quits at once\n"
    assert "the same command again" in said
    assert set(states(out)) == {"solved", "stopped"} and len(states(out)) == 8
    assert states(out).count("solved") == len(list(out.glob("r?.json")))


STOPPING = """
import distributed, json, sys
from roofs import many_planes
from solver.batching.one import Task
from solver.batching.cluster import solve_there
data = json.dumps(many_planes(4, 50, eave_in=7200)).encode()
with distributed.Client(sys.argv[1], set_as_default=False) as client:
    distributed.Event("stop-this", client=client).set()
    task = Task(".json", data, None, "", 50, None)
    answer = client.submit(solve_there, task, "stop-this").result(timeout=60)
    print(answer.state, answer.stopped, sep="|")
"""


def test_what_is_under_way_hears_that_it_is_to_end(cluster: str) -> None:
    paths = os.pathsep.join([str(ROOT), str(ROOT / "tests" / "benchmark")])
    done = subprocess.run(
        [sys.executable, "-c", STOPPING, cluster], env={**HERE, "PYTHONPATH": paths},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.stdout.strip().endswith("|interrupt"), done.stderr


def test_without_the_extra_it_is_named(tmp_path: Path) -> None:
    out = str(tmp_path / "out")
    code = (f"import sys\nsys.modules['distributed'] = None\n"
            f"sys.argv = ['offseam', 'batch', {write(tmp_path, SHED)!r}, '--out', {out!r}, "
            "'--dask', 'tcp://127.0.0.1:9']\nfrom cli.main import main\nmain()\n")
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True,
                          timeout=60, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == ("--dask tcp://127.0.0.1:9: this needs dask, which is not installed: "
                           "pip install offseam[cluster]\n")


def test_an_address_that_is_none_is_told_in_a_sentence(tmp_path: Path) -> None:
    done = offseam("batch", write(tmp_path, SHED), "--out", str(tmp_path / "out"),
                   "--dask", "nonsense")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert "--dask nonsense: no Dask scheduler answers there (missing port number" in done.stderr


def test_nobody_and_one_who_says_nothing_are_not_waited_for_long() -> None:
    code = ("import solver.batching.cluster as b, sys\n"
            "assert b.PATIENCE <= 8\n"
            "b.PATIENCE = 0.7\n"
            "for address in sys.argv[1:]:\n"
            "    try:\n        b.Cluster(address)\n"
            "    except b.ClusterError as error:\n        print(error)\n")
    with socket.socket() as silent, socket.socket() as closed:
        for one in (silent, closed):
            one.bind(("127.0.0.1", 0))
        silent.listen()
        addresses = [f"tcp://127.0.0.1:{one.getsockname()[1]}" for one in (silent, closed)]
        done = subprocess.run([sys.executable, "-c", code, *addresses], cwd=ROOT, timeout=60,
                              capture_output=True, text=True, check=False)
    assert done.stderr == "" and done.stdout.count("no Dask scheduler answers there") == 2


class KilledWorker(Exception):
    """Named as Dask names it."""


class FutureCancelledError(Exception):
    """Named as Dask names it."""


@pytest.mark.parametrize(("error", "told"), [
    (KilledWorker(), "every worker that began with it ended"),
    (FutureCancelledError(), "connection to the cluster was lost"),
    (TimeoutError(), "connection to the cluster was lost"),
    (ValueError("a\nb"), "ValueError: a b; please report"),
])  # fmt: skip
def test_a_case_lost_on_the_cluster_is_told_in_a_sentence(error: Exception, told: str) -> None:
    assert told in _lost_words(error) and "\n" not in _lost_words(error)


def test_the_message_of_a_task_needs_no_file(tmp_path: Path) -> None:
    """What is sent out has bytes only: the same task solves where no file is."""
    import pickle

    from solver.batching.one import solve_task
    from solver.batching.read import read_case

    (tmp_path / "pipes.csv").write_text("id,plane,kind,x,y,outside\nV9,S,pipe,50,50,3.5\n")
    sent = pickle.dumps(read_case(write(tmp_path, 'penetrations_csv = "pipes.csv"\n' + SHED))
                        .task(1, None))
    assert str(tmp_path).encode() not in sent
    for name in os.listdir(tmp_path):
        (tmp_path / name).unlink()
    answer = solve_task(pickle.loads(sent))
    assert len(json.loads(answer.text or "")["layouts"][0]["penetrations"]) == 3
