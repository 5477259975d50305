"""A clean environment with the planner in it, where a stranger's distribution is installed."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import tomllib
import venv
from typing import TYPE_CHECKING
from zipfile import ZipFile

import pytest

if TYPE_CHECKING:
    from pathlib import Path

collect_ignore = ["platewright_kites"]  # its own tests run where it is installed


def wheel_of(folder: Path, to: Path) -> Path:
    """A wheel of a pure distribution, made without a build tool as those come from the network."""
    project = tomllib.loads((folder / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    package = project["name"].replace("-", "_")
    stem = f"{package}-{project['version']}"
    points = "".join(
        f"[{group}]\n" + "".join(f"{name} = {value}\n" for name, value in named.items())
        for group, named in project["entry-points"].items()
    )
    about = {
        "METADATA": f"Metadata-Version: 2.1\nName: {project['name']}\nVersion: "
        f"{project['version']}\n",
        "WHEEL": "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        "entry_points.txt": points,
    }
    path = to / f"{stem}-py3-none-any.whl"
    with ZipFile(path, "w") as wheel:
        for file in sorted((folder / package).iterdir()):
            if file.is_file():
                wheel.write(file, f"{package}/{file.name}")
        for name, text in about.items():
            wheel.writestr(f"{stem}.dist-info/{name}", text)
        names = [*wheel.namelist(), f"{stem}.dist-info/RECORD"]
        wheel.writestr(names[-1], "".join(f"{name},,\n" for name in names))
    return path


class Home:
    """An environment of its own; what the tests run under stands behind it, the planner too."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        venv.create(folder / "env", with_pip=False)
        self.python = str(folder / "env" / "bin" / "python")
        (site,) = (folder / "env" / "lib").glob("*/site-packages")
        behind = sysconfig.get_path("purelib")
        # addsitedir, so that a planner installed as a checkout is found as well.
        (site / "behind.pth").write_text(f"import site; site.addsitedir({behind!r})\n")

    def install(self, distribution: Path) -> None:
        """Install it as its users do, without the network."""
        wheel = wheel_of(distribution, self.folder)
        pip = [sys.executable, "-m", "pip", "--python", self.python, "install", "-q"]
        self.run(*pip, "--no-index", "--no-deps", "--disable-pip-version-check", str(wheel))

    def platewright(self, *words: str, code: int = 0) -> subprocess.CompletedProcess[str]:
        """Run the command line."""
        return self.run(
            self.python, "-c", "from planner.cli import main; main()", *words, code=code
        )

    def tests_of(self, distribution: Path) -> str:
        """What pytest says of a distribution's own tests."""
        pytest_ = [self.python, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-c", "/dev/null"]
        return self.run(*pytest_, "--rootdir", str(distribution), str(distribution)).stdout

    def run(self, *words: str, code: int = 0) -> subprocess.CompletedProcess[str]:
        """Run a program in the folder; both of its outputs are told where it ends otherwise."""
        done = subprocess.run(
            words, cwd=self.folder, capture_output=True, text=True, timeout=300, check=False
        )
        assert done.returncode == code, done.stdout + done.stderr
        return done


@pytest.fixture
def home(tmp_path: Path) -> Home:
    folder = tmp_path / "home"
    folder.mkdir()
    return Home(folder)
