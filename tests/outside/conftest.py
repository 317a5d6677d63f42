"""Fixtures of the outside checks: they run the built program as its user would."""

import json
import os
import pathlib
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]


def pytest_addoption(parser):
    parser.addoption("--all", action="store_true", help="look at every bracket by elements, not at eight")


def _binary():
    path = os.environ.get("FIXWRIGHT")
    assert path, "set FIXWRIGHT to the built program's path (tests/run does)"
    return path


@pytest.fixture(scope="session")
def run():
    """Runs the program and returns the completed process."""

    def call(*arguments, cwd=None):
        return subprocess.run(
            [_binary(), *map(str, arguments)], capture_output=True, text=True, cwd=cwd, timeout=120
        )

    return call


@pytest.fixture(scope="session")
def run_json(run):
    """Runs one command with --json, demands success, and returns the object it printed."""

    def call(*arguments, cwd=None):
        done = run(*arguments, "--json", cwd=cwd)
        assert done.returncode == 0, f"{arguments}: exit {done.returncode}\n{done.stdout}\n{done.stderr}"
        return json.loads(done.stdout)

    return call


@pytest.fixture(scope="session")
def root():
    """The project's folder."""
    return ROOT
