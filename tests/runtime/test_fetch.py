"""Fetching accepts nothing but what is pinned, and repairs what is broken; no network."""

from __future__ import annotations

import hashlib
import zipfile
from typing import TYPE_CHECKING

import pytest

from site_src.places import ROOT, BuildError
from site_src.runtime import fetch
from site_src.runtime.wheel import PinnedWheel, find_wheel, release_address, take_out

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

RIGHT = b"the right content"
WRONG = b"something else"
WHEEL = PinnedWheel("some-1.0-py3-none-any.whl", hashlib.sha256(RIGHT).hexdigest())


def gives_right(wheel: PinnedWheel, target: Path) -> None:
    assert wheel == WHEEL
    target.write_bytes(RIGHT)


def gives_wrong(wheel: PinnedWheel, target: Path) -> None:
    assert wheel == WHEEL
    target.write_bytes(WRONG)


def has_nothing(wheel: PinnedWheel, target: Path) -> None:
    message = f"no {wheel.file_name} for {target.name} here"
    raise BuildError(message)


def test_a_wheel_that_is_there_is_taken_without_asking_any_source(tmp_path: Path) -> None:
    (tmp_path / WHEEL.file_name).write_bytes(RIGHT)
    assert find_wheel(WHEEL, folder=tmp_path, sources=[]).read_bytes() == RIGHT


def test_sources_are_tried_in_turn_until_one_gives_the_right_content(tmp_path: Path) -> None:
    sources = [has_nothing, gives_wrong, gives_right]
    assert find_wheel(WHEEL, folder=tmp_path / "new", sources=sources).read_bytes() == RIGHT


def test_a_wheel_with_the_wrong_digest_is_removed_and_explained(tmp_path: Path) -> None:
    path = tmp_path / WHEEL.file_name
    path.write_bytes(WRONG)
    with pytest.raises(BuildError) as caught:
        find_wheel(WHEEL, folder=tmp_path, sources=[gives_right])
    assert not path.exists()
    for part in (
        WHEEL.file_name,
        WHEEL.sha256,
        hashlib.sha256(WRONG).hexdigest(),
        str(tmp_path),
    ):
        assert part in str(caught.value)


def test_when_no_source_has_the_wheel_all_reasons_and_the_folder_are_told(tmp_path: Path) -> None:
    with pytest.raises(BuildError) as caught:
        find_wheel(WHEEL, folder=tmp_path, sources=[has_nothing, gives_wrong])
    assert list(tmp_path.iterdir()) == []
    for part in ("no some-1.0", "wrong content", WHEEL.sha256, str(tmp_path), "by hand"):
        assert part in str(caught.value)


def test_a_wheel_is_taken_out_of_the_one_that_carries_it(tmp_path: Path) -> None:
    carrier = tmp_path / "carrier.whl"
    with zipfile.ZipFile(carrier, "w") as archive:
        archive.writestr(f"deep/inside/{WHEEL.file_name}", RIGHT)
    take_out(carrier, WHEEL.file_name, tmp_path / WHEEL.file_name)
    assert (tmp_path / WHEEL.file_name).read_bytes() == RIGHT


def test_a_carrier_without_the_wheel_is_refused(tmp_path: Path) -> None:
    carrier = tmp_path / "carrier.whl"
    with zipfile.ZipFile(carrier, "w") as archive:
        archive.writestr("other.txt", RIGHT)
    with pytest.raises(BuildError, match="holds 0 files named"):
        take_out(carrier, WHEEL.file_name, tmp_path / WHEEL.file_name)


def test_the_release_address_is_read_from_the_runtime_itself(tmp_path: Path) -> None:
    pyodide = tmp_path / "pyodide"
    pyodide.mkdir()
    (pyodide / "package.json").write_text('{"version": "1.2.3"}')
    (pyodide / "pyodide.mjs").write_text("let a=`https://example.org/v${V}/full/`;")
    assert release_address(tmp_path) == "https://example.org/v1.2.3/full/"


class Npm:
    """Stands in for npm: installs one package, and can be told to fail half-way."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.calls = 0
        self.fails = False
        monkeypatch.setattr("site_src.runtime.node.run", self.run)

    def run(self, name: str, arguments: Sequence[str], *, folder: Path, task: str) -> str:
        assert (name, arguments[0]) == ("npm", "ci")
        self.calls += 1
        package = folder / "node_modules" / "some"
        package.mkdir(parents=True)
        if self.fails:
            raise BuildError(task)
        (package / "package.json").write_text("{}")
        return ""


@pytest.fixture
def npm(monkeypatch: pytest.MonkeyPatch) -> Npm:
    return Npm(monkeypatch)


@pytest.fixture
def declared(tmp_path: Path) -> Path:
    folder = tmp_path / "declared"
    folder.mkdir()
    (folder / "package.json").write_text('{"dependencies": {"some": "1.0.0"}}')
    (folder / "package-lock.json").write_text("{}")
    return folder


def test_npm_packages_are_fetched_once(tmp_path: Path, declared: Path, npm: Npm) -> None:
    for _ in range(2):
        assert (fetch.npm_packages(declared, tmp_path / "npm") / "some").is_dir()
    assert npm.calls == 1


def test_npm_packages_of_another_lock_file_are_fetched_beside_the_first(
    tmp_path: Path, declared: Path, npm: Npm
) -> None:
    first = fetch.npm_packages(declared, tmp_path / "npm")
    (declared / "package-lock.json").write_text('{"new": true}')
    second = fetch.npm_packages(declared, tmp_path / "npm")
    assert npm.calls == 2
    assert first.is_dir()
    assert second != first


def test_an_interrupted_npm_install_leaves_nothing_behind(
    tmp_path: Path, declared: Path, npm: Npm
) -> None:
    npm.fails = True
    with pytest.raises(BuildError, match="Fetching npm packages"):
        fetch.npm_packages(declared, tmp_path / "npm")
    assert list((tmp_path / "npm").iterdir()) == []


def test_npm_packages_with_parts_missing_are_removed_and_fetched_again(
    tmp_path: Path, declared: Path, npm: Npm, capsys: pytest.CaptureFixture[str]
) -> None:
    modules = fetch.npm_packages(declared, tmp_path / "npm")
    (modules / "some" / "package.json").unlink()
    assert (fetch.npm_packages(declared, tmp_path / "npm") / "some" / "package.json").is_file()
    assert npm.calls == 2
    assert "incomplete: fetched again" in capsys.readouterr().err


@pytest.mark.parametrize("folder", ["site_src/runtime", "tests/tools", "tests/audit"])
def test_npm_lock_files_pin_every_package_by_integrity_and_name_no_address(folder: str) -> None:
    text = (ROOT / folder / "package-lock.json").read_text()
    assert '"resolved"' not in text
    assert text.count('"integrity"') == text.count('    "node_modules/')
