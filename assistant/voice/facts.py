"""What can be said on this machine, and what to do about the rest."""

from dataclasses import dataclass

from assistant.voice.errors import VoiceError
from assistant.voice.player import Outputs, list_outputs
from assistant.voice.synthesis import EngineFacts, Synthesiser

ORIGIN_WORDS = {
    "system": "installed on this system",
    "packaged": "installed with Rungside",
    "built_in": "part of this system",
}


@dataclass(frozen=True, slots=True)
class VoiceFacts:
    """What was found.

    Args:
        engine: the speech engine; None when none starts.
        outputs: what can be played on.
        trouble: why there is no engine; empty when there is one.
    """

    engine: EngineFacts | None
    outputs: Outputs
    trouble: str = ""

    @property
    def can_speak(self) -> bool:
        """Tell whether something said would be heard."""
        return self.engine is not None and not self.outputs.is_null

    @property
    def advice(self) -> str:
        """Give one sentence about what to do."""
        if self.engine is None:
            return f"{self.trouble} Walk with --text or --plain until then."
        if self.outputs.is_null:
            return (
                "Connect a loudspeaker or headset to hear Rungside; --text and --plain need none."
            )
        return "Nothing needs doing: speech is ready."

    @property
    def lines(self) -> tuple[str, ...]:
        """Give what was found, a line each, for people."""
        speech = "speech engine: none"
        if self.engine is not None:
            name = " ".join(word for word in (self.engine.engine, self.engine.version) if word)
            speech = f"speech engine: {name}, {ORIGIN_WORDS[self.engine.origin]}"
        outputs = ", ".join(self.outputs.names) or "none"
        return (speech, f"sound outputs ({self.outputs.backend}): {outputs}", self.advice)


def voice_facts() -> VoiceFacts:
    """Try the speech engine and list the outputs; takes about a second at most."""
    outputs = list_outputs()
    with Synthesiser() as synthesiser:
        try:
            synthesiser.render("ready")
            return VoiceFacts(synthesiser.facts(), outputs)
        except VoiceError as trouble:
            return VoiceFacts(None, outputs, str(trouble))
