"""A small finished run, and both kinds of shared files."""

import shutil

import pytest

from sim.sharing.container import packed
from sim.sharing.shared import drill_content, run_content
from tools.fuzz import small_run


@pytest.fixture(scope="session")
def a_run(tmp_path_factory):
    folder = tmp_path_factory.mktemp("runs") / "whole"
    small_run(folder, whole=True)
    return folder


@pytest.fixture
def run_folder(a_run, tmp_path):
    return shutil.copytree(a_run, tmp_path / "whole")


@pytest.fixture(scope="session")
def run_data(a_run):
    return packed(run_content(a_run))


@pytest.fixture(scope="session")
def drill_data():
    return packed(drill_content("first-evening"))
