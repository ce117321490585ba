"""What can be heard and said on this machine: devices, levels, voices; and choosing among them."""

from collections.abc import Iterator

from assistant.desk.errors import DeskError
from assistant.desk.keyboard import check_talk_key
from assistant.devices import Devices, Kind, list_devices
from assistant.errors import RungsideError
from assistant.settings import Settings, remember
from assistant.voice.facts import VoiceFacts

METER_SECONDS = 3.0
_OPTIONS = {Kind.MICROPHONE: "--microphone", Kind.LOUDSPEAKER: "--speaker"}


def choose_device(kind: Kind, name: str) -> str:
    """Give the whole name of the device that is meant; empty stays empty: the usual one.

    Raises:
        DeskError: when none has that name, or several do.
        DeviceError: when the sound system answers with an error.
    """
    if not name:
        return ""
    devices = list_devices(kind)
    whole = [one for one in devices.found if one.name == name]
    fitting = whole or [one for one in devices.found if name.lower() in one.name.lower()]
    if len(fitting) == 1:
        return fitting[0].name
    known = _listed(devices) or "Plug it in first."
    if fitting:
        raise DeskError(f"Several {kind.value}s have '{name}' in their names.", known)
    raise DeskError(f"There is no {kind.value} '{name}' on this machine.", known)


def _listed(devices: Devices) -> str:
    return f"Choose one of: {', '.join(devices.names)}." if devices.names else ""


def remember_choices(**choices: str | float | None) -> str:
    """Check and remember what was chosen; None counts as not said.

    Args:
        choices: settings by their names: `microphone`, `speaker`, `voice_name`, `talk_key`, …

    Returns:
        A line that says what is remembered, and where; empty where nothing was chosen.

    Raises:
        RungsideError: when a choice cannot be; nothing is then written.
    """
    said = {name: value for name, value in choices.items() if value is not None}
    if not said:
        return ""
    for kind, name in ((Kind.MICROPHONE, "microphone"), (Kind.LOUDSPEAKER, "speaker")):
        if name in said:
            said[name] = choose_device(kind, str(said[name]))
    if "talk_key" in said:
        said["talk_key"] = check_talk_key(str(said["talk_key"]))
    if said.get("voice_name"):
        said["voice_name"] = choose_voice(str(said["voice_name"]))
    file = remember(**said)
    shown = {name: "the usual one" if value == "" else value for name, value in said.items()}
    told = ", ".join(f"{name} = {value}" for name, value in shown.items())
    return f"remembered: {told} (in {file})"


def choose_voice(name: str) -> str:
    """Give the whole name of the voice that is meant, by it or its last part, as `en-US`.

    Raises:
        DeskError: when there is none, naming the English ones.
        VoiceError: when no speech engine starts.
    """
    from assistant.voice.synthesis import Synthesiser

    with Synthesiser() as synthesiser:
        voices = synthesiser.facts().voices
    for one in voices:
        if name.lower() in {one.lower(), one.rpartition("/")[2].lower()}:
            return one
    known = f"Name one of {', '.join(_english(voices))}, or one of another language."
    raise DeskError(f"There is no voice '{name}' here.", known)


def _english(voices: tuple[str, ...]) -> list[str]:
    return [name for name in voices if name.rpartition("/")[2].lower().startswith("en")]


def device_lines(settings: Settings) -> Iterator[str]:
    """Say which microphone and which loudspeaker are used, a line each."""
    wanted = {Kind.MICROPHONE: settings.microphone, Kind.LOUDSPEAKER: settings.speaker}
    for kind, name in wanted.items():
        yield f"{kind.value} used: {_used(kind, name)}"
    if settings.talk == "push":
        yield f"talk key: {settings.talk_key}; sound counts only while it says so"


def _used(kind: Kind, name: str) -> str:
    try:
        devices = list_devices(kind)
    except RungsideError as error:
        return f"none ({error})"
    found = devices.named(name) if name else devices.usual()
    if found is not None:
        return f"{found.name} ({'remembered' if name else 'the usual one'})"
    if not name:
        return "none"
    other = f"choose another with rungside doctor {_OPTIONS[kind]} NAME"
    return f"'{name}' is remembered but is not here: plug it in, or {other}"


def level_lines(settings: Settings, seconds: float) -> Iterator[str]:
    """Listen for a while, and say how loud voice and room are; nothing without a microphone."""
    from assistant.ears.capture import microphones
    from assistant.ears.levels import measure, record

    if not seconds:
        return
    try:
        devices = microphones()
        if devices.named(settings.microphone) is None or not devices.names:
            return
        yield f"Speak as you would at the unit: listening for {seconds:g} seconds …"
        yield from measure(record(settings.microphone, seconds)).lines
    except RungsideError as error:
        yield f"level: not measured. {error}"


def voice_lines(facts: VoiceFacts, settings: Settings) -> Iterator[str]:
    """Say how the voice speaks, and which there are; nothing without an engine."""
    if facts.engine is None:
        return
    used = settings.voice_name or "the usual one"
    yield f"voice: {used}, {settings.voice_rate} words a minute, volume {settings.voice_volume:g}"
    voices = facts.engine.voices
    english = _english(voices)
    others = len(voices) - len(english)
    more = f", and {others} for other languages" if others else ""
    yield f"voices: {', '.join(english) or 'none for English'}{more}"
