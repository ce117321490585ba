"""The vosk model is checked before the library sees it, and fetched whole or not at all."""

import zipfile
from pathlib import Path

import pytest

from assistant.ears.makers import RecogniserOptions, make_recogniser
from assistant.ears.sound import EarsError
from assistant.ears.vosk_model import _NEEDED, MODEL_VARIABLE, fetch_vosk_model, find_model


def lay_out(folder: Path, without: str = "", empty: str = "") -> Path:
    """Make a folder that looks like a model; its files hold nothing a library could load."""
    for name in _NEEDED:
        if name != without:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(b"" if name == empty else b"x")
    return folder


def zipped(folder: Path, archive: Path, prefix: str = "vosk-model-small-en-us-0.15/") -> str:
    """Zip a folder and give the archive's address."""
    with zipfile.ZipFile(archive, "w") as file:
        for path in folder.rglob("*"):
            if path.is_file():
                file.write(path, prefix + str(path.relative_to(folder)))
    return archive.as_uri()


def test_the_model_given_comes_before_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An option wins over the variable, the variable over the usual folder."""
    given, named = lay_out(tmp_path / "given"), lay_out(tmp_path / "named")
    monkeypatch.setenv(MODEL_VARIABLE, str(named))
    assert given == find_model(given)
    assert named == find_model()


def test_the_usual_folder_is_in_the_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With neither option nor variable it is looked for under the user's cache."""
    monkeypatch.delenv(MODEL_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with pytest.raises(EarsError, match=r"no vosk model in .*vosk-model-small-en-us-0\.15"):
        find_model()


@pytest.mark.parametrize("name", _NEEDED)
def test_an_incomplete_model_is_told_by_the_missing_file(tmp_path: Path, name: str) -> None:
    """Each needed file is missed, and missed when it is empty."""
    with pytest.raises(EarsError, match=f"lacks {name}"):
        find_model(lay_out(tmp_path / "a", without=name))
    with pytest.raises(EarsError, match=f"{name} is empty"):
        find_model(lay_out(tmp_path / "b", empty=name))


def test_a_model_that_does_not_load_is_told(tmp_path: Path) -> None:
    """Right names with wrong contents end the worker, not us (vosk ends its process on them)."""
    options = RecogniserOptions(vosk_model=lay_out(tmp_path / "m"))
    with pytest.raises(EarsError, match="vosk could not load the model"):
        make_recogniser("vosk", options)


def test_a_model_is_fetched_and_put_in_place(tmp_path: Path) -> None:
    """What is in the archive's one folder becomes the target; nothing else is left beside it."""
    address = zipped(lay_out(tmp_path / "source"), tmp_path / "m.zip")
    target = tmp_path / "cache" / "model"
    assert target == fetch_vosk_model(target, address)
    assert target == find_model(target)
    assert [target] == list(target.parent.iterdir())


def test_a_model_that_is_there_is_left_alone(tmp_path: Path) -> None:
    """No fetching where a good one is; a bad one is told, not overwritten."""
    target = lay_out(tmp_path / "model")
    assert target == fetch_vosk_model(target, "file:///nowhere.zip")
    (target / "am/final.mdl").unlink()
    with pytest.raises(EarsError, match=r"lacks am/final\.mdl"):
        fetch_vosk_model(target, "file:///nowhere.zip")


def test_without_network_one_sentence(tmp_path: Path) -> None:
    """An address that cannot be reached is told with the way out, and leaves nothing behind."""
    target = tmp_path / "cache" / "model"
    with pytest.raises(EarsError, match="could not be fetched from") as caught:
        fetch_vosk_model(target, (tmp_path / "none.zip").as_uri())
    assert "pocketsphinx" in caught.value.hint
    assert [] == list(target.parent.iterdir())


@pytest.mark.parametrize("name", ["../outside.txt", "a/../../outside.txt", "/outside.txt"])
def test_an_archive_may_not_write_outside(tmp_path: Path, name: str) -> None:
    """A path that climbs out of the folder refuses the whole archive."""
    address = zipped(lay_out(tmp_path / "source"), tmp_path / "m.zip")
    with zipfile.ZipFile(tmp_path / "m.zip", "a") as file:
        file.writestr(name, "x")
    with pytest.raises(EarsError, match="outside its folder"):
        fetch_vosk_model(tmp_path / "cache" / "model", address)
    assert not (tmp_path / "cache" / "model").exists()
    assert not (tmp_path / "outside.txt").exists()


def test_a_bad_archive_is_told(tmp_path: Path) -> None:
    """No zip, a zip with a flipped byte, a zip without a model."""
    target = tmp_path / "cache" / "model"
    (tmp_path / "a.zip").write_bytes(b"not a zip")
    with pytest.raises(EarsError, match="is no archive"):
        fetch_vosk_model(target, (tmp_path / "a.zip").as_uri())
    zipped(lay_out(tmp_path / "source"), tmp_path / "b.zip")
    data = bytearray((tmp_path / "b.zip").read_bytes())
    data[data.index(b"x", 30 + len("vosk-model-small-en-us-0.15/"))] ^= 0xFF
    (tmp_path / "b.zip").write_bytes(data)
    with pytest.raises(EarsError, match=r"damaged|no archive"):
        fetch_vosk_model(target, (tmp_path / "b.zip").as_uri())
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "readme").write_text("x")
    with pytest.raises(EarsError, match="is no vosk model"):
        fetch_vosk_model(target, zipped(tmp_path / "other", tmp_path / "c.zip"))
    assert not target.exists()


def test_a_folder_that_may_not_be_written_is_told(tmp_path: Path) -> None:
    """A file where a folder should be."""
    (tmp_path / "file").write_text("x")
    address = zipped(lay_out(tmp_path / "source"), tmp_path / "m.zip")
    with pytest.raises(EarsError, match="cannot be put in"):
        fetch_vosk_model(tmp_path / "file" / "model", address)
