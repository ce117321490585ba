"""The second ear's weights are found, or it is told what is lacking before a library sees them."""

import importlib.util
from pathlib import Path

import pytest

from assistant.ears.second_ear_weights import _NEEDED, WEIGHTS_VARIABLE, find_weights
from assistant.ears.sound import EarsError


@pytest.fixture(autouse=True)
def installed(monkeypatch: pytest.MonkeyPatch) -> dict[str, object]:
    """Let faster-whisper seem installed, and no packaged weights."""
    found: dict[str, object] = {"faster_whisper": object()}
    monkeypatch.setattr(importlib.util, "find_spec", found.get)
    monkeypatch.delenv(WEIGHTS_VARIABLE, raising=False)
    return found


def lay_out(folder: Path, without: str = "", empty: str = "") -> Path:
    """Make a folder that looks like a model in the form of CTranslate2."""
    folder.mkdir(parents=True)
    for name in (*_NEEDED, "vocabulary.json"):
        if name != without:
            (folder / name).write_bytes(b"" if name == empty else b"x")
    return folder


def test_the_setting_comes_before_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder given wins over the variable; the variable counts where none is given."""
    given, named = lay_out(tmp_path / "given"), lay_out(tmp_path / "named")
    monkeypatch.setenv(WEIGHTS_VARIABLE, str(named))
    assert given == find_weights(str(given))
    assert named == find_weights()


def test_off_is_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """Turned off by setting or environment, it is not looked for."""
    for setting, variable in (("off", "auto"), (None, "off")):
        monkeypatch.setenv(WEIGHTS_VARIABLE, variable)
        with pytest.raises(EarsError, match="turned off"):
            find_weights(setting)


def test_what_is_not_installed_is_told_with_what_installs_it(installed: dict[str, object]) -> None:
    """Without packaged weights, then without the library."""
    for sentence in ("has no weights", "is not installed"):
        with pytest.raises(EarsError, match=sentence) as caught:
            find_weights("auto")
        assert "rungside[second-ear]" in caught.value.hint
        installed.clear()


@pytest.mark.parametrize("name", [*_NEEDED, "vocabulary.json"])
def test_a_folder_is_told_by_what_it_lacks(tmp_path: Path, name: str) -> None:
    """Each file is missed, and missed when it is empty."""
    for folder in (
        lay_out(tmp_path / "a", without=name),
        lay_out(tmp_path / "b", empty=name),
    ):
        with pytest.raises(EarsError, match=f"lacks .*{name}"):
            find_weights(str(folder))


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A wrong path is no silent fall-back to other weights."""
    with pytest.raises(EarsError, match="There is no folder"):
        find_weights(str(tmp_path / "none"))
