"""Settings: options over environment (`RUNGSIDE_…`) over a TOML file in the config folder."""

import os
import tempfile
import tomllib
from pathlib import Path
from typing import Any, Literal

from platformdirs import user_config_path
from pydantic import Field, ValidationError
from pydantic_settings import (
    BaseSettings,
    PydanticBaseSettingsSource,
    SettingsConfigDict,
    TomlConfigSettingsSource,
)

from assistant.errors import RungsideError
from assistant.voice.limits import FASTEST, LOUDEST, QUIETEST, SLOWEST


class SettingsError(RungsideError):
    """A setting that cannot be used."""


def settings_file() -> Path:
    """Give the user's settings file; it need not be there."""
    return user_config_path("rungside", appauthor=False) / "settings.toml"


class Settings(BaseSettings):
    """What a user can set once.

    Args:
        sessions: the folder that holds the sessions; the user's data folder where not set.
        tech: the technician's initials.
        recogniser: `auto`, or one of the recognisers by name.
        vosk_model: the folder of an English vosk model.
        second_ear: `auto`: heard too where it is installed; `off`; or the folder of its weights.
        microphone: part of the name of the microphone to use.
        speaker: part of the name of the loudspeaker to use.
        talk: `open`: what the microphone hears counts; `push`: only while the talk key says so.
        talk_key: the key, button or foot switch for it, by name: `space`, `enter`, `f12`, ...
        tail: seconds of sound that are not heard behind our own voice; more for an echoing room
            or a headset that is slow.
        barge_in: whether "stop" and "hold on" are heard while Rungside speaks.
        voice_rate: words a minute, 105 to 285.
        voice_volume: 0.2 to 1.
        voice_name: the synthesiser's voice.
        patience: seconds of silence before a turn is asked again.
        theme: how the screens look: `night`, `day`, `night-safe` or `day-safe`.
        animation: whether anything on a screen may move by itself.
        shop_index: the shop's index: a database's URL or a file; the user's own where not set.
        shop_leads: initials of the shop's leads, parted by commas.
    """

    model_config = SettingsConfigDict(env_prefix="RUNGSIDE_", extra="ignore")

    sessions: Path | None = None
    tech: str = ""
    recogniser: str = "auto"
    vosk_model: Path | None = None
    second_ear: str = "auto"
    microphone: str = ""
    speaker: str = ""
    talk: Literal["open", "push"] = "open"
    talk_key: str = "space"
    tail: float = Field(default=0.2, ge=0, le=2)
    barge_in: bool = False
    voice_rate: int = Field(default=165, ge=SLOWEST, le=FASTEST)
    voice_volume: float = Field(default=LOUDEST, ge=QUIETEST, le=LOUDEST)
    voice_name: str = ""
    patience: float = Field(default=12.0, gt=0)
    theme: Literal["night", "day", "night-safe", "day-safe"] = "night"
    animation: bool = True
    shop_index: str = ""
    shop_leads: str = ""

    @classmethod
    def settings_customise_sources(
        cls,
        settings_cls: type[BaseSettings],
        init_settings: PydanticBaseSettingsSource,
        env_settings: PydanticBaseSettingsSource,
        dotenv_settings: PydanticBaseSettingsSource,
        file_secret_settings: PydanticBaseSettingsSource,
    ) -> tuple[PydanticBaseSettingsSource, ...]:
        """Give the sources in order: options, environment, file."""
        del dotenv_settings, file_secret_settings
        file = TomlConfigSettingsSource(settings_cls, settings_file())
        return init_settings, env_settings, file


def remember(**values: str | float | bool) -> Path:
    """Write values into the user's settings file; whatever else stands there stays as it is.

    Returns:
        The file.

    Raises:
        SettingsError: when the file is not TOML, or cannot be written; it is then as it was.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    file = settings_file()
    try:
        text = file.read_text(encoding="utf-8") if file.exists() else ""
        document = tomlkit.parse(text)
        document.update(values)
        _replace(file, tomlkit.dumps(document))
    except (TOMLKitError, UnicodeDecodeError) as error:
        raise _not_toml(file, error) from error
    except OSError as error:
        raise SettingsError(f"{file} cannot be written: {error.strerror}.") from error
    return file


def _replace(file: Path, text: str) -> None:
    """Put a text in a file's place, whole or not at all; a link stays one, and so does its mode."""
    file.parent.mkdir(parents=True, exist_ok=True)
    real = file.resolve()
    handle, name = tempfile.mkstemp(prefix=real.name, dir=real.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        if real.exists():
            Path(name).chmod(real.stat().st_mode & 0o777)
        Path(name).replace(real)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _not_toml(file: Path, error: Exception) -> SettingsError:
    return SettingsError(f"{file} is not TOML: {error}.", "Mend the line, or move the file away.")


def read_settings(**options: Any) -> Settings:  # noqa: ANN401 - options of several types
    """Read the settings, options first.

    Args:
        options: what the command line says; None counts as not said.

    Raises:
        SettingsError: when the file is not TOML or a value does not fit, naming it.
    """
    said = {name: value for name, value in options.items() if value is not None}
    file = settings_file()
    try:
        return Settings(**said)
    except ValidationError as error:
        first = error.errors()[0]
        name = ".".join(str(part) for part in first["loc"])
        raise SettingsError(
            f"The setting '{name}' does not fit: {first['msg']}.",
            f"Look at the option, at RUNGSIDE_{name.upper()} and in {file}.",
        ) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise _not_toml(file, error) from error
    except OSError as error:
        raise SettingsError(f"{file} cannot be read: {error.strerror}.") from error
