"""What is packed is complete, true to its digests, and holds nothing that it should not."""

from __future__ import annotations

import json
import zipfile
from typing import TYPE_CHECKING

import pytest
import vl_convert

from site_src.places import CORE, ROOT, BuildError
from site_src.render.licences import licences_html
from site_src.runtime.digest import sha256_of_file
from site_src.runtime.fetch import site_packages
from site_src.runtime.kept import BUILT_IN, CORE_LEFT_OUT, STANDARD_LIBRARY
from site_src.runtime.pack import pack
from site_src.runtime.select import require_kept_imports
from site_src.runtime.wheel import NUMPY, runtime_lock

if TYPE_CHECKING:
    from pathlib import Path

ARCHIVES = ("python_stdlib.zip", "calculators.zip", "numpy.zip")


def names(archive: Path) -> list[str]:
    with zipfile.ZipFile(archive) as opened:
        return opened.namelist()


def test_the_manifest_names_every_file_with_its_digest_and_size(packed: Path) -> None:
    manifest = json.loads((packed / "manifest.json").read_text())
    found = {
        path.name: {"sha256": sha256_of_file(path), "bytes": path.stat().st_size}
        for path in packed.iterdir()
        if path.name != "manifest.json"
    }
    assert manifest["files"] == found


def test_packing_twice_gives_the_same_build(packed: Path, tmp_path: Path) -> None:
    build = json.loads((packed / "manifest.json").read_text())["build"]
    assert pack(tmp_path / "again") == build


def test_the_lock_file_names_both_packages_with_their_digests(packed: Path) -> None:
    lock = json.loads((packed / "pyodide-lock.json").read_text())
    assert set(lock["packages"]) == {"calculators", "numpy"}
    for package in lock["packages"].values():
        assert package["sha256"] == sha256_of_file(packed / package["file_name"])


def test_the_lock_file_is_for_the_runtime_that_is_packed(packed: Path) -> None:
    made = json.loads((packed / "pyodide-lock.json").read_text())["info"]
    given = runtime_lock(site_packages())["info"]
    assert {key: made[key] for key in given} == given


@pytest.mark.parametrize("archive", ARCHIVES)
def test_archives_hold_byte_code_and_no_sources_or_tests(packed: Path, archive: str) -> None:
    held = names(packed / archive)
    assert any(name.endswith(".pyc") for name in held)
    assert not [name for name in held if name.endswith((".py", ".pyi")) or "/tests/" in name]


def test_the_core_is_packed_whole_but_for_its_command_line(packed: Path) -> None:
    sources = {path.relative_to(ROOT).as_posix() for path in CORE.rglob("*.py")}
    held = {name.removesuffix("c") for name in names(packed / "calculators.zip")}
    assert sources - held == set(CORE_LEFT_OUT)


def test_the_lists_that_we_write_hold_file_names_and_no_addresses(packed: Path) -> None:
    assert [path.name for path in packed.glob("*.json") if "://" in path.read_text()] == []


def test_every_kept_module_of_the_standard_library_is_really_there(packed: Path) -> None:
    there = {name.partition("/")[0].removesuffix(".pyc") for name in names(packed / ARCHIVES[0])}
    assert there == STANDARD_LIBRARY
    assert not STANDARD_LIBRARY & BUILT_IN


def test_a_core_that_imports_a_module_left_out_is_refused(tmp_path: Path) -> None:
    archive = tmp_path / "core.zip"
    with zipfile.ZipFile(archive, "w") as opened:
        opened.writestr("calculators/post.py", "import math\nfrom smtplib import SMTP\n")
    with pytest.raises(BuildError, match=r"calculators/post\.py imports smtplib: not in"):
        require_kept_imports(archive)


def test_numpy_in_the_browser_is_the_version_of_the_build(packed: Path) -> None:
    lock = json.loads((packed / "pyodide-lock.json").read_text())
    version = lock["packages"]["numpy"]["version"]
    assert NUMPY.file_name.startswith(f"numpy-{version}-")
    assert f"\nnumpy=={version} " in (ROOT / "site_src" / "requirements.lock").read_text()


def test_the_table_of_licences_names_every_part_that_is_served() -> None:
    declared = json.loads((ROOT / "site_src" / "runtime" / "package.json").read_text())
    table = licences_html()
    for name, version in declared["dependencies"].items():
        assert f">{name}</th><td>{version}</td>" in table


def test_charts_in_the_page_are_drawn_by_the_versions_that_draw_them_at_build_time() -> None:
    declared = json.loads((ROOT / "site_src" / "runtime" / "package.json").read_text())
    pinned = declared["dependencies"]
    assert pinned["vega"] == vl_convert.get_vega_version()
    minor = pinned["vega-lite"].rpartition(".")[0]
    assert minor == vl_convert.get_vegalite_versions()[-1]
